"""A new animal comes, is stated anew, moves, leaves and comes back."""

from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from pytest_django import Settings

from cavyround.record.animals import move
from cavyround.record.models import Animal, AnimalStatement, Person
from cavyround.record.models.entries import new_id
from cavyround.web.animals.details import DetailsForm
from tests.web.animals_made import a_pen, an_animal, arrival_form
from tests.web.conftest import SignedIn


def in_days(days: int) -> date:
    return timezone.localdate() + timedelta(days=days)


def tomorrow() -> date:
    return in_days(1)


@pytest.fixture
def client_of_carer(carer: Person, signed_in: SignedIn) -> Client:
    return signed_in(carer)


def sent(client: Client, **changes: Any) -> Any:
    return client.post(reverse("new-animal"), arrival_form(**changes))


def test_a_new_animal_is_in_the_record_and_its_arrival_check_comes_next(
    client_of_carer: Client,
) -> None:
    pen = a_pen()
    answer = sent(client_of_carer, pen=pen.pk, microchip="968 000 004 531 234", all_the_same="on")
    animal = Animal.objects.get()
    assert answer.status_code == 302
    assert answer["Location"] == f"{reverse('check')}?animal={animal.pk}&kind=arrival"
    assert animal.pen == pen
    assert animal.coat == ["rough", "satin"]
    assert animal.dark_skin is True
    assert animal.microchip == "968000004531234"
    arrival = animal.arrivals.get()
    assert (arrival.how, arrival.sexed_as, arrival.told) == ("surrendered", "boar", "Lived alone.")


def test_a_form_sent_twice_makes_one_animal_and_leads_to_the_same_place(
    client_of_carer: Client,
) -> None:
    form = arrival_form(microchip="968000004531234")
    first = client_of_carer.post(reverse("new-animal"), form)
    second = client_of_carer.post(reverse("new-animal"), form)
    assert second["Location"] == first["Location"]
    assert Animal.objects.count() == 1


def test_two_forms_make_two_animals(client_of_carer: Client) -> None:
    sent(client_of_carer, name="Bracken")
    sent(client_of_carer, name="Clover")
    assert Animal.objects.count() == 2


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"name": "  "}, "name", "Give it one"),
        ({"name": "B" * 61}, "name", "too long"),
        ({"birth": "exact", "born_on": tomorrow()}, "born_on", "future"),
        ({"birth": "exact", "born_on": "0001-01-01"}, "born_on", "Look at the year again"),
        ({"birth": "between", "born_earliest": "1500-01-01"}, "born_earliest", "20 years ago"),
        ({"birth": "between", "born_latest": "9999-12-31"}, "born_latest", "2 years ahead"),
        ({"birth": "exact", "born_on": ""}, "born_on", "The day is missing"),
        ({"birth": "between", "born_latest": tomorrow()}, "born_latest", "future"),
        (
            {"birth": "between", "born_earliest": "2024-05-02", "born_latest": "2024-05-01"},
            "born_latest",
            "must not come before the earliest",
        ),
        ({"birth": "between"}, "born_earliest", "at least one"),
        ({"birth": "exact", "born_on": "31/02/2024"}, "born_on", "no day of the calendar"),
        ({"sex": "boar", "pregnant": "yes"}, "pregnant", "boar cannot be pregnant"),
        ({"due_from": tomorrow()}, "due_from", "goes only with"),
        ({"pregnant": "yes", "due_from": "0001-01-01"}, "due_from", "Look at the year again"),
        ({"pregnant": "yes", "due_from": in_days(73)}, "due_from", "72 days at the most"),
        ({"microchip": "96800000453123"}, "microchip", "15 digits; this has 14"),
        ({"microchip": "96800000453I234"}, "microchip", "digits only"),
        ({"how": ""}, "how", "Choose how it came"),
        ({"how": "by post"}, "how", "not one of the choices"),
        ({"on": ""}, "on", "day is missing"),
        ({"on": tomorrow()}, "on", "still to come"),
        ({"on": "0206-03-03"}, "on", "20 years ago"),
        ({"on": "2024-05-01", "birth": "exact", "born_on": "2024-06-01"}, "born_on", "after it"),
        ({"pen": 4711}, "pen", "no such pen"),
        ({"coat": ["feathers"]}, "coat", "not one of the available choices"),
    ],
)
def test_bad_input_is_said_beside_its_field_and_nothing_typed_is_lost(
    client_of_carer: Client, changes: dict[str, Any], field: str, words: str
) -> None:
    answer = sent(client_of_carer, **{"colour": "three colours", **changes})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in " ".join(answer.context["form"].errors[field])
    assert f'id="id_{field}_error"' in page
    assert "three colours" in page
    assert not Animal.objects.exists()


def test_a_fault_is_tied_to_its_field_for_a_screen_reader(client_of_carer: Client) -> None:
    page = sent(client_of_carer, name="").content.decode()
    name = page[page.index('<input type="text" name="name"') :].split(">")[0]
    assert 'aria-invalid="true"' in name
    assert 'aria-describedby="id_name_error"' in name


def test_a_test_chip_is_kept_with_a_warning(client_of_carer: Client) -> None:
    sent(client_of_carer, microchip="999000004531234")
    page = client_of_carer.get(reverse("animal", args=[Animal.objects.get().pk])).content.decode()
    assert "marks a test chip" in page
    assert "999 000 004 531 234" in page


def test_a_microchip_belongs_to_one_animal(client_of_carer: Client, carer: Person) -> None:
    an_animal(carer, "Clover", microchip="968000004531234")
    answer = sent(client_of_carer, microchip="968000004531234")
    assert "Clover has this number already" in answer.context["form"].errors["microchip"][0]


def test_what_nobody_said_is_not_known_rather_than_guessed(client_of_carer: Client) -> None:
    form = {"name": "Bracken", "how": "found", "on": timezone.localdate()}
    client_of_carer.post(reverse("new-animal"), form)
    animal = Animal.objects.get()
    assert (animal.sex, animal.neutered, animal.pregnant) == ("unknown",) * 3
    assert animal.dark_skin is None
    assert animal.born_earliest is None


def stating_form(animal: Animal, **changes: Any) -> dict[str, Any]:
    return {
        "name": animal.name,
        "sex": animal.sex,
        "sex_sure": animal.sex_sure,
        "neutered": animal.neutered,
        "pregnant": animal.pregnant,
        "birth": "unknown",
        "skin": "unknown",
    } | changes


def test_a_lead_states_anew_with_a_reason_and_the_old_statement_stays_readable(
    lead: Person, carer: Person, signed_in: SignedIn
) -> None:
    animal = an_animal(carer, sex="sow")
    address = reverse("animal-state", args=[animal.pk])
    form = stating_form(animal, sex="boar", reason="two people looked and agree")
    assert signed_in(lead).post(address, form).status_code == 302
    animal.refresh_from_db()
    assert animal.sex == "boar"
    page = signed_in(lead).get(address).content.decode()
    assert "two people looked and agree" in page
    assert "first entry" in page
    assert page.index("<dd>Boar</dd>") < page.index("<dd>Sow</dd>")
    story = signed_in(lead).get(reverse("animal", args=[animal.pk])).content.decode()
    assert "Why: two people looked and agree" in story


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"sex": "boar", "reason": ""}, "reason"),
        ({"reason": "nothing differs"}, "reason"),
        ({"sex": "boar", "pregnant": "possible", "reason": "felt"}, "pregnant"),
        ({"birth": "exact", "born_on": tomorrow(), "reason": "told"}, "born_on"),
    ],
)
def test_a_statement_that_cannot_be_is_refused(
    lead: Person, signed_in: SignedIn, changes: dict[str, Any], field: str
) -> None:
    animal = an_animal(lead)
    answer = signed_in(lead).post(
        reverse("animal-state", args=[animal.pk]), stating_form(animal, **changes)
    )
    assert answer.status_code == 422
    assert field in answer.context["form"].errors
    assert AnimalStatement.objects.count() == 1


def opened(client: Client, animal: Animal) -> dict[str, Any]:
    """The form as a browser would send it back untouched."""
    form = client.get(reverse("animal-state", args=[animal.pk])).context["form"]
    shown = {name: form[name].value() for name in form.fields}
    return {name: value for name, value in shown.items() if value is not None}


def test_a_stale_form_states_only_what_was_changed_on_it(lead: Person, signed_in: SignedIn) -> None:
    animal = an_animal(lead, sex="unknown", colour="")
    client, address = signed_in(lead), reverse("animal-state", args=[animal.pk])
    stale, other = opened(client, animal), opened(client, animal)
    assert client.post(address, other | {"sex": "boar", "reason": "two people"}).status_code == 302
    assert client.post(address, stale | {"colour": "tan", "reason": "daylight"}).status_code == 302
    animal.refresh_from_db()
    assert (animal.sex, animal.colour) == ("boar", "tan")
    last = AnimalStatement.objects.order_by("-id").first()
    assert last
    assert last.fields == {"colour": "tan"}


def test_what_somebody_else_stated_meanwhile_is_said_beside_it_and_what_was_typed_is_kept(
    lead: Person, signed_in: SignedIn
) -> None:
    animal = an_animal(lead, sex="unknown", colour="", dark_skin=None)
    client, address = signed_in(lead), reverse("animal-state", args=[animal.pk])
    stale, other = opened(client, animal), opened(client, animal)
    theirs = other | {"sex": "boar", "skin": "dark", "colour": "black", "reason": "two people"}
    assert client.post(address, theirs).status_code == 302
    mine = stale | {"sex": "sow", "skin": "pale", "reason": "looked myself", "once": str(new_id())}
    answer = client.post(address, mine)
    assert answer.status_code == 422
    form = answer.context["form"]
    assert set(form.errors) == {"sex", "skin"}
    assert "Marjorie Oakes has stated “Boar”; you say “Sow”" in form.errors["sex"][0]
    assert form["sex"].value() == "sow"
    animal.refresh_from_db()
    assert animal.sex == "boar"
    # Sent once more it is meant; what was not touched on the old form stays as it was stated.
    again = mine | {"was": form["was"].value()}
    assert client.post(address, again).status_code == 302
    animal.refresh_from_db()
    assert (animal.sex, animal.dark_skin, animal.colour) == ("sow", False, "black")


@pytest.mark.parametrize("was", ["", "no json", "[1]", "[" * 100_000])
def test_a_form_that_does_not_say_what_it_showed_is_measured_by_what_stands(
    lead: Person, signed_in: SignedIn, was: str
) -> None:
    animal = an_animal(lead)
    form = stating_form(animal, colour="tan", reason="daylight", was=was)
    address = reverse("animal-state", args=[animal.pk])
    assert signed_in(lead).post(address, form).status_code == 302
    animal.refresh_from_db()
    assert animal.colour == "tan"


@pytest.mark.parametrize("hour", [0, 23])
def test_a_birth_today_is_no_birth_in_the_future_in_the_rescues_own_zone(
    hour: int,
    lead: Person,
    signed_in: SignedIn,
    settings: Settings,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    settings.TIME_ZONE = "Pacific/Auckland"
    there = datetime(2026, 3, 3, hour, 30, tzinfo=ZoneInfo("Pacific/Auckland"))
    monkeypatch.setattr(timezone, "now", lambda: there.astimezone(UTC))
    form = DetailsForm({"name": "Pip", "birth": "exact", "born_on": "2026-03-03"})
    assert form.is_valid(), form.errors
    late = DetailsForm({"name": "Pip", "birth": "exact", "born_on": "2026-03-04"})
    assert "born_on" in late.errors


def test_a_carer_states_anew_only_what_is_all_their_own(
    lead: Person, carer: Person, signed_in: SignedIn
) -> None:
    own, others = an_animal(carer, "Clover"), an_animal(lead, "Bracken")
    client = signed_in(carer)
    for animal, status in ((own, 302), (others, 403)):
        form = stating_form(animal, colour="tan", reason="seen in daylight")
        answer = client.post(reverse("animal-state", args=[animal.pk]), form)
        assert answer.status_code == status
    others.refresh_from_db()
    assert others.colour == ""


def test_an_animal_moves_leaves_and_comes_back(client_of_carer: Client, carer: Person) -> None:
    animal, pen, today = an_animal(carer), a_pen(), timezone.localdate()
    client_of_carer.post(
        reverse("animal-move", args=[animal.pk]),
        {"pen": pen.pk, "why": "space", "all_the_same": "on"},
    )
    animal.refresh_from_db()
    assert animal.pen == pen
    leaving = {"how": "adopted", "on": today, "went_to": "the Alders"}
    # It came today and nobody ended its quarantine: whoever takes it is told.
    refused = client_of_carer.post(reverse("animal-depart", args=[animal.pk]), leaving)
    assert refused.status_code == 422
    assert "In quarantine" in refused.content.decode()
    client_of_carer.post(reverse("animal-depart", args=[animal.pk]), {**leaving, "told": "on"})
    left = Animal.objects.get()
    assert not left.is_here
    assert left.pen is None
    coming = {"how": "returned", "on": today, "told": "An allergy in the house."}
    answer = client_of_carer.post(reverse("animal-return", args=[animal.pk]), coming)
    assert "kind=arrival" in answer["Location"]
    assert Animal.objects.get().is_here
    assert animal.arrivals.count() == 2
    page = client_of_carer.get(reverse("animal", args=[animal.pk])).content.decode()
    for words in ("Moved to Pen 1, Front room", "Departure: adopted", "Arrival: returned"):
        assert words in page


def test_a_departure_sent_twice_is_one(client_of_carer: Client, carer: Person) -> None:
    animal = an_animal(carer)
    form = {"how": "died", "on": timezone.localdate(), "once": arrival_form()["once"]}
    for _ in range(2):
        client_of_carer.post(reverse("animal-depart", args=[animal.pk]), form)
    assert animal.departures.count() == 1


@pytest.mark.parametrize(
    ("form", "field"),
    [
        ({"how": "adopted", "on": tomorrow()}, "on"),
        ({"how": "adopted", "on": "2001-01-01"}, "on"),
        ({"on": "2026-01-01"}, "how"),
    ],
)
def test_a_departure_that_cannot_be_is_refused(
    client_of_carer: Client, carer: Person, form: dict[str, Any], field: str
) -> None:
    animal = an_animal(carer)
    answer = client_of_carer.post(reverse("animal-depart", args=[animal.pk]), form)
    assert answer.status_code == 422
    assert field in answer.context["form"].errors


def test_a_move_into_its_own_pen_is_refused(client_of_carer: Client, carer: Person) -> None:
    animal = an_animal(carer)
    answer = client_of_carer.post(reverse("animal-move", args=[animal.pk]), {"pen": ""})
    assert answer.status_code == 422
    assert "there already" in answer.context["form"].errors["pen"][0]


def test_a_newcomer_goes_into_a_full_house_only_after_what_speaks_against_it_was_read(
    client_of_carer: Client, carer: Person
) -> None:
    pen = a_pen(name="Clover")
    fern = an_animal(carer, name="Fern", sex="sow", sex_sure="sure")
    move(carer, fern, pen, timezone.now(), why="space")
    boar = {"name": "Zorro", "sex": "boar", "sex_sure": "sure", "neutered": "no", "pen": pen.pk}
    answer = sent(client_of_carer, **boar)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "What speaks against it" in page
    assert "a newcomer from outside" in page
    assert "Zorro" in page, "what was typed is still there"
    assert not Animal.objects.filter(name="Zorro").exists()
    assert sent(client_of_carer, **boar, all_the_same="on").status_code == 302
    assert Animal.objects.get(name="Zorro").pen == pen


def test_one_that_comes_back_is_looked_at_before_it_is_put_with_others(
    client_of_carer: Client, carer: Person
) -> None:
    pen, today = a_pen(name="Clover"), timezone.localdate().isoformat()
    fern = an_animal(carer, name="Fern", sex="sow", sex_sure="sure")
    move(carer, fern, pen, timezone.now(), why="space")
    gone = an_animal(carer, name="Zorro", sex="boar", sex_sure="sure", neutered="no")
    leaving = {"how": "adopted", "on": today, "told": "on"}
    client_of_carer.post(reverse("animal-depart", args=[gone.pk]), leaving)
    address = reverse("animal-return", args=[gone.pk])
    back = {"how": "returned", "on": today, "pen": pen.pk}
    answer = client_of_carer.post(address, back)
    assert answer.status_code == 422
    assert "What speaks against it" in answer.content.decode()
    assert client_of_carer.post(address, {**back, "all_the_same": "on"}).status_code == 302
    gone.refresh_from_db()
    assert gone.pen == pen


@pytest.mark.parametrize("how", ["died", "put_to_sleep"])
def test_a_death_is_written_down_without_a_word_about_who_takes_it(
    client_of_carer: Client, carer: Person, how: str
) -> None:
    animal = an_animal(carer, pregnant="yes")
    form = {"how": how, "on": timezone.localdate().isoformat()}
    assert client_of_carer.post(reverse("animal-depart", args=[animal.pk]), form).status_code == 302


def test_whoever_takes_a_sow_that_may_be_pregnant_is_told(
    client_of_carer: Client, carer: Person
) -> None:
    animal = an_animal(carer, pregnant="yes")
    form = {"how": "adopted", "on": timezone.localdate().isoformat()}
    answer = client_of_carer.post(reverse("animal-depart", args=[animal.pk]), form)
    assert answer.status_code == 422
    assert "She may be pregnant" in answer.content.decode()
    assert not animal.departures.exists()
