"""Animals that are not to meet: introductions and shared runs say so before they are kept."""

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.record.animals import move
from cavyround.record.models import Animal, Introduction, Person, SharedUse
from tests.builders import a_pen, an_animal

KNOWN = {"sex_sure": "sure", "neutered": "no"}


@pytest.fixture
def herd(lead: Person) -> dict[str, Animal]:
    pens = {name: a_pen(name=name) for name in ("Clover", "Plantain", "Yarrow")}
    sow = an_animal(lead, "Tansy", pregnant="no", pen=pens["Clover"], **KNOWN)
    other = an_animal(lead, "Bilberry", pregnant="no", pen=pens["Yarrow"], **KNOWN)
    boar = an_animal(lead, "Barnaby", pen=pens["Plantain"], **(KNOWN | {"sex": "boar"}))
    new = an_animal(lead, "Rhubarb", on=timezone.localdate(), at=timezone.now(), **KNOWN)
    move(lead, new, a_pen("quarantine", name="Q1", room="Shed"), timezone.now(), why="arrival")
    return {"sow": sow, "other": other, "boar": boar, "new": new}


def post(person: Person, view: str, animals: list[Animal], **said: str) -> tuple[int, str]:
    client = Client()
    client.force_login(person)
    form = {"animals": [str(one.pk) for one in animals], **said}
    answer = client.post(reverse(view), form)
    return answer.status_code, answer.content.decode()


@pytest.mark.parametrize(("who", "why"), [("boar", "Boar and sow"), ("new", "in quarantine")])
def test_an_introduction_of_two_that_are_not_to_meet_says_why_and_is_not_kept(
    carer: Person, herd: dict[str, Animal], who: str, why: str
) -> None:
    both = [herd["sow"], herd[who]]
    code, text = post(carer, "introduction-new", both, words="neutral ground")
    assert code == 422
    assert why in text
    assert 'type="checkbox" name="all_the_same"' in text
    assert "neutral ground" in text
    assert not Introduction.objects.exists()
    code, _ = post(carer, "introduction-new", both, words="it is done", all_the_same="on")
    assert code == 302
    assert Introduction.objects.count() == 1


def test_two_that_may_share_are_introduced_without_a_question(
    carer: Person, herd: dict[str, Animal]
) -> None:
    assert post(carer, "introduction-new", [herd["sow"], herd["other"]])[0] == 302


def test_a_shared_run_of_a_boar_and_a_sow_is_read_first_and_a_brush_is_not_asked_about(
    carer: Person, herd: dict[str, Animal]
) -> None:
    both, began = [herd["sow"], herd["boar"]], timezone.localtime().strftime("%Y-%m-%dT%H:%M")
    run = {"kind": "run", "name": "Lawn run", "began_at": began}
    code, text = post(carer, "shared-new", both, **run)
    assert code == 422
    assert "Boar and sow" in text
    assert not SharedUse.objects.exists()
    assert post(carer, "shared-new", both, all_the_same="on", **run)[0] == 302
    brush = run | {"kind": "things", "name": "brush 2"}
    assert post(carer, "shared-new", both, **brush)[0] == 302
