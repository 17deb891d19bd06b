"""Stays and uses as short lines, and herds that hypothesis makes up."""

from datetime import UTC, datetime, timedelta

from hypothesis import strategies as st

from cavyround.engines.contagion.presences import Lasts
from cavyround.facts.stays import SharedUse, Stay, UseKind

DAY0 = datetime(2026, 3, 1, 8, tzinfo=UTC)
NO_LASTS = Lasts(pen=timedelta(), things=timedelta(), hands=timedelta())
LASTS = Lasts(pen=timedelta(days=3), things=timedelta(days=1), hands=timedelta(hours=4))


def day(number: float) -> datetime:
    return DAY0 + timedelta(days=number)


def stay(animal: str, pen: str, since: float, until: float | None, room: str = "shed") -> Stay:
    return Stay(
        id=f"{animal} {pen} {since}",
        animal=animal,
        pen=pen,
        room=room if pen else "",
        began_at=day(since),
        ended_at=None if until is None else day(until),
    )


def use(animal: str, kind: UseKind, name: str, since: float, until: float) -> SharedUse:
    return SharedUse(
        id=f"{animal} {name} {since}",
        animal=animal,
        kind=kind,
        name=name,
        began_at=day(since),
        ended_at=day(until),
    )


DAYS = 8
ANIMALS = "ABCDE"


@st.composite
def stays_of_a_herd(draw: st.DrawFn) -> list[Stay]:
    """Stays of whole days, of five animals in three pens of two rooms; also overlapping ones."""
    made = []
    for number in range(draw(st.integers(1, 12))):
        since = draw(st.integers(0, DAYS - 1))
        until = draw(st.one_of(st.none(), st.integers(since + 1, DAYS)))
        pen = draw(st.sampled_from(["p", "q", "r"]))
        made.append(
            Stay(
                id=f"s{number}",
                animal=draw(st.sampled_from(ANIMALS)),
                pen=pen,
                room="left" if pen == "r" else "right",
                began_at=day(since),
                ended_at=None if until is None else day(until),
            )
        )
    return made


@st.composite
def uses_of_a_herd(draw: st.DrawFn) -> list[SharedUse]:
    """Runs shared for whole days, things and hands at moments."""
    made = []
    for number in range(draw(st.integers(0, 6))):
        kind = draw(st.sampled_from(list(UseKind)))
        since = draw(st.integers(0, DAYS - 1))
        length = draw(st.integers(1, 2)) if kind is UseKind.RUN else 0
        made.append(
            SharedUse(
                id=f"u{number}",
                animal=draw(st.sampled_from(ANIMALS)),
                kind=kind,
                name="one",
                began_at=day(since),
                ended_at=day(since + length),
            )
        )
    return made
