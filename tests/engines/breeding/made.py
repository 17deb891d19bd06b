"""Animals and stays for tests of breeding, with only what a test says of them."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

from cavyround.advice.book import book
from cavyround.engines.breeding import Expecting, expecting
from cavyround.facts.animal import Born, Known, Sex, Weighing
from cavyround.facts.breeding import Breeder, Sexing, Sure
from cavyround.facts.stays import Stay

NOW = datetime(2026, 3, 3, 9, 0, tzinfo=UTC)
TODAY = NOW.date()
GROWN = Born(earliest=date(2025, 9, 20), latest=date(2025, 9, 20))


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def moment(days_ago: float) -> datetime:
    return NOW - timedelta(days=days_ago)


def born(days_ago: int) -> Born:
    return Born(earliest=ago(days_ago), latest=ago(days_ago))


def sow(name: str = "sow", **said: Any) -> Breeder:
    """A sow born here, of whom nothing else is known."""
    known: dict[str, Any] = {
        "id": name,
        "sex": Sex.SOW,
        "sure": Sure.SURE,
        "neutered": Known.NO,
        "born": GROWN,
        "born_here": True,
        **said,
    }
    return Breeder(**known)


def boar(name: str = "boar", **said: Any) -> Breeder:
    return sow(name, **{"sex": Sex.BOAR, **said})


def stay(animal: str, pen: str, began: float, ended: float | None = None) -> Stay:
    """From so many days ago until so many days ago."""
    until = None if ended is None else moment(ended)
    return Stay(animal=animal, pen=pen, began_at=moment(began), ended_at=until)


def looked(sex: Sex, by: str, days_ago: float = 1, sure: Sure = Sure.SURE) -> Sexing:
    return Sexing(sex=sex, sure=sure, at=moment(days_ago), by=by)


def grams(days_ago: float, weight: int) -> Weighing:
    return Weighing(at=moment(days_ago), grams=Decimal(weight))


def expect(animals: list[Breeder], stays: list[Stay], now: datetime = NOW) -> list[Expecting]:
    return list(expecting(animals, stays, now=now, zone=UTC, book=book()))


def expect_one(animals: list[Breeder], stays: list[Stay], now: datetime = NOW) -> Expecting:
    [one] = expect(animals, stays, now)
    return one
