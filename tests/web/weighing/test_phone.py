"""The weigh-in's own reckoning on the phone: turns, undo, changes, bands, the digits to offer."""

from typing import Any

import pytest

from cavyround.facts.entries import read_touch
from cavyround.facts.sitting import fold
from tests.builders import made
from tests.web.client import say

BOUNDS = {"lightest": 20, "heaviest": 4000, "reweigh_within_g": 10}
ANIMALS = [{"id": name, "name": name.title()} for name in ("alder", "birch", "clover")]
# A pen's weigh-in on a phone whose storage is shut off: all stays in memory.
BEGIN = """
const { openStore } = await use('store');
const { Run } = await use('../weighing/run');
const store = await openStore();
const run = await Run.begin(store, { id: 'pen', name: 'Pen' }, animals);
const weigh = (grams, doubted) => (
  { kind: 'weight', grams, as_typed: `${grams} g`, ...(doubted ? { doubted } : {}) });
"""


def on_phone(script: str, **given: Any) -> Any:
    return say(BEGIN + script, animals=ANIMALS, **given)


def test_pen_mates_come_one_after_another_and_the_passed_over_at_the_end() -> None:
    said = on_phone(
        "const turns = []; let one = 'birch';"
        "while (one) { turns.push(one); await run.make(one, [weigh('900')], 1);"
        " one = run.nextAfter(one)?.id; } return turns;"
    )
    assert said == ["birch", "clover", "alder"]


def test_a_weighing_is_a_check_of_its_own_with_its_end() -> None:
    touches = on_phone(
        "await run.make('alder', [weigh('900', true), weigh('905')], 1);"
        "await run.make('birch', [weigh('800')], 1); return run.touches;"
    )
    kinds = [(one["check"]["animal"], one["touch"]["kind"]) for one in touches]
    assert kinds == [
        ("alder", "weight"),
        ("alder", "weight"),
        ("alder", "finish"),
        ("birch", "weight"),
        ("birch", "finish"),
    ]
    assert {one["check"]["kind"] for one in touches} == {"weigh_in"}
    assert all(one["check"]["planned"] == ["weight"] for one in touches)
    assert len({one["check"]["id"] for one in touches}) == 2
    ids = [one["id"] for one in touches]
    assert ids == sorted(ids)


def test_undo_takes_back_all_that_one_touch_kept_and_the_record_reads_it_so() -> None:
    said = on_phone(
        "await run.make('alder', [weigh('900', true), weigh('905')], 1);"
        "await run.make('birch', [weigh('800')], 1);"
        "const undone = [await run.undo(1), await run.undo(1), await run.undo(1)];"
        "return { undone, done: run.done().length, touches: run.touches };"
    )
    assert said["undone"] == ["birch", "alder", None]
    assert said["done"] == 0
    for animal in ("alder", "birch"):
        own = [one for one in said["touches"] if one["check"]["animal"] == animal]
        folded = fold([made(one["touch"], touch_id=one["id"]) for one in own])
        assert not folded.weights
        assert folded.finished_at is None
    assert all(read_touch(one["touch"]) for one in said["touches"])


def test_weighed_again_after_undo_is_the_same_check() -> None:
    said = on_phone(
        "await run.make('alder', [weigh('900')], 1); await run.undo(1);"
        "await run.make('alder', [weigh('915')], 1);"
        "return { one: run.standing('alder'), touches: run.touches };"
    )
    assert said["one"]["weight"]["grams"] == "915"
    assert len({one["check"]["id"] for one in said["touches"]}) == 1


def test_left_out_with_a_reason_stays_not_weighed() -> None:
    said = on_phone(
        "await run.make('alder', [{ kind: 'step_skipped', step: 'weight', why: 'at the vet' }], 1);"
        "return { one: run.standing('alder'), done: run.done().length };"
    )
    assert said["one"]["weight"] is None
    assert said["one"]["left"] == "at the vet"
    assert said["done"] == 1


def test_a_run_is_found_again_on_the_same_phone() -> None:
    said = on_phone(
        "const { openRuns } = await use('../weighing/pens');"
        "await run.make('birch', [weigh('800')], 1);"
        "const [data] = await openRuns(store); const again = await Run.goOn(store, data);"
        "const late = Date.now() + 13 * 3600 * 1000;"
        "return [again.done().map((one) => one.id), (await openRuns(store, late)).length];"
    )
    assert said == [["birch"], 0]


TAKE = "return (await use('../weighing/taking')).taken(one, doubt, given);"
FAR = {"reason": "far", "words": "Far."}


@pytest.mark.parametrize(
    ("doubt", "more", "kept"),
    [
        (None, {}, [("912", None)]),
        (FAR, {}, None),
        (FAR, {"kept": True}, [("912", True)]),
        (FAR, {"first": {"grams": 920, "typed": "920 g"}}, [("920", True), ("912", None)]),
        (FAR, {"first": {"grams": 930, "typed": "930 g"}}, None),
    ],
)
def test_a_doubted_weight_is_asked_once_and_read_twice_it_is_so(
    doubt: Any, more: dict[str, Any], kept: Any
) -> None:
    one = {"grams": 912, "typed": "912 g"}
    said = say(TAKE, one=one, doubt=doubt, given={"bounds": BOUNDS, **more})
    if kept is None:
        assert said["doubt"]["words"] == "Far."
        return
    assert [(touch["grams"], touch.get("doubted")) for touch in said["touches"]] == kept


@pytest.mark.parametrize(
    ("grams", "says"),
    [
        (894, "\N{MINUS SIGN}18 g (0.6 oz), \N{MINUS SIGN}2.0 % since 2 March"),
        (940, "+28 g (1.0 oz), +3.1 % since 2 March"),
        (911, "\N{MINUS SIGN}1 g (under 0.1 oz), \N{MINUS SIGN}0.1 % since 2 March"),
        (912, "the same as on 2 March"),
    ],
)
def test_a_change_is_told_in_grams_ounces_and_per_cent(grams: int, says: str) -> None:
    last = {"grams": 912, "on": "2 March"}
    script = "return (await use('../weighing/result')).change(grams, last);"
    assert say(script, grams=grams, last=last) == says
    assert say(script, grams=grams, last=None) == "first weight"


def test_a_band_is_told_in_the_unit_the_scales_are_read_in() -> None:
    said = say(
        "const { band } = await use('../weighing/known');"
        "const { chooseUnit } = await use('../weighing/unit');"
        "const told = [band(likely), band(light)]; chooseUnit('lb');"
        "return [...told, band(likely), band(light)];",
        likely={"low": 905.6, "high": 1043.2},
        light={"low": 96.2, "high": 104},
    )
    assert said[:2] == ["906 to 1,043 g", "96 to 104 g"]
    assert said[2:] == ["1 lb 15.9 to 2 lb 4.8 oz", "3.4 to 3.7 oz"]


@pytest.mark.parametrize("grams", [42, 98, 912, 1605, 3990])
@pytest.mark.parametrize("unit", ["g", "lb"])
def test_the_digits_that_are_offered_are_around_the_weight_and_can_all_be_weights(
    grams: int, unit: str
) -> None:
    steps = say(
        "const { stepsAround, STEPS } = await use('../weighing/unit');"
        "return stepsAround(grams, bounds, unit, 16).map((one) => [0, 9].map("
        "(digit) => STEPS[unit].gramsOf(one, digit)));",
        grams=grams,
        bounds=BOUNDS,
        unit=unit,
    )
    assert any(low <= grams <= high + 3 for low, high in steps)
    for low, high in steps:
        assert low >= BOUNDS["lightest"]
        assert high <= BOUNDS["heaviest"]
