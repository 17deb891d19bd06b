"""Touches come in once, each in its own right, and only from whom they may."""

from datetime import timedelta
from typing import Any
from uuid import uuid4

import pytest

from cavyround.record import receiving
from cavyround.record.models import (
    Animal,
    Check,
    CheckEntry,
    Happened,
    Observed,
    Person,
    StepState,
    WeighIn,
)
from cavyround.record.reading_off import read_off
from cavyround.record.receiving import receive
from tests.builders import FINISH, NOW, OnTheTable, an_animal, found, keep, weighed


@pytest.fixture
def table(sow: Animal) -> OnTheTable:
    return OnTheTable(sow)


def why(person: Person, item: object) -> str:
    [receipt] = receive(person, [item], NOW)
    return receipt.why


def test_a_touch_is_kept_with_who_made_it_and_when(carer: Person, table: OnTheTable) -> None:
    made_at = NOW - timedelta(minutes=3)
    keep(carer, [table.touch(weighed(912), at=made_at)])
    [entry] = CheckEntry.objects.all()
    assert (entry.made_by, entry.sent_by, entry.made_at) == (carer, carer, made_at)
    assert entry.data == weighed(912)


def test_sending_again_is_answered_as_kept_and_changes_nothing(
    carer: Person, table: OnTheTable
) -> None:
    items = [table.touch(weighed(912)), table.touch(found()), table.touch(FINISH)]
    keep(carer, items)
    before = [list(model.objects.order_by("pk").values()) for model in (CheckEntry, Observed)]
    for again in (items, items[::-1], items[1:2] * 3):
        keep(carer, again)
    after = [list(model.objects.order_by("pk").values()) for model in (CheckEntry, Observed)]
    assert after == before
    assert WeighIn.objects.count() == 1


def test_touches_that_arrive_out_of_order_come_to_the_same(carer: Person, lead: Person) -> None:
    told = []
    for name, turn in (("One", 1), ("Two", -1)):
        table = OnTheTable(an_animal(lead, name))
        items = [
            table.touch({"kind": "hold_normal", "hold": "head", "steps": ["ears", "mouth"]}),
            table.touch(found("crust", "ear", "ears")),
            table.touch(FINISH),
        ]
        for item in items[::turn]:
            keep(carer, [item])
        states = StepState.objects.filter(check_in=table.id).order_by("step")
        told.append(list(states.values_list("step", "state")))
    assert told[0] == told[1] == [("ears", "found"), ("mouth", "normal")]


def test_one_bad_touch_stops_no_other(carer: Person, table: OnTheTable) -> None:
    good, bad = table.touch(weighed(912)), table.touch(weighed(0))
    receipts = receive(carer, [bad, "nonsense", None, good, {"id": "x"}], NOW)
    assert [receipt.is_kept for receipt in receipts] == [False, False, False, True, False]
    assert "nothing was weighed" in receipts[0].why
    assert receipts[1].why == "This is no entry of a check."
    assert receipts[3].id == good["id"]
    assert CheckEntry.objects.count() == 1


def test_a_check_that_belongs_to_another_animal_is_refused(
    carer: Person, lead: Person, table: OnTheTable
) -> None:
    keep(carer, [table.touch(weighed(912))])
    other = OnTheTable(an_animal(lead, "Sorrel"), id=table.id)
    assert "belongs to another animal" in why(carer, other.touch(weighed(700)))
    assert WeighIn.objects.count() == 1


def test_an_animal_nobody_knows_is_refused(carer: Person) -> None:
    nobody = Animal(name="Nobody")
    assert "Nobody here knows this animal" in why(carer, OnTheTable(nobody).touch(weighed(912)))
    assert Check.objects.count() == 0


def test_an_id_used_for_something_else_is_refused_and_nothing_is_written_over(
    carer: Person, sow: Animal, table: OnTheTable
) -> None:
    first = table.touch(weighed(912))
    keep(carer, [first])
    for touch in (
        {**first, "touch": weighed(500)},
        {**OnTheTable(sow).touch(weighed(912)), "id": first["id"]},
    ):
        assert "Another entry has this id" in why(carer, touch)
    assert [int(row.grams) for row in WeighIn.objects.all()] == [912]
    assert Check.objects.count() == 1


def test_an_id_that_does_not_sort_by_time_is_refused(carer: Person, table: OnTheTable) -> None:
    touch = {**table.touch(weighed(912)), "id": str(uuid4())}
    assert "UUIDv7" in why(carer, touch)


@pytest.mark.parametrize(
    ("part", "value", "words"),
    [
        ("made_at", "yesterday", "made_at"),
        ("made_at", "2026-03-03T09:00:00", "made_at"),
        ("check", {}, "check"),
        ("touch", "weight", "touch"),
        ("extra", 1, "extra"),
    ],
)
def test_an_envelope_that_does_not_fit_names_its_field(
    carer: Person, table: OnTheTable, part: str, value: Any, words: str
) -> None:
    assert why(carer, {**table.touch(weighed(912)), part: value}).startswith(words)


@pytest.mark.parametrize("role", ["viewer", "vet"])
def test_who_may_not_record_is_refused_in_words(
    role: str, request: pytest.FixtureRequest, table: OnTheTable
) -> None:
    person = request.getfixturevalue(role)
    assert "may read but not record" in why(person, table.touch(weighed(912)))
    assert (Check.objects.count(), CheckEntry.objects.count()) == (0, 0)


def test_a_phone_that_changed_hands_keeps_who_made_the_touch_and_who_sent_it(
    carer: Person, other_carer: Person, table: OnTheTable
) -> None:
    keep(other_carer, [table.touch(weighed(912), by=carer.pk)])
    [entry] = CheckEntry.objects.all()
    assert (entry.made_by, entry.sent_by) == (carer, other_carer)
    assert table.row.started_by == carer
    assert WeighIn.objects.get().by == carer


@pytest.mark.parametrize("claimed", ["nobody", "viewer"])
def test_a_maker_who_may_not_record_is_not_believed(
    carer: Person, viewer: Person, table: OnTheTable, claimed: str
) -> None:
    by = viewer.pk if claimed == "viewer" else 999_999
    keep(carer, [table.touch(weighed(912), by=by)])
    assert CheckEntry.objects.get().made_by == carer


def take_back(table: OnTheTable, entry: str, **said: Any) -> dict[str, Any]:
    return table.touch({"kind": "take_back", "entry": entry}, **said)


def correction(table: OnTheTable, entry: str, **said: Any) -> dict[str, Any]:
    touch = {"kind": "correction", "entry": entry, "reason": "read again", "data": weighed(900)}
    return table.touch(touch, **said)


@pytest.mark.parametrize("undo", [take_back, correction])
def test_a_carer_may_undo_their_own_entry_and_a_lead_anybodys(
    carer: Person, lead: Person, table: OnTheTable, undo: Any
) -> None:
    one, other = table.touch(weighed(912)), table.touch(weighed(913))
    keep(carer, [one, other])
    keep(carer, [undo(table, one["id"])])
    keep(lead, [undo(table, other["id"])])
    assert CheckEntry.objects.count() == 4


@pytest.mark.parametrize("undo", [take_back, correction])
@pytest.mark.parametrize("claimed", ["nobody", "lead"])
def test_a_carer_may_not_undo_anothers_entry_whoever_they_say_they_are(
    carer: Person, other_carer: Person, lead: Person, table: OnTheTable, undo: Any, claimed: str
) -> None:
    theirs = table.touch(weighed(912))
    keep(carer, [theirs])
    by = {"by": lead.pk} if claimed == "lead" else {}
    refused = why(other_carer, undo(table, theirs["id"], **by))
    assert refused == "Tam Birch made this entry: only they or a lead may change it."
    assert [int(row.grams) for row in WeighIn.objects.all()] == [912]


def test_taking_back_is_not_taken_back_or_corrected(carer: Person, table: OnTheTable) -> None:
    slip = table.touch(weighed(912))
    undo = take_back(table, slip["id"])
    keep(carer, [slip, undo])
    for again in (take_back(table, undo["id"]), correction(table, undo["id"])):
        assert "Enter anew what was taken back" in why(carer, again)
    assert CheckEntry.objects.count() == 2


def test_a_correction_is_taken_back_but_not_corrected(carer: Person, table: OnTheTable) -> None:
    slip = table.touch(weighed(912))
    mend = correction(table, slip["id"])
    keep(carer, [slip, mend])
    assert "correct the entry it belongs to" in why(carer, correction(table, mend["id"]))
    keep(carer, [take_back(table, mend["id"])])
    assert WeighIn.objects.get().grams == 912


def test_what_was_taken_back_is_not_corrected(carer: Person, table: OnTheTable) -> None:
    slip = table.touch(weighed(912))
    keep(carer, [slip, take_back(table, slip["id"])])
    assert "nothing left to correct" in why(carer, correction(table, slip["id"]))


@pytest.mark.parametrize(
    "data", [found(), {"kind": "take_back", "entry": str(uuid4())}, dict(FINISH)]
)
def test_a_correction_says_the_same_kind_of_thing(
    carer: Person, table: OnTheTable, data: dict[str, Any]
) -> None:
    slip = table.touch(weighed(912))
    keep(carer, [slip])
    touch = {"kind": "correction", "entry": slip["id"], "reason": "a slip", "data": data}
    assert "the same kind of thing" in why(carer, table.touch(touch))
    assert [int(row.grams) for row in WeighIn.objects.all()] == [912]


def test_what_a_phones_clock_said_is_not_undone(carer: Person, table: OnTheTable) -> None:
    keep(carer, [table.touch(weighed(912), at=NOW.replace(year=2040))])
    said = str(CheckEntry.objects.get(kind="clock").pk)
    for undo in (take_back(table, said), correction(table, said)):
        assert "clock" in why(carer, undo)


def test_an_undo_held_on_a_phone_that_changed_hands_is_kept(
    carer: Person, other_carer: Person, table: OnTheTable
) -> None:
    slip = table.touch(weighed(912), by=carer.pk)
    keep(other_carer, [slip, take_back(table, slip["id"], by=carer.pk)])
    assert WeighIn.objects.count() == 0


def test_what_is_not_in_the_check_cannot_be_undone_and_leaves_no_empty_check(
    carer: Person, sow: Animal, table: OnTheTable
) -> None:
    elsewhere = table.touch(weighed(912))
    keep(carer, [elsewhere])
    other = OnTheTable(sow)
    for entry in (elsewhere["id"], str(uuid4())):
        assert "Send the earlier entries first" in why(carer, take_back(other, entry))
    assert not Check.objects.filter(pk=other.id).exists()


def test_two_phones_at_one_animal_are_two_checks_and_both_are_kept(
    carer: Person, other_carer: Person, sow: Animal
) -> None:
    one, other = OnTheTable(sow), OnTheTable(sow)
    keep(carer, [one.touch(weighed(912))])
    keep(other_carer, [other.touch(weighed(908))])
    assert Check.objects.filter(animal=sow).count() == 2
    assert WeighIn.objects.filter(animal=sow).count() == 2


def test_a_sign_no_database_can_write_is_refused(carer: Person, table: OnTheTable) -> None:
    assert "zero character" in why(carer, table.touch({"kind": "note", "text": "a\x00b"}))


@pytest.mark.parametrize(
    ("on", "words"),
    [
        ("0001-01-01", "Look at the year again"),
        ("1500-06-01", "more than 20 years ago"),
        ("9999-12-31", "more than 2 years ahead"),
        ("2026-03-04", "still to come"),
    ],
)
def test_what_happened_did_so_on_a_day_that_can_be(
    carer: Person, table: OnTheTable, on: str, words: str
) -> None:
    touch = {"kind": "event", "what": "fall_or_blow", "on": on}
    assert words in why(carer, table.touch(touch))
    good = table.touch(touch | {"on": "2026-03-03"})
    keep(carer, [good])
    mend = {"kind": "correction", "entry": good["id"], "reason": "another day", "data": touch}
    assert words in why(carer, table.touch(mend))
    assert str(Happened.objects.get().on) == "2026-03-03"


def test_one_touch_that_breaks_something_stops_no_other(
    carer: Person, table: OnTheTable, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whatever breaks, the phones must not send the same batch for ever."""
    whole = read_off

    def breaks_on_notes(check: Check) -> object:
        if CheckEntry.objects.filter(check_in=check, kind="note").exists():
            msg = "broken on purpose"
            raise OverflowError(msg)
        return whole(check)

    monkeypatch.setattr(receiving, "read_off", breaks_on_notes)
    batch = [table.touch(weighed("900")), table.touch({"kind": "note", "text": "shy"})]
    kept, broken = receive(carer, batch, NOW)
    assert kept.is_kept
    assert "stays on this phone" in broken.why
    assert [entry.kind for entry in CheckEntry.objects.all()] == ["weight"]


def test_a_carer_cannot_undo_anothers_entry_by_giving_their_name(
    carer: Person, lead: Person, table: OnTheTable
) -> None:
    entry = table.touch(weighed("900"))
    keep(lead, [entry], NOW)
    undo = take_back(table, entry["id"], by=lead.pk)
    assert "only they or a lead" in why(carer, undo)
