"""The demo herd: made once, then asked whether everything a page shows is in it."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from random import Random

import pytest
from django.db import transaction
from django.test import override_settings
from django.utils import timezone
from PIL import Image
from pytest_django import DjangoDbBlocker

from cavyround.advice.due import due_today
from cavyround.advice.giving import answer_of
from cavyround.demo.clock import Clock, Ids, moment_of
from cavyround.demo.herd import EVERYONE, make_demo_herd, planned
from cavyround.demo.people import DEMO_PASSWORD
from cavyround.demo.weighing import grams_on
from cavyround.facts.microchip import Microchip, read_microchip
from cavyround.record.models import (
    AdviceGiven,
    Animal,
    AnimalStatement,
    Arrival,
    BodyPlace,
    CareDone,
    Check,
    CheckEntry,
    Departure,
    FollowUp,
    FollowUpOutcome,
    Move,
    Pen,
    Person,
    Photo,
    Room,
    StandingMark,
    StepState,
    VetAnswer,
    VetQuestion,
    WeighIn,
)
from cavyround.record.photos import photo_path

AS_OF = datetime(2026, 3, 3, 10, 20, tzinfo=UTC)
DAY = AS_OF.date()

pytestmark = pytest.mark.django_db


@dataclass(frozen=True, slots=True)
class Herd:
    """Where its photos lie, and what was said while it was made."""

    photos: Path
    said: tuple[str, ...]


@pytest.fixture(scope="module")
def herd(
    django_db_setup: None,
    django_db_blocker: DjangoDbBlocker,
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[Herd]:
    """The herd in a transaction that is rolled back after this module."""
    photos = tmp_path_factory.mktemp("demo") / "photos"
    quick = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    said: list[str] = []
    with django_db_blocker.unblock(), transaction.atomic():
        with override_settings(PHOTO_FOLDER=photos, PASSWORD_HASHERS=quick, OVERRIDE_FILE=""):
            make_demo_herd(as_of=AS_OF, say=said.append)
        yield Herd(photos, tuple(said))
        transaction.set_rollback(True)


def named(name: str) -> Animal:
    return Animal.objects.get(name=name)


def last_advice(animal: Animal) -> AdviceGiven | None:
    return animal.advice.order_by("-made_at").first()


def test_the_house_and_its_people_are_there(herd: Herd) -> None:
    assert Room.objects.count() == 5
    kinds = Counter(Pen.objects.values_list("kind", flat=True))
    assert set(kinds) == {
        "residents", "nursery", "quarantine", "isolation", "sick_bay", "foster"
    }  # fmt: skip
    assert kinds.total() in range(11, 16)
    for username in ("carer", "lead", "vet", "viewer"):
        person = Person.objects.get(username=username)
        assert person.role == username
        assert person.shown_name
        with override_settings(PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"]):
            assert person.check_password(DEMO_PASSWORD)
    assert Person.objects.filter(role="carer").count() == 3
    assert Person.objects.filter(is_active=False).count() == 1


def test_forty_five_animals_came_and_twelve_have_left(herd: Herd) -> None:
    assert Animal.objects.count() == len(EVERYONE) == 45
    assert Animal.objects.filter(left_on=None).count() == 33
    how = Counter(Departure.objects.values_list("how", flat=True))
    assert how == {"adopted": 11, "died": 1, "put_to_sleep": 1, "fostered": 1}
    assert set(Arrival.objects.values_list("how", flat=True)) == {
        "surrendered", "found", "transferred_in", "returned", "born_here"
    }  # fmt: skip
    assert Animal.objects.filter(left_on=None, pen=None).count() == 0
    assert named("Clementine").is_here
    assert named("Mallow").arrivals.count() == 2


def test_eighteen_months_of_checks_were_held(herd: Herd) -> None:
    assert Check.objects.count() > 1400
    first = Check.objects.order_by("started_at")[0]
    assert AS_OF - first.started_at > timedelta(days=530)
    normal = AdviceGiven.objects.filter(urgency="normal").count()
    assert normal / AdviceGiven.objects.count() > 0.8
    finished = Check.objects.filter(finished_at__isnull=False)
    assert finished.filter(advice=None).count() == 0
    assert {entry.id.version for entry in CheckEntry.objects.all()[:500]} == {7}


def test_nothing_lies_in_the_future(herd: Herd) -> None:
    for made in (
        AdviceGiven, AnimalStatement, Arrival, CheckEntry, Departure, FollowUp, FollowUpOutcome,
        Move, Photo, StandingMark, VetAnswer, VetQuestion,
    ):  # fmt: skip
        assert not made.objects.filter(made_at__gt=AS_OF).exists(), made.__name__
    assert not Check.objects.filter(started_at__gt=AS_OF).exists()
    assert not Arrival.objects.filter(on__gt=DAY).exists()
    assert not Departure.objects.filter(on__gt=DAY).exists()
    assert not Animal.objects.filter(born_latest__gt=DAY).exists()


def test_nothing_happens_to_an_animal_before_it_came_or_after_it_left(herd: Herd) -> None:
    for animal in Animal.objects.all():
        first = animal.arrivals.order_by("on")[0]
        for check in animal.checks.all():
            day = timezone.localdate(check.started_at)
            assert first.on <= day, animal
            assert animal.left_on is None or day <= animal.left_on, animal


def test_ids_of_entries_sort_by_the_time_they_were_made(herd: Herd) -> None:
    made = list(CheckEntry.objects.order_by("id").values_list("made_at", flat=True))
    assert len(made) > 10_000
    same_check = CheckEntry.objects.order_by("check_in", "id").values_list("check_in", "made_at")
    for (one, before), (other, after) in pairwise(same_check):
        assert one != other or before <= after


def test_today_looks_like_a_tuesday_in_march(herd: Herd) -> None:
    due = due_today(AS_OF)
    assert len(due) in range(16, 21)
    assert sum(one.overdue_days > 0 for one in due) in (4, 5)
    groups = {one.group for one in due}
    assert groups >= {"nursery", "residents", "foster", "quarantine", "sick_bay", "isolation"}
    assert "arrival" in {one.kind for one in due if one.animal.name == "Sloe"}
    this_morning = Check.objects.filter(started_at__date=DAY)
    assert this_morning.filter(finished_at__isnull=False).count() == 8
    assert this_morning.values("started_by").distinct().count() == 2


def test_an_animal_was_put_down_because_it_struggled(herd: Herd) -> None:
    check = Check.objects.get(put_down_at__isnull=False)
    assert check.finished_at is None
    assert StepState.objects.filter(check_in=check).exists()
    assert not StepState.objects.filter(check_in=check, step="nails").exists()
    assert "struggled" in CheckEntry.objects.get(check_in=check, kind="put_down").data["why"]


def test_follow_ups_are_overdue_due_today_and_due_next_week(herd: Herd) -> None:
    still_open = FollowUp.objects.filter(outcomes=None, animal__left_on=None)
    days = [(timezone.localdate(one.due_at) - DAY).days for one in still_open]
    assert min(days) < 0
    assert days.count(0) >= 4
    assert sum(0 < day <= 7 for day in days) >= 4
    assert max(days) <= 7
    outcomes = set(FollowUpOutcome.objects.values_list("outcome", flat=True))
    assert outcomes >= {"gone", "better", "worse"}


def test_no_emergency_is_left_open(herd: Herd) -> None:
    assert AdviceGiven.objects.filter(urgency="emergency").exists()
    for animal in Animal.objects.filter(left_on=None):
        given = last_advice(animal)
        assert given is None or given.urgency != "emergency"


def test_one_sow_has_grown_thin_and_dribbles(herd: Herd) -> None:
    saffron = named("Saffron")
    given = last_advice(saffron)
    assert given is not None
    assert given.urgency == "vet_24h"
    assert answer_of(given).problems
    weights = WeighIn.objects.filter(animal=saffron, at__gte=AS_OF - timedelta(days=50))
    first, last = weights.order_by("at")[0], weights.order_by("-at")[0]
    assert first.grams * Decimal("0.92") > last.grams
    assert saffron.pen is not None
    assert saffron.pen.kind == "sick_bay"


def test_the_ringworm_scare_is_over_and_settled(herd: Herd) -> None:
    for name in ("Juniper", "Nutmeg", "Cob"):
        animal = named(name)
        assert animal.moves.filter(pen__kind="isolation").exists()
        assert animal.advice.filter(result__isolate__0__isnull=False).exists()
        ringworm = animal.follow_ups.exclude(region="hind_foot").filter(outcomes=None)
        assert not ringworm.exists()
        given = last_advice(animal)
        assert given is not None
        assert not answer_of(given).isolate
    assert VetQuestion.objects.filter(animal__name="Juniper").count() == 2
    assert not VetQuestion.objects.filter(answers=None).exists()


def test_the_litter_and_the_expectant_sow(herd: Herd) -> None:
    pups = Animal.objects.filter(arrivals__how="born_here")
    assert pups.count() == 4
    assert {pup.pen_id for pup in pups} == {named("Cowslip").pen_id}
    for pup in pups:
        weights = list(WeighIn.objects.filter(animal=pup).order_by("at"))
        held_back = pup.name == "Catkin"
        assert (weights[-1].grams > weights[0].grams * Decimal("1.6")) is not held_back
    fern = named("Fern")
    assert fern.pregnant == "yes"
    assert fern.due_from is not None
    assert 0 < (fern.due_from - DAY).days < 21


def test_of_three_sisters_one_was_a_brother(herd: Herd) -> None:
    crumpet = named("Crumpet")
    assert crumpet.sex == "boar"
    assert crumpet.arrivals.get().sexed_as == "sow"
    assert crumpet.statements.filter(fields__sex="boar").exclude(reason="").exists()
    assert crumpet.pen_id not in {named("Biscuit").pen_id, named("Rhubarb").pen_id}
    assert named("Biscuit").pregnant == "possible"


def test_slips_were_corrected_with_a_reason_and_stay_readable(herd: Herd) -> None:
    corrections = CheckEntry.objects.filter(kind="correction")
    assert all(len(one.data["reason"]) > 10 for one in corrections)
    assert all(one.made_by.may_lead for one in corrections)
    mended = WeighIn.objects.get(animal__name="Otis", corrected=True)
    assert mended.grams < 1200
    assert CheckEntry.objects.get(check_in=mended.check_in, kind="weight").data["grams"] == "1511"
    assert corrections.filter(check_in__animal__name="Marjoram", data__data=None).exists()
    assert WeighIn.objects.filter(doubted=True).count() == 2


def test_harmless_marks_small_care_and_places_on_the_body(herd: Herd) -> None:
    assert StandingMark.objects.filter(animal__name="Bramley", finding="lump").count() == 2
    assert StandingMark.objects.filter(finding="lens_cloudy").exists()
    given = last_advice(named("Bramley"))
    assert given is not None
    assert given.urgency == "normal"
    assert BodyPlace.objects.filter(animal__left_on=None).exists()
    care = set(CareDone.objects.values_list("care", flat=True))
    assert care >= {"nail_trim", "nail_stop_bleed", "sac_clean", "ear_wipe", "brush", "spot_on"}
    trims = CareDone.objects.filter(care="nail_trim")
    assert trims.count() > 100
    assert not trims.filter(detail="").exists()
    assert trims.filter(status="partly").exists()


def test_coats_of_every_kind_and_chips_of_the_right_form(herd: Herd) -> None:
    coats = {code for animal in Animal.objects.all() for code in animal.coat}
    assert coats >= {"smooth", "rough", "long", "satin", "hairless"}
    chips = [animal.microchip for animal in Animal.objects.exclude(microchip="")]
    assert len(set(chips)) == len(chips) == 2
    assert all(isinstance(read_microchip(chip), Microchip) for chip in chips)


def test_every_animal_has_its_own_drawn_portrait(herd: Herd) -> None:
    faces = [animal.face for animal in Animal.objects.select_related("face")]
    digests = {face.digest for face in faces if face is not None and face.drawn}
    assert len(digests) == 45
    assert Photo.objects.exclude(check_in=None).count() == 4
    with override_settings(PHOTO_FOLDER=herd.photos):
        for photo in Photo.objects.all():
            with Image.open(photo_path(photo.digest)) as image:
                assert image.size == (900, 900)


def test_weights_are_those_of_guinea_pigs(herd: Herd) -> None:
    for animal in Animal.objects.all():
        sound = WeighIn.objects.filter(animal=animal, doubted=False).order_by("at")
        rows = list(sound.values_list("at", "grams"))
        assert all(Decimal(60) < grams < Decimal(1400) for _, grams in rows), animal
        for (before, earlier), (after, later) in pairwise(rows):
            if after - before > timedelta(days=8) or animal.arrivals.filter(how="born_here"):
                continue
            gave_birth = animal.name == "Cowslip" and earlier > later * Decimal("1.1")
            assert gave_birth or abs(later - earlier) / earlier < Decimal("0.08"), animal


def test_it_says_how_far_it_is(herd: Herd) -> None:
    assert herd.said[0].startswith("Hollow Hedge Cavies")
    assert any(words.startswith("Checks: 400 of ") for words in herd.said)
    assert herd.said[-1].startswith("45 animals")


@pytest.mark.parametrize(
    "as_of",
    [
        datetime(2026, 3, 3, 0, 2, tzinfo=UTC),
        datetime(2026, 3, 29, 1, 30, tzinfo=UTC),
        datetime(2026, 10, 25, 23, 50, tzinfo=UTC),
    ],
)
def test_the_same_history_is_planned_at_any_hour_and_over_clock_changes(as_of: datetime) -> None:
    one, other = planned(Clock(as_of)), planned(Clock(as_of))
    assert one.visits == other.visits
    assert [moment for moment, _, _ in one.actions] == [moment for moment, _, _ in other.actions]
    assert {key for key, _ in one.visits} | {"sloe"} == {cast.key for cast in EVERYONE}
    assert all(moment <= as_of for moment, _, _ in one.actions)
    reference = planned(Clock(AS_OF))
    assert one.visits.keys() == reference.visits.keys()
    for key, ago in one.visits:
        assert grams_on(one.cast[key], ago) == grams_on(reference.cast[key], ago)


def test_ids_made_in_one_millisecond_keep_their_order() -> None:
    ids = Ids(Random(1))  # noqa: S311
    made = [ids.at(AS_OF) for _ in range(6000)]
    assert made == sorted(made)
    assert len(set(made)) == 6000
    assert {one.version for one in made} == {7}
    assert made[0].int >> 80 == int(AS_OF.timestamp() * 1000)


def test_a_day_alone_means_its_morning() -> None:
    moment = moment_of(datetime(2026, 3, 3))  # noqa: DTZ001 - a naive day is what is tested
    assert timezone.localtime(moment).isoformat() == "2026-03-03T10:20:00+00:00"
    summer = moment_of(datetime(2026, 7, 1, 15, 0))  # noqa: DTZ001
    assert summer.isoformat() == "2026-07-01T15:00:00+01:00"
    assert moment_of(AS_OF) is AS_OF
