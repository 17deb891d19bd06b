"""A schedule says what the order says, and refuses what cannot be, in words for the carer."""

from datetime import UTC, date, datetime, time, timedelta
from typing import Any

import pytest
from pydantic import TypeAdapter

from cavyround.facts.deviations import WORDS_IF_LATE, WORDS_IF_MISSED, WORDS_IF_PARTLY
from cavyround.facts.schedules import (
    UNTIL_VET_SAYS,
    DayOff,
    Ending,
    IfLate,
    IfMissed,
    IfPartly,
    Length,
    Rest,
    Schedule,
    Unit,
    days,
    hours,
)

FIRST = date(2026, 3, 1)
MOMENT = datetime(2026, 3, 1, 8, tzinfo=UTC)
TWICE = (time(8), time(20))


def a_schedule(**said: Any) -> Schedule:
    return Schedule(**{"every": days(10), "first_on": FIRST, "ends": Ending(doses=4), **said})


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({}, "every 10 days, 4 doses in all, first 1 March 2026"),
        (
            {"every": days(1), "at": TWICE, "ends": Ending(last_day=date(2026, 3, 7))},
            "every day at 08:00 and 20:00, to 7 March 2026, first 1 March 2026",
        ),
        (
            {"every": days(1), "at": TWICE, "first_time": time(20), "ends": UNTIL_VET_SAYS},
            "every day at 08:00 and 20:00, until the vet says, first 1 March 2026, 20:00",
        ),
        ({"every": None, "ends": Ending(doses=1)}, "once, first 1 March 2026"),
        (
            {"every": None, "ends": Ending(doses=2), "at": TWICE},
            "on one day at 08:00 and 20:00, first 1 March 2026",
        ),
        (
            {"every": hours(12), "first_on": None, "first_at": MOMENT, "ends": Ending(doses=6)},
            "every 12 hours, 6 doses in all, first 1 March 2026, 08:00 UTC",
        ),
        (
            {"every": days(1), "rest": Rest(after_days=3, days=5), "ends": Ending(doses=6)},
            "every day, 3 days of doses, then 5 days without, 6 doses in all, first 1 March 2026",
        ),
    ],
)
def test_it_is_said_on_one_line(said: dict[str, Any], words: str) -> None:
    assert a_schedule(**said).words == words


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ({"first_on": None}, "when the first is due"),
        ({"first_at": MOMENT}, "when the first is due"),
        ({"first_on": None, "first_at": datetime(2026, 3, 1, 8), "every": hours(8)}, "time zone"),  # noqa: DTZ001
        ({"first_on": MOMENT}, "without a time"),
        ({"every": days(0)}, "cannot be nought"),
        ({"every": hours(12)}, "said as a moment"),
        ({"first_on": None, "first_at": MOMENT}, "said as a day"),
        ({"first_on": None, "first_at": MOMENT, "every": hours(8), "at": TWICE}, "no times of day"),
        ({"at": (time(20), time(8))}, "earliest first"),
        ({"at": (time(8), time(8))}, "each said once"),
        ({"at": (time(8, tzinfo=UTC),)}, "carry no zone"),
        ({"at": TWICE, "first_time": time(9)}, "one of the times"),
        ({"rest": Rest(after_days=3, days=5)}, "doses every day"),
        ({"every": None}, "ends after that one day"),
        ({"every": None, "ends": UNTIL_VET_SAYS}, "ends after that one day"),
        ({"ends": Ending(last_day=date(2026, 2, 28))}, "before the first"),
        ({"ends": Ending(last_day=MOMENT)}, "without a time"),
        ({"early": days(5), "late": days(5)}, "nothing may fall due twice"),
        ({"every": days(1), "at": TWICE, "late": hours(0)}, "never on time"),
        ({"late": days(2), "missed_after": days(1)}, "still counts as on time"),
        ({"missed_after": days(11)}, "before the next one"),
        ({"least_apart": days(11)}, "further apart"),
        (
            {"if_late": IfLate.LEAVE_OUT, "if_missed": IfMissed.GIVE_MOVE_PLAN},
            "cannot be given once it is missed",
        ),
        ({"move_days": 1}, "which way"),
        ({"day_off": DayOff.LATER}, "by how many days"),
        ({"day_off": DayOff.LATER, "move_days": 10}, "reach the next"),
        (
            {
                "first_on": None,
                "first_at": MOMENT,
                "every": hours(8),
                "day_off": DayOff.LATER,
                "move_days": 1,
            },
            "counted in hours",
        ),
    ],
)
def test_what_contradicts_itself_is_refused_in_words(said: dict[str, Any], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        a_schedule(**said)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: Length(-1, Unit.DAYS),
        lambda: hours(73),
        lambda: days(401),
        lambda: Length(1.5, Unit.DAYS),  # type: ignore[arg-type]
        lambda: Length(True, Unit.DAYS),
        lambda: Ending(doses=3, last_day=FIRST),
        lambda: Ending(doses=0),
        lambda: Ending(doses=1001),
        lambda: Rest(after_days=0, days=5),
        lambda: Rest(after_days=3, days=0),
    ],
)
def test_numbers_that_make_no_sense_are_refused(wrong: Any) -> None:
    with pytest.raises(ValueError, match=r"not|no|least"):
        wrong()


def test_the_gap_between_doses_is_the_shortest_one() -> None:
    assert a_schedule().gap == timedelta(days=10)
    day = a_schedule(every=days(1), at=(time(8), time(14), time(20)))
    assert day.gap == timedelta(hours=6)
    wrapped = a_schedule(every=days(1), at=(time(6), time(22)))
    assert wrapped.gap == timedelta(hours=8)
    assert a_schedule(every=None, ends=Ending(doses=1)).gap is None


def test_where_the_order_is_silent_the_vet_is_asked() -> None:
    assert a_schedule().rules_words == (
        "Late: ask the vet before giving it.",
        "Missed: ask the vet what to do.",
        "Partly taken or spat out: ask the vet before giving more.",
        "On a day off: given all the same.",
    )


def test_every_rule_of_an_order_has_its_words() -> None:
    assert set(WORDS_IF_LATE) == set(IfLate)
    assert set(WORDS_IF_MISSED) == set(IfMissed)
    assert set(WORDS_IF_PARTLY) == set(IfPartly)


@pytest.mark.parametrize(
    "schedule",
    [
        a_schedule(late=days(2), if_late=IfLate.GIVE_MOVE_PLAN),
        a_schedule(every=days(1), at=TWICE, first_time=time(20)),
        a_schedule(every=hours(12), first_on=None, first_at=MOMENT),
    ],
)
def test_it_survives_being_written_down(schedule: Schedule) -> None:
    written = TypeAdapter(Schedule)
    assert written.validate_json(written.dump_json(schedule)) == schedule
