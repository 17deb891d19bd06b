"""A small round: one pen, a shelf, and orders that are due on the day of the tests."""

from datetime import date, timedelta
from typing import Any
from uuid import UUID

from django.test import Client
from django.urls import reverse

from cavyround.record.models import Animal, Course, Person
from cavyround.record.models.entries import new_id
from tests.builders import FINISH, NOW, TODAY, a_check, weighed
from tests.builders_medicines import a_course, a_lot, a_product, a_syringe, an_order, every_days

Round = dict[str, Any]


def weigh(person: Person, animal: Animal, grams: int, ago: timedelta = timedelta(hours=2)) -> None:
    a_check(person, animal, weighed(grams), FINISH, at=NOW - ago, kind="weigh_in")


def a_shelf(person: Person, drug: str = "meloxicam", strength: str = "1.5 mg/mL") -> None:
    product = a_product(person, name=drug, drug=drug, strength=strength)
    a_lot(person, product, number="A7")
    a_syringe(person)


def ordered(person: Person, animal: Animal, *, first: date = TODAY, **said: Any) -> Course:
    """Meloxicam by mouth, 0.4 mg/kg, once a day; due any time today."""
    known: dict[str, Any] = {
        "drug": "meloxicam",
        "dose": "0.4 mg/kg",
        "route": "by_mouth",
        "strength": "1.5 mg/mL",
        "why": "sore after its operation",
        "schedule": every_days(1, doses=5, first=first),
        **said,
    }
    return a_course(person, animal, an_order(person, **known))


def loaded(client: Client) -> Round:
    answer = client.get(reverse("dose-round-json"))
    assert answer.status_code == 200
    told: Round = answer.json()
    return told


def the_dose(told: Round, animal: Animal) -> Round:
    (one,) = [one for one in told["doses"] if one["animal"] == str(animal.pk)]
    found: Round = one
    return found


def tried(dose: Round, outcome: str = "given", **said: Any) -> Round:
    """A try at a dose in its envelope, as the phone sends it."""
    touch = {
        "kind": "dose",
        "course": dose["course"],
        "number": dose["number"],
        "outcome": outcome,
        "why": "",
        "weight_g": dose["weight_g"],
        "weighed_at": dose["weighed_at"],
        "amount": dose["drawn_amount"] if outcome != "not_given" else None,
        "unit": dose["drawn_unit"] if outcome != "not_given" else "",
        "lot": dose["lot"] if outcome != "not_given" else None,
        "syringe": (dose["syringe"] or {}).get("code", ""),
        "second": None,
        "worked": dose["worked"],
        **said,
    }
    return envelope(dose, touch)


def envelope(about: Round, touch: Round, entry: UUID | None = None, **said: Any) -> Round:
    check = {"id": about["key"], "animal": about["animal"], "course": about["course"]}
    if "number" in about:
        check["number"] = about["number"]
    return {
        "id": str(entry or new_id()),
        "check": check,
        "made_at": NOW.isoformat(),
        "by": None,
        "touch": touch,
        **said,
    }


def taken_back(sent: Round) -> Round:
    return {
        **sent,
        "id": str(new_id()),
        "touch": {"kind": "take_back", "entry": sent["id"]},
    }


def answered(question: Round, number: int) -> Round:
    touch = {
        "kind": "answer",
        "course": question["course"],
        "question": question["question"],
        "answer": number,
        "dose": question["dose"],
    }
    return envelope(question, touch)


def send(client: Client, *items: object, **said: Any) -> Round:
    body = {"sent_at": NOW.isoformat(), "touches": list(items), **said}
    answer = client.post(reverse("dose-round-entries"), body, content_type="application/json")
    told: Round = {"status": answer.status_code, **answer.json()}
    return told
