"""Slips at the sexes and litters: refused with words, or taken back; no risk is hidden by one."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.breeding import BreedingNow
from cavyround.engines.breeding import sex_of
from cavyround.record.animals import Coming, Leaving, arrive, depart, move
from cavyround.record.living import begin_introduction, end_introduction
from cavyround.record.models import Animal, Castration, Litter, LitterPup, Person, Sexing
from cavyround.record.places import Floor, keep_pen, keep_room
from tests.builders import an_animal
from tests.web.conftest import SignedIn

DAY = timedelta(days=1)
KNOWN = {"sex_sure": "sure", "neutered": "no", "pregnant": "no"}


@pytest.fixture
def client(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


def grown(lead: Person, name: str, **said: Any) -> Animal:
    born = timezone.localdate() - 800 * DAY
    known = KNOWN | {"sex": "sow", "born_earliest": born, "born_latest": born}
    came = timezone.localdate() - 300 * DAY
    return an_animal(lead, name, on=came, at=timezone.now() - 300 * DAY, **(known | said))


@pytest.fixture
def pair(lead: Person) -> dict[str, Animal]:
    """Fern and Moss, an entire boar, together in one pen for the last thirty days."""
    pen = keep_pen(keep_room("Long Room"), "Clover", "residents", floor=Floor(area_cm2=15000))
    fern, moss = grown(lead, "Fern"), grown(lead, "Moss", sex="boar", pregnant="unknown")
    for one in (fern, moss):
        move(lead, one, pen, timezone.now() - 30 * DAY, why="lives there")
    return {"fern": fern, "moss": moss}


def expected() -> set[str]:
    known = BreedingNow(timezone.now())
    return {known.by_id[one.animal].name for one in known.expecting}


def post(client: Client, name: str, *args: Any, **said: Any) -> Any:
    return client.post(reverse(name, args=args), said)


def born(client: Client, dam: Animal, on: date, **said: Any) -> Any:
    given: dict[str, Any] = {"dam": str(dam.pk), "born_on": on.isoformat()} | said
    return client.post(reverse("litter-new"), given)


def take_back(client: Client, animal: Animal, what: str, entry: object, why: str = "a slip") -> Any:
    return client.post(reverse("animal-written-back", args=[animal.pk, what, entry]), {"why": why})


def test_a_sex_of_which_nobody_said_how_sure_counts_as_either(lead: Person) -> None:
    grown(lead, "Fern", sex_sure="unknown")
    [one] = BreedingNow(timezone.now()).breeders
    assert len(sex_of(one).may_be) == 2


def test_a_castration_before_it_was_born_is_refused(
    client: Client, pair: dict[str, Animal]
) -> None:
    answer = post(client, "animal-neutered", pair["moss"].pk, on="2015-03-01")
    assert answer.status_code == 422
    early = (timezone.localdate() - 795 * DAY).isoformat()
    answer = post(client, "animal-neutered", pair["moss"].pk, on=early, by_whom="Dr Vale")
    assert answer.status_code == 422
    assert "not yet born, or too young" in answer.content.decode()
    assert not Castration.objects.exists()


def test_a_day_that_makes_him_safe_at_once_needs_a_name_and_says_what_it_changes(
    client: Client, pair: dict[str, Animal]
) -> None:
    moss, on = pair["moss"], (timezone.localdate() - 200 * DAY).isoformat()
    assert expected() == {"Fern"}
    assert "Say who neutered it" in post(client, "animal-neutered", moss.pk, on=on).content.decode()
    said = {"on": on, "by_whom": "Dr Vale"}
    kept = client.post(reverse("animal-neutered", args=[moss.pk]), said, follow=True)
    assert "no longer counts as a possible sire for Fern" in kept.content.decode()
    assert expected() == set()
    row = Castration.objects.get()
    assert take_back(client, moss, "castration", row.pk, why="").status_code == 422
    assert take_back(client, moss, "castration", row.pk).status_code == 302
    assert take_back(client, moss, "castration", row.pk).status_code == 422
    moss.refresh_from_db()
    assert moss.neutered == "unknown"
    assert expected() == {"Fern"}
    page = client.get(reverse("animal-written", args=[moss.pk])).content.decode()
    assert "a slip" in page


def test_adopted_and_returned_she_may_have_met_a_boar_there(lead: Person) -> None:
    fern, now, today = grown(lead, "Fern"), timezone.now(), timezone.localdate()
    assert expected() == set()
    depart(lead, fern, Leaving(on=today - 90 * DAY, how="adopted"), now - 90 * DAY)
    arrive(lead, fern, Coming(on=today - 2 * DAY, how="returned"), now - 2 * DAY)
    [one] = BreedingNow(now).expecting
    assert one.history_unknown
    assert one.possible.last == today - 2 * DAY + 72 * DAY


def test_a_litter_of_the_wrong_sow_is_asked_about_and_taken_back(
    client: Client, pair: dict[str, Animal]
) -> None:
    fern, today = pair["fern"], timezone.localdate()
    asked = born(client, fern, today, alive="2", dead="0")
    assert asked.status_code == 422
    assert "is expected from" in asked.content.decode()
    assert not Litter.objects.exists()
    assert born(client, fern, today, alive="2", dead="0", looked_again="on").status_code == 302
    litter = Litter.objects.get()
    [after] = BreedingNow(timezone.now()).expecting
    assert after.possible.first == today + 59 * DAY
    take_back(client, fern, "litter", litter.pk)
    [again] = BreedingNow(timezone.now()).expecting
    assert again.possible.first == today - 30 * DAY + 59 * DAY
    assert "born 20" not in client.get(reverse("house-expectant")).content.decode()


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"alive": "0", "dead": "0"}, "is no litter"),
        ({"alive": "14"}, "At most 13"),
        ({"alive": "-1"}, "At least 0"),
        ({"ago": -1}, "future"),
        ({"ago": 790}, "too young to give birth"),
    ],
)
def test_a_litter_that_cannot_be_is_refused_with_words(
    client: Client, lead: Person, said: dict[str, Any], words: str
) -> None:
    fern = grown(lead, "Fern")
    on = timezone.localdate() - said.pop("ago", 0) * DAY
    answer = born(client, fern, on, **said)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert not Litter.objects.exists()


def test_two_births_of_one_sow_lie_fifty_nine_days_apart(client: Client, lead: Person) -> None:
    fern, today = grown(lead, "Fern"), timezone.localdate()
    assert born(client, fern, today - 60 * DAY, alive="2", dead="0").status_code == 302
    near = born(client, fern, today - 2 * DAY, alive="2", dead="0")
    assert near.status_code == 422
    assert "written down already" in near.content.decode()
    assert born(client, fern, today - DAY, alive="2", dead="0").status_code == 302


def test_a_pup_is_of_one_litter_and_born_on_its_day(client: Client, lead: Person) -> None:
    fern, barnaby, today = grown(lead, "Fern"), grown(lead, "Barnaby"), timezone.localdate()
    answer = born(client, fern, today, alive="2", dead="0", pups=[str(barnaby.pk)])
    assert answer.status_code == 422
    assert "was not born on that day" in answer.content.decode()
    stray = an_animal(lead, "Stray", on=today - 9 * DAY, at=timezone.now() - 9 * DAY)
    answer = born(client, fern, today, alive="2", dead="0", pups=[str(stray.pk)])
    assert "before this litter was born" in answer.content.decode()
    assert born(client, fern, today, alive="2", dead="0").status_code == 302
    pup = an_animal(
        lead, "Nettle", on=today, at=timezone.now(), born_earliest=today, born_latest=today
    )
    litter = Litter.objects.get()
    for status in (302, 422):
        answer = client.post(reverse("litter-pups", args=[litter.pk]), {"pups": [str(pup.pk)]})
        assert answer.status_code == status
    assert LitterPup.objects.get().animal == pup


def test_two_people_are_two_names_and_say_how_it_was_seen(
    client: Client, carer: Person, lead: Person
) -> None:
    fern = grown(lead, "Fern")
    said = {"sex": "sow", "sure": "two_people", "how": "Y-shaped opening"}
    assert (
        "Name the second person" in post(client, "animal-sexing", fern.pk, **said).content.decode()
    )
    myself = post(client, "animal-sexing", fern.pk, **(said | {"looked_by": str(carer)}))
    assert "That is you" in myself.content.decode()
    how = post(client, "animal-sexing", fern.pk, **(said | {"looked_by": "Ann", "how": ""}))
    assert "Say how it was seen" in how.content.decode()
    assert not Sexing.objects.exists()
    assert (
        post(client, "animal-sexing", fern.pk, **(said | {"looked_by": "Ann"})).status_code == 302
    )


def test_a_look_that_is_taken_back_leaves_the_sex_as_it_was(client: Client, lead: Person) -> None:
    fern = grown(lead, "Fern")
    post(client, "animal-sexing", fern.pk, sex="boar", sure="sure")
    fern.refresh_from_db()
    assert fern.sex == "boar"
    take_back(client, fern, "sexing", Sexing.objects.get().pk)
    fern.refresh_from_db()
    assert (fern.sex, fern.sex_sure) == ("sow", "sure")


def test_nothing_of_another_animal_is_taken_back(
    client: Client, lead: Person, pair: dict[str, Animal]
) -> None:
    fern, moss = pair["fern"], pair["moss"]
    post(client, "animal-sexing", fern.pk, sex="sow", sure="sure")
    row = Sexing.objects.get()
    assert take_back(client, moss, "sexing", row.pk).status_code == 404
    assert take_back(client, fern, "weight", row.pk).status_code == 404


def test_an_introduction_to_an_entire_boar_is_a_contact_until_somebody_ends_it(
    client: Client, lead: Person
) -> None:
    fern, moss = grown(lead, "Fern"), grown(lead, "Moss", sex="boar", pregnant="unknown")
    assert expected() == set()
    begun = begin_introduction(lead, [fern, moss], timezone.now() - 2 * DAY)
    [one] = BreedingNow(timezone.now()).expecting
    assert one.with_now == (str(moss.pk),)
    end_introduction(lead, begun, "parted", timezone.now() - DAY)
    [one] = BreedingNow(timezone.now()).expecting
    assert one.possible.last == timezone.localdate() - DAY + 72 * DAY


def test_the_pages_that_ask_for_a_look_say_how_she_is_held(
    client: Client, pair: dict[str, Animal]
) -> None:
    for name in ("animal-sexing", "animal-pups-felt"):
        page = client.get(reverse(name, args=[pair["fern"].pk])).content.decode()
        assert "do not tip her" in page
    page = client.get(reverse("animal-sexing", args=[pair["moss"].pk])).content.decode()
    assert "the rump always held" in page
    assert "do not tip her" not in page
