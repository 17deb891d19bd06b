"""Whatever a phone's clock says, its entries are kept, at the time they were made."""

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.record.clocks import EARLIEST, PhoneClock, said_moment
from cavyround.record.models import Animal, Check, CheckEntry, Person, WeighIn
from cavyround.record.receiving import Receipt, receive
from tests.builders import NOW, OnTheTable, found, weighed

MINUTE, DAY = timedelta(minutes=1), timedelta(days=1)
# A phone a year ahead, one that lost its battery, one two hours behind, one with a good clock.
CLOCKS = [365 * DAY, datetime(1970, 1, 1, tzinfo=UTC) - NOW, -2 * timedelta(hours=1), 0 * DAY]


def send(person: Person, *items: object, off: timedelta | None = None) -> list[Receipt]:
    """Send at NOW from a phone whose clock is ``off``; None from one that does not say."""
    return receive(person, items, NOW, sent_at=None if off is None else NOW + off)


def a_sitting(sow: Animal, off: timedelta) -> tuple[OnTheTable, list[dict[str, Any]]]:
    """A check begun ten minutes ago, by a clock that is ``off``."""
    table = OnTheTable(sow, at=NOW + off - 10 * MINUTE)
    return table, [
        table.touch(found(), at=NOW + off - 9 * MINUTE),
        table.touch(weighed(912), at=NOW + off - 8 * MINUTE),
    ]


@pytest.mark.parametrize("off", CLOCKS)
def test_however_wrong_the_clock_all_is_kept_at_the_time_it_was_made(
    carer: Person, sow: Animal, off: timedelta
) -> None:
    table, items = a_sitting(sow, off)
    assert all(receipt.is_kept for receipt in send(carer, *items, off=off))
    assert table.row.started_at == NOW - 10 * MINUTE
    made = CheckEntry.objects.exclude(kind="clock").values_list("made_at", flat=True)
    assert list(made) == [NOW - 9 * MINUTE, NOW - 8 * MINUTE]
    assert WeighIn.objects.get().at == NOW - 8 * MINUTE


def test_what_the_phones_clock_said_stays_readable(carer: Person, sow: Animal) -> None:
    off = 365 * DAY
    table, items = a_sitting(sow, off)
    send(carer, *items, off=off)
    said = CheckEntry.objects.get(kind="clock")
    assert (said.made_at, said.made_by, said.check_in) == (NOW, carer, table.row)
    assert {key: datetime.fromisoformat(at) for key, at in said.data["made_at"].items()} == {
        item["id"]: datetime.fromisoformat(item["made_at"]) for item in items
    }
    assert datetime.fromisoformat(said.data["started_at"]) == table.at
    assert datetime.fromisoformat(said.data["phone"]) == NOW + off
    assert datetime.fromisoformat(said.data["here"]) == NOW


def test_a_good_clock_leaves_no_word_of_itself(carer: Person, sow: Animal) -> None:
    _, items = a_sitting(sow, timedelta(seconds=40))
    send(carer, *items, off=timedelta(seconds=40))
    assert not CheckEntry.objects.filter(kind="clock").exists()
    assert CheckEntry.objects.get(kind="weight").made_at == NOW + timedelta(seconds=40 - 8 * 60)


@pytest.mark.parametrize("off", [400 * DAY, 25 * timedelta(hours=1), CLOCKS[1]])
@pytest.mark.parametrize("says", [False, True])
def test_a_moment_that_cannot_be_becomes_the_moment_of_arrival_in_the_order_sent(
    carer: Person, sow: Animal, off: timedelta, says: bool
) -> None:
    """Made by a clock since put right, or sent by a page that does not say its time."""
    table, items = a_sitting(sow, off)
    sent = send(carer, *items, off=timedelta() if says else None)
    assert all(receipt.is_kept for receipt in sent)
    first, second = CheckEntry.objects.exclude(kind="clock").order_by("made_at")
    assert (first.kind, second.kind) == ("observation", "weight")
    assert NOW <= first.made_at < second.made_at < NOW + timedelta(seconds=1)
    assert NOW <= table.row.started_at < NOW + timedelta(seconds=1)
    assert CheckEntry.objects.get(kind="clock").data["made_at"].keys() == {
        item["id"] for item in items
    }


def test_sending_again_with_the_clock_put_right_changes_nothing(carer: Person, sow: Animal) -> None:
    _, items = a_sitting(sow, 365 * DAY)
    send(carer, *items, off=365 * DAY)
    before = list(CheckEntry.objects.order_by("pk").values())
    for off in (365 * DAY, timedelta(), None):
        assert all(receipt.is_kept for receipt in send(carer, *items, off=off))
    assert list(CheckEntry.objects.order_by("pk").values()) == before
    assert Check.objects.count() == 1


def test_a_phone_cannot_write_down_itself_what_its_clock_said(carer: Person, sow: Animal) -> None:
    touch = OnTheTable(sow).touch({"kind": "clock", "here": NOW.isoformat()})
    [receipt] = send(carer, touch)
    assert "Only the record itself" in receipt.why


moments = st.datetimes(timezones=st.sampled_from((UTC,)))


@given(moments, moments, st.none() | moments)
def test_no_clock_puts_a_moment_ahead_of_its_arrival_or_before_there_were_such_phones(
    said: datetime, now: datetime, sent_at: datetime | None
) -> None:
    right = PhoneClock(max(now, EARLIEST + DAY), sent_at).set_right(said)
    assert EARLIEST <= right <= max(now, EARLIEST + DAY) + MINUTE


@pytest.mark.parametrize(
    "text",
    [
        *(None, 3, [], "", "yesterday", "2026-03-03T09:00:00", "2026-13-01T10:00:00Z"),
        *("0001-01-01T00:00:00+14:00", "9999-12-31T23:59:00-12:00"),
    ],
)
def test_what_is_no_moment_with_its_zone_is_none(text: object) -> None:
    assert said_moment(text) is None
