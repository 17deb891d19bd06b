"""Double touches, as stuttering thumbs make them: the second half changes nothing."""

import time
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.hands import Table, plain
from tests.browser.house import House, bare
from tests.browser.visiting import Visit

GAPS_MS = (60, 150, 250)
# From here on a second touch is meant; a busy machine may make of a gap what is none any more.
MEANT_FROM_MS = 350
TRIES = 6
# When each touch came, by the page's own clock.
WATCH = """
addEventListener("pointerdown", (event) => {
  (globalThis.cameAt ??= []).push(event.timeStamp);
}, { capture: true });
"""


def middle(target: Locator) -> tuple[float, float]:
    target.scroll_into_view_if_needed()
    box = target.bounding_box()
    assert box
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def settled(page: Page) -> None:
    """Nothing rests any more."""
    page.locator("#check:not([data-resting])").wait_for()


def tap(page: Page, x: float, y: float, times: int = 1, gap_ms: float = 0) -> float:
    """Touch a place; gives the time between the last two touches, in ms."""
    settled(page)
    hand = page.context.new_cdp_session(page)
    for time_ in range(times):
        if time_:
            time.sleep(gap_ms / 1000 - 0.01)
        hand.send("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [at(x, y)]})
        hand.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
    hand.detach()
    came = page.evaluate("cameAt.slice(-2)")
    return float(came[-1] - came[0])


def at(x: float, y: float) -> dict[str, float]:
    return {"x": x, "y": y}


def twice(begin: Callable[[], Locator], gap_ms: int) -> Locator:
    """Touch twice what ``begin`` leads to, from the beginning until the gap is the one meant."""
    for _ in range(TRIES):
        target = begin()
        if tap(target.page, *middle(target), 2, gap_ms) < MEANT_FROM_MS - 10:
            return target
    pytest.fail("this machine is too busy to touch twice in so short a time")


def sent(house: House, table: Table) -> list[dict[str, Any]]:
    """The entries of this check, once all is sent."""
    table.page.wait_for_timeout(400)
    table.all_sent()
    animal = str(table.page.evaluate("new URLSearchParams(location.search).get('animal')"))
    entries = house.entries(animal)
    return [one["data"] for one in entries if one["check_in_id"] == bare(table.check)]


@pytest.fixture
def table(phone: Visit, house: House) -> Table:
    phone.page.add_init_script(WATCH)
    return Table(phone.page, house.address)


def afresh(table: Table, house: House) -> None:
    """A new check, of an animal with nothing special to it."""
    table.begin(plain(table.page, house.address)["id"])
    for button in table.page.get_by_role("button", name="Begin a new check").all()[:1]:
        button.tap()
    table.page.locator(".foot .main, [data-key^=ten-]").first.wait_for()


def at_the_scales(table: Table, house: House) -> None:
    afresh(table, house)
    while table.screen != "weigh":
        table.main()


def a_ten_over_a_digit(table: Table) -> Locator:
    """Tens in whose place a last digit comes up."""
    tens = table.page.locator('[data-key^="ten-"]')
    keys = [one.get_attribute("data-key") or "" for one in tens.all()]
    places = [middle(one) for one in tens.all()]
    table.touch(keys[0])
    settled(table.page)
    digit = "(at) => document.elementFromPoint(...at)?.closest('[data-key^=digit-]')?.dataset.key"
    over = [key for key, at in zip(keys, places, strict=True) if table.page.evaluate(digit, at)]
    table.touch("other-tens")
    assert over
    return table.key(over[0])


@pytest.mark.parametrize("gap_ms", GAPS_MS)
def test_a_double_touch_on_the_tens_keeps_no_weight_nobody_read(
    table: Table, house: House, gap_ms: int
) -> None:
    def a_ten() -> Locator:
        at_the_scales(table, house)
        return a_ten_over_a_digit(table)

    twice(a_ten, gap_ms)
    expect(table.page.locator('[data-key^="digit-"]').first).to_be_visible()
    assert "weight" not in [one["kind"] for one in sent(house, table)]
    assert table.screen == "weigh"


def test_a_double_touch_on_a_last_digit_keeps_one_weight_and_marks_no_hold(
    table: Table, house: House
) -> None:
    def the_last_digit() -> Locator:
        at_the_scales(table, house)
        table.hit(table.page.locator('[data-key^="ten-"][data-last]'), "the tens")
        return table.key("digit-5")

    twice(the_last_digit, 150)
    expect(table.page.locator("#check h1")).not_to_have_text("Weight")
    kinds = [one["kind"] for one in sent(house, table)]
    assert kinds.count("weight") == 1
    assert kinds[-1] == "weight"


@pytest.mark.parametrize("gap_ms", GAPS_MS)
def test_a_double_touch_on_a_finding_finds_it_once_and_nothing_beside_it(
    table: Table, house: House, gap_ms: int
) -> None:
    def a_finding() -> Locator:
        afresh(table, house)
        table.touch("step-breathing")
        return table.key("find-breathing-noisy-N")

    def what_was_found() -> Locator:
        finding = a_finding()
        table.hit(finding, "the finding")
        expect(finding).to_have_attribute("aria-pressed", "true")
        return finding

    expect(twice(a_finding, gap_ms)).to_have_attribute("aria-pressed", "true")
    assert [one["kind"] for one in sent(house, table)] == ["observation"]
    expect(twice(what_was_found, gap_ms)).to_have_attribute("aria-pressed", "false")
    assert [one["kind"] for one in sent(house, table)] == ["observation", "take_back"]


def test_a_double_touch_on_an_animal_of_the_list_begins_its_check_and_says_nothing(
    table: Table, house: House
) -> None:
    def an_animal() -> Locator:
        table.page.goto(f"{house.address}/check")
        table.ready()
        return table.page.locator('[data-key^="animal-"]').nth(3)

    twice(an_animal, 250)
    assert table.screen in ("hold", "weigh")
    assert sent(house, table) == []


def test_two_findings_touched_one_after_the_other_by_a_fast_thumb_are_both_found(
    table: Table, house: House
) -> None:
    afresh(table, house)
    table.touch("step-breathing")
    first = table.key("find-breathing-noisy-N")
    tap(table.page, *middle(first))
    expect(first).to_have_attribute("aria-pressed", "true")
    tap(table.page, *middle(table.key("find-breathing-fast-N")))
    assert [one["finding"] for one in sent(house, table)] == ["noisy", "fast"]


def test_digits_on_the_pad_are_typed_as_fast_as_a_thumb_can(table: Table, house: House) -> None:
    at_the_scales(table, house)
    table.touch("pad")
    settled(table.page)
    places = [middle(table.key(f"pad-{sign}")) for sign in "998"]
    for place in places:
        tap(table.page, *place)
    expect(table.page.locator("#weight-grams")).to_have_value("998")


def test_a_key_that_is_held_down_touches_once(desk: Visit, house: House) -> None:
    table = Table(desk.page, house.address, touch=False)
    table.begin(plain(desk.page, house.address)["id"])
    table.touch("step-breathing")
    table.key("find-breathing-noisy-N").focus()
    settled(desk.page)
    keys = desk.context.new_cdp_session(desk.page)
    enter = {"key": "Enter", "code": "Enter", "windowsVirtualKeyCode": 13, "text": "\r"}
    keys.send("Input.dispatchKeyEvent", {"type": "keyDown", **enter})
    for _ in range(20):
        desk.page.wait_for_timeout(50)
        keys.send("Input.dispatchKeyEvent", {"type": "keyDown", "autoRepeat": True, **enter})
    keys.send("Input.dispatchKeyEvent", {"type": "keyUp", **enter})
    expect(table.key("find-breathing-noisy-N")).to_have_attribute("aria-pressed", "true")
    assert [one["kind"] for one in sent(house, table)] == ["observation"]
