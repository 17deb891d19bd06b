"""What the touches of a check come to, in whatever order and however often they arrive."""

from datetime import timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cavyround.facts.entries import MadeTouch
from cavyround.facts.sitting import StepStatus, fold
from tests.builders import FINISH, found, id_ahead, made, weighed

STEPS = ("ears", "mouth", "eyes", "nails")
HEAD_NORMAL = {"kind": "hold_normal", "hold": "head", "steps": ["ears", "mouth"]}
plain_touches = st.one_of(
    st.lists(st.sampled_from(STEPS), min_size=1, unique=True).map(
        lambda steps: {"kind": "hold_normal", "hold": "head", "steps": steps}
    ),
    st.sampled_from(STEPS).map(lambda step: {"kind": "step_normal", "step": step}),
    st.sampled_from(STEPS).map(lambda step: {"kind": "step_skipped", "step": step}),
    st.sampled_from(STEPS).map(lambda step: found(step=step)),
    st.just(weighed(900)),
    st.just(dict(FINISH)),
)


@st.composite
def sittings(draw: st.DrawFn) -> list[MadeTouch]:
    """Touches of one check, some taken back and some corrected by later ones."""
    touches: list[MadeTouch] = []
    for touch in draw(st.lists(plain_touches, max_size=8)):
        touches.append(made(touch))
        undo = draw(st.sampled_from(("no", "no", "take_back", "correct", "strike")))
        entry = str(draw(st.sampled_from(touches)).id)
        if undo == "take_back":
            touches.append(made({"kind": "take_back", "entry": entry}))
        elif undo != "no":
            data = found("crust", "nose", "eyes") if undo == "correct" else None
            mend = {"kind": "correction", "entry": entry, "reason": "a slip", "data": data}
            touches.append(made(mend))
    return touches


@given(sittings(), st.randoms())
def test_the_order_of_arrival_does_not_matter(touches: list[MadeTouch], chance: Any) -> None:
    shuffled = list(touches)
    chance.shuffle(shuffled)
    assert fold(shuffled) == fold(touches)


@given(sittings(), st.data())
def test_sending_twice_changes_nothing(touches: list[MadeTouch], data: st.DataObject) -> None:
    again = data.draw(st.lists(st.sampled_from(touches))) if touches else []
    assert fold([*touches, *again]) == fold(touches)


@given(sittings())
def test_what_is_taken_back_is_gone(touches: list[MadeTouch]) -> None:
    back = [made({"kind": "take_back", "entry": str(one.id)}) for one in touches]
    left = fold([*touches, *back])
    assert (left.steps, left.found, left.weights, left.finished_at) == ({}, (), (), None)


@given(sittings())
def test_a_finding_outranks_as_it_should_be_whatever_came_first(touches: list[MadeTouch]) -> None:
    crust = made(found("crust", "eye", "eyes"))
    blanket = made({"kind": "hold_normal", "hold": "lift", "steps": ["eyes"]})
    for order in ([crust, *touches, blanket], [blanket, *touches, crust]):
        assert fold(order).steps["eyes"].status is StepStatus.FOUND


@given(st.lists(st.sampled_from(STEPS), min_size=1, unique=True))
def test_a_blanket_touch_marks_exactly_the_steps_that_were_shown(steps: list[str]) -> None:
    sitting = fold([made({"kind": "hold_normal", "hold": "head", "steps": steps})])
    assert set(sitting.steps) == set(steps)
    assert {mark.status for mark in sitting.steps.values()} == {StepStatus.NORMAL}


def test_a_step_nobody_touched_is_absent_and_never_normal() -> None:
    assert "nails" not in fold([made(HEAD_NORMAL), made(FINISH)]).steps


def test_taking_back_a_finding_leaves_the_blanket_touch_standing() -> None:
    crust = made(found("crust", "ear", "ears"))
    back = made({"kind": "take_back", "entry": str(crust.id)})
    sitting = fold([made(HEAD_NORMAL), crust, back])
    assert sitting.found == ()
    assert sitting.steps["ears"].status is StepStatus.NORMAL


def test_a_correction_takes_the_place_of_what_it_corrects() -> None:
    slip = made(weighed(9120 / 10))
    mend = {"kind": "correction", "entry": str(slip.id), "reason": "read it again"}
    sitting = fold([slip, made({**mend, "data": weighed(921)})])
    [kept] = sitting.weights
    assert (kept.id, int(kept.touch.grams), kept.corrected) == (slip.id, 921, True)


def test_the_last_of_two_corrections_stands() -> None:
    slip = made(weighed(912))
    mend = {"kind": "correction", "entry": str(slip.id), "reason": "read it again"}
    sitting = fold(
        [slip, made({**mend, "data": weighed(921)}), made({**mend, "data": weighed(931)})]
    )
    assert [int(kept.touch.grams) for kept in sitting.weights] == [931]


@pytest.mark.parametrize(
    "at_table",
    [
        {"reason": "more said at the table", "more": True},
        {"reason": "said anew at the table"},
        {"reason": "in other words", "more": True},
    ],
)
@pytest.mark.parametrize("days", [0, 1, 400])
def test_what_a_lead_puts_right_stands_whatever_the_clock_of_the_phone_made_of_the_ids(
    at_table: dict[str, Any], days: int
) -> None:
    crust = made(found("crust", "nose", "nose"), touch_id=id_ahead(timedelta(days=days)))
    entry = {"kind": "correction", "entry": str(crust.id)}
    more = found("crust", "nose", "nose", grade="marked")
    said = [
        made({**entry, **at_table, "data": more}, touch_id=id_ahead(timedelta(days=days)))
        for _ in range(2)
    ]
    right = made({**entry, "reason": "it was the lip", "data": found("crust", "lip", "mouth")})
    (kept,) = fold([crust, *said, right]).found
    assert (kept.touch.region, kept.corrected) == ("lip", True)
    struck = made({**entry, "reason": "another animal", "data": None})
    assert fold([crust, *said, right, struck]).found == ()


def test_of_what_was_said_at_the_table_the_last_stands() -> None:
    crust = made(found("crust", "nose", "nose"))
    said = [
        made(
            {"kind": "correction", "entry": str(crust.id), "reason": reason, "data": data}
            | ({"more": True} if reason.startswith("more") else {})
        )
        for reason, data in (
            ("more said at the table", found("crust", "nose", "nose", grade="slight")),
            ("said anew at the table", found("crust", "nose", "nose", grade="moderate")),
            ("more said at the table", found("crust", "nose", "nose", grade="marked")),
        )
    ]
    for order in (said, said[::-1]):
        (kept,) = fold([crust, *order]).found
        assert kept.touch.grade == "marked"


def test_a_correction_that_is_taken_back_leaves_the_first_entry() -> None:
    slip = made(weighed(912))
    mend = made({"kind": "correction", "entry": str(slip.id), "reason": "wrong animal"})
    back = made({"kind": "take_back", "entry": str(mend.id)})
    assert fold([slip, mend]).weights == ()
    [kept] = fold([slip, mend, back]).weights
    assert not kept.corrected


def test_a_weight_does_the_weighing_step() -> None:
    assert fold([made(weighed(900))]).steps["weight"].status is StepStatus.NORMAL


def test_putting_down_is_not_finishing() -> None:
    sitting = fold([made({"kind": "put_down", "why": "struggled"})])
    assert sitting.put_down_at is not None
    assert sitting.finished_at is None


def test_words_alone_do_no_step_and_find_nothing() -> None:
    sitting = fold([made({"kind": "said", "text": "ears clean, the rest is fine"})])
    assert sitting.steps == {}
    assert sitting.found == ()
    assert [kept.touch.text for kept in sitting.said] == ["ears clean, the rest is fine"]


def test_a_finding_that_belongs_to_no_step_is_kept_and_does_none() -> None:
    warm = found("temperature", "whole", step="", value="38.6", unit="C")
    sitting = fold([made(warm)])
    assert sitting.steps == {}
    assert [kept.touch.finding for kept in sitting.found] == ["temperature"]


def test_words_that_waited_stand_once_when_they_were_looked_at() -> None:
    words = made({"kind": "said", "text": "left eye weepy", "waits": True})
    data = {"kind": "said", "text": "left eye weepy", "waits": False}
    more = {"kind": "correction", "entry": str(words.id), "more": True, "data": data}
    looked = made(more | {"reason": "more said at the table"})
    (kept,) = fold([words, looked]).said
    assert not kept.touch.waits
    assert not kept.corrected
