"""What a quarantine puts on a day's list, and that doing it takes it off again."""

from datetime import date, timedelta

from cavyround.engines.contagion.asks import asks_of
from cavyround.engines.contagion.quarantine import (
    Began,
    Clock,
    InQuarantine,
    LookedOver,
    Restart,
    clock_of,
)
from cavyround.knowledge.book import Knowledge

CAME = date(2026, 2, 1)
DAY = timedelta(days=1)


def clock(today: date, book: Knowledge, *checks: LookedOver) -> Clock:
    facts = InQuarantine(
        animal="teasel",
        began=(Began(on=CAME, why=Restart.CAME, words="came"),),
        days=21,
        second_look_days=14,
        last_check_days=7,
        checks=checks,
        keep_apart=False,
    )
    return clock_of(facts, today=today, book=book)


def asked(days: int, book: Knowledge, *checks: LookedOver) -> list[tuple[str, int]]:
    today = CAME + days * DAY
    found = asks_of(clock(today, book, *checks), today)
    return [(one.words, (today - one.on).days) for one in found]


def whole(days: int, *, skin_clear: bool | None = None) -> LookedOver:
    return LookedOver(on=CAME + days * DAY, whole=True, skin_clear=skin_clear)


SECOND = "quarantine: second look at coat and skin"
LAST = "quarantine ends on 22 February: whole check before it is ended"
OVER = "quarantine was over on 22 February: whole check before it is ended"


def test_in_the_first_two_weeks_it_asks_for_nothing_of_its_own(book: Knowledge) -> None:
    assert asked(13, book) == []


def test_after_fourteen_days_it_asks_for_the_second_look_until_that_is_done(
    book: Knowledge,
) -> None:
    assert asked(14, book) == [(SECOND, 0), (LAST, 0)]
    assert asked(16, book, whole(13, skin_clear=True)) == [(SECOND, 2), (LAST, 0)]
    assert asked(16, book, whole(15)) == [(SECOND, 2)]
    assert asked(16, book, whole(15, skin_clear=True)) == []


def test_a_look_that_was_not_clear_was_a_look(book: Knowledge) -> None:
    """What was found has its own days to look again."""
    assert asked(16, book, whole(15, skin_clear=False)) == []


def test_the_last_check_is_overdue_only_once_the_time_is_over(book: Knowledge) -> None:
    looked = LookedOver(on=CAME + 14 * DAY, whole=False, skin_clear=True)
    assert asked(20, book, looked) == [(LAST, 0)]
    assert asked(21, book, looked) == [(OVER, 0)]
    assert asked(24, book, looked) == [(OVER, 3)]


def test_a_check_of_long_ago_is_asked_for_again_while_nobody_ends_it(book: Knowledge) -> None:
    assert asked(21, book, whole(15, skin_clear=True)) == []
    assert asked(30, book, whole(15, skin_clear=True)) == [(OVER, 9)]
