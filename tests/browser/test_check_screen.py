"""The states of the check screen: nobody is kept out, and a gloved thumb hits what it aims at."""

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.browser.conftest import Visiting
from tests.browser.hands import Table, animals, plain, plain_among
from tests.browser.house import House
from tests.browser.looking import faults_by_day_and_night
from tests.browser.visiting import NO_CONNECTION, Device, Visit

LEAST_PX = 60
# The row that shows how far the check is, and the count of what is unsent, are looked at more
# than touched; everything else is aimed at with a glove on.
TOO_SMALL = """
(least) => [...document.querySelectorAll("#check button, #check a, #check label.pick")]
  .filter((one) => !one.closest(".holds") && !one.matches(".unsent") && !one.closest("[inert]"))
  .map((one) => [one, one.getBoundingClientRect()])
  .filter(([, box]) => box.width && box.height && Math.min(box.width, box.height) < least - 0.5)
  .map(([one, box]) => `${one.dataset.key ?? one.className} "${one.innerText.slice(0, 30)}": ${
    Math.round(box.width)} x ${Math.round(box.height)}`)
"""


def states(table: Table, visit: Visit, house: House) -> Iterator[str]:
    """Go through the states of the screen, one after the other."""
    animal = plain(visit.page, house.address)
    visit.go("/check")
    table.ready()
    yield "whose turn"
    table.begin(animal["id"])
    yield "first hold"
    yield from in_an_emergency(table, visit.page)
    # What one animal gasped with is known from now on; the rest is looked at on another.
    animal = plain_among(animals(visit.page, house.address), but=animal["id"])
    table.begin(animal["id"])
    yield from up_to_the_scales(table, animal)
    yield from on_the_scales(table, animal)
    yield from at_the_end(table, visit, animal)


def in_an_emergency(table: Table, page: Page) -> Iterator[str]:
    """A finding, its place on the outline, and one that cannot wait."""
    table.touch("step-breathing")
    yield "finding sheet"
    table.touch("find-breathing-noisy-N")
    page.locator(".detail").first.wait_for()
    yield "more about a finding"
    table.hit(page.locator('[data-key^="mark-"]').first, "mark")
    yield "outline"
    table.hit(table.key("outline-pad"), "outline")
    page.locator('[data-key^="size-"]').first.wait_for()
    yield "outline marked"
    table.main()
    table.touch("find-breathing-open_mouth-N")
    page.locator(".alarm").wait_for()
    yield "emergency"
    table.touch("alarm-on")
    table.main()
    yield "hold after an alarm"
    table.touch("to-tipped")
    yield "hold not to be done now"
    table.touch("unsent")
    yield "what was sent"
    table.main()


def up_to_the_scales(table: Table, animal: dict[str, Any]) -> Iterator[str]:
    """A finding on one of two sides."""
    page = table.page
    while not table.key("step-eyes").count():
        table.weigh_or_main(animal)
    table.touch("step-eyes")
    yield "paired finding sheet"
    table.touch("find-eye-discharge-R")
    page.locator(".detail").first.wait_for()
    yield "more about a paired finding"
    table.main()
    while table.screen != "weigh":
        table.main()


def on_the_scales(table: Table, animal: dict[str, Any]) -> Iterator[str]:
    """The weight by tens, on the pad, and in doubt."""
    page = table.page
    yield "weight, the tens"
    grams = round(animal["last_weight"]["grams"])
    table.hit(table.key(f"ten-{grams // 10 * 10}"), "the tens")
    page.locator('[data-key^="digit-"]').first.wait_for()
    yield "weight, the last digit"
    table.touch("pad")
    yield "weight pad"
    table.touch("unit-lb")
    yield "weight pad in pounds"
    table.touch("unit-g")
    table.pad(str(grams * 2))
    table.touch("keep")
    page.locator(".doubt").wait_for()
    yield "weight in doubt"
    table.touch("doubt-again")
    table.weigh(grams)


def at_the_end(table: Table, visit: Visit, animal: dict[str, Any]) -> Iterator[str]:
    """The summary, putting down, and an end with no connection."""
    while table.screen != "summary":
        table.weigh_or_main(animal)
    yield "summary"
    table.touch("put-down")
    yield "put down"
    table.touch("back")
    visit.expect(NO_CONNECTION)
    visit.context.set_offline(True)
    table.main()
    table.key("try").wait_for()
    yield "done, advice waits for the connection"
    visit.context.set_offline(False)


@pytest.mark.parametrize("device", ["phone", "desk"])
def test_axe_core_finds_nothing_in_any_state_of_the_check_screen_by_day_or_night(
    device: Device, arrive: Visiting, house: House
) -> None:
    visit = arrive(house, device=device)
    table = Table(visit.page, house.address, touch=device == "phone")
    faults = {
        state: found
        for state in states(table, visit, house)
        if (found := faults_by_day_and_night(visit.page))
    }
    assert not faults, "\n".join(f"{state}: {found}" for state, found in faults.items())


@pytest.mark.parametrize("hand", ["right", "left"])
def test_what_a_thumb_aims_at_measures_60_px_in_every_state_of_the_check_screen(
    hand: str, arrive: Visiting, house: House
) -> None:
    visit = arrive(house)
    visit.page.add_init_script(f"localStorage.setItem('hand', '{hand}')")
    table = Table(visit.page, house.address)
    small = {
        state: found
        for state in states(table, visit, house)
        if (found := visit.page.evaluate(TOO_SMALL, LEAST_PX))
    }
    assert not small, "\n".join(f"{state}: {found}" for state, found in small.items())


def test_nothing_of_a_hold_lies_under_the_thumbs_buttons(phone: Visit, house: House) -> None:
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    while table.screen != "summary":
        phone.page.evaluate("scrollTo(0, document.body.scrollHeight)")
        covered = phone.page.evaluate(
            """() => {
              const foot = document.querySelector('[data-part=foot]').getBoundingClientRect();
              return [...document.querySelectorAll('[data-part=screen] button')]
                .filter((one) => one.getBoundingClientRect().bottom > foot.top + 1)
                .map((one) => one.dataset.key);
            }"""
        )
        assert covered == []
        table.weigh_or_main(animal)
