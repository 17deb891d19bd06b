"""How fast the engines are on one core: single cases, and a whole herd."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

from django.db import transaction

from benchmarks.timing import once
from cavyround.advice.due import due_today
from cavyround.commands.cases import Readied, ready
from cavyround.commands.triage import read_cases
from cavyround.engines.triage import assess
from cavyround.engines.triage.assessing import urgency_of
from cavyround.engines.weight import read_herd, signs_with, weight_signs
from cavyround.facts.animal import AnimalFacts, Sex, Weighing
from cavyround.knowledge.book import Knowledge
from cavyround.record.models import Animal, Check, Pen, Person, Room

CASES = Path(__file__).parent.parent / "tests" / "scenarios"
ONE_IN = 5
WEIGHINGS_EACH = 26


def cases_per_second(book: Knowledge, *, rounds: int) -> tuple[float, int]:
    """Full answers (with reasons, questions and words for the vet) in a second; and of how many."""
    cases = _cases(book)

    def run() -> None:
        for case in cases:
            signs = weight_signs(case.facts, now=case.now, book=book)
            assess(case.facts, now=case.now, book=book, signs=signs)

    run()
    fastest = min(once(run) for _ in range(rounds))
    return len(cases) / fastest, len(cases)


def _cases(book: Knowledge) -> list[Readied]:
    files = sorted(CASES.glob("*_cases.yaml"))
    return [ready(case) for file in files for case in read_cases(file, book)]


def herd_seconds(book: Knowledge, *, animals: int) -> float:
    """Weight signs and urgency of so many animals: every fifth with a case's findings."""
    now = datetime(2026, 3, 3, 12, tzinfo=UTC)
    cases = _cases(book)
    several = [_animal(number, cases, now) for number in range(ONE_IN * 100)]
    herd = [replace(several[n % len(several)], id=str(n)) for n in range(animals)]

    def run() -> None:
        readings = read_herd(herd, now=now, book=book)
        for facts in herd:
            signs = signs_with(readings[facts.id], facts, now=now, book=book)
            urgency_of(facts, now=now, book=book, signs=signs)

    return once(run)


def _animal(number: int, cases: Sequence[Readied], now: datetime) -> AnimalFacts:
    weighings = tuple(
        Weighing(at=now - timedelta(days=7 * week), grams=Decimal(900 + number % 200 - week % 9))
        for week in reversed(range(WEIGHINGS_EACH))
    )
    if number % ONE_IN == 0:
        facts = cases[number // ONE_IN % len(cases)].facts
        return replace(facts, weighings=weighings)
    sex = Sex.SOW if number % 2 else Sex.BOAR
    return AnimalFacts(id=str(number), sex=sex, checked_before=True, weighings=weighings)


def due_seconds(animals: int) -> float:
    """Seconds to say from the record who of so many animals is due; adds them to it first."""
    now = datetime.now(UTC)
    person = Person.objects.create(username="of-many", role="carer")
    room = Room.objects.create(name="Room of many")
    pens = [Pen.objects.create(room=room, name=f"Pen {number}") for number in range(animals // 4)]
    arrived = (now - timedelta(days=200)).date()
    herd = [
        Animal(name=f"Of many {number}", pen=pens[number // 4 % len(pens)], arrived_on=arrived)
        for number in range(animals)
    ]
    checked = [now - timedelta(days=number % 12) for number in range(animals)]
    checks = [
        Check(animal=animal, kind="full", started_at=at, finished_at=at, started_by=person)
        for animal, at in zip(herd, checked, strict=True)
    ]
    with transaction.atomic():
        Animal.objects.bulk_create(herd, batch_size=500)
        Check.objects.bulk_create(checks, batch_size=500)
    due_today(now)
    return once(lambda: due_today(now))
