"""The states of the weigh-in and of the box for weights: nobody is kept out, a thumb hits."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Visiting
from tests.browser.house import House
from tests.browser.looking import faults_by_day_and_night
from tests.browser.scales import Scales, a_pen, likely
from tests.browser.test_check_screen import LEAST_PX, TOO_SMALL
from tests.browser.visiting import NO_CONNECTION, Device, Visit

SMALL = TOO_SMALL.replace("#check", "#weigh-in")


def states(scales: Scales, visit: Visit) -> Iterator[str]:
    """Go through the states of the weigh-in, one after the other."""
    pen, animals = a_pen(visit.page, scales.address)
    scales.open()
    yield "which pen"
    scales.enter(pen)
    yield "the tens"
    scales.touch(f"ten-{likely(animals[0]) // 10 * 10}")
    scales.key("digit-1").wait_for()
    yield "the last digit"
    scales.touch("other-tens")
    scales.touch("in-lb")
    yield "pounds and ounces"
    scales.touch("in-g")
    scales.touch("pad")
    yield "the pad"
    scales.pad(0)
    visit.page.locator("#weight-fault").wait_for()
    yield "the pad with a fault"
    scales.touch("tens")
    scales.pad(likely(animals[0]) * 2 + 7)
    scales.doubted()
    yield "in doubt"
    scales.touch("doubt-keep")
    scales.touch("skip")
    yield "not now"
    scales.touch("why-at the vet")
    scales.touch(f"to-{animals[0]['id']}")
    scales.key("weighed").wait_for()
    yield "weighed already"
    scales.touch("unsent")
    yield "what was sent"
    scales.touch("main")
    scales.touch("result")
    scales.all_judged()
    yield "the summary"
    yield from with_no_connection(scales, visit, likely(animals[2]))


def with_no_connection(scales: Scales, visit: Visit, grams: int) -> Iterator[str]:
    visit.expect(NO_CONNECTION)
    visit.context.set_offline(True)
    scales.touch("go-on")
    scales.weigh(grams)
    scales.key("try").wait_for()
    yield "the summary, not judged yet"
    visit.context.set_offline(False)
    scales.all_sent()


@pytest.mark.parametrize("device", ["phone", "desk"])
def test_axe_core_finds_nothing_in_any_state_of_the_weigh_in_by_day_or_night(
    device: Device, arrive: Visiting, house: House
) -> None:
    visit = arrive(house, device=device)
    scales = Scales(visit.page, house.address, touch=device == "phone")
    faults = {
        state: found
        for state in states(scales, visit)
        if (found := faults_by_day_and_night(visit.page))
    }
    assert not faults, "\n".join(f"{state}: {found}" for state, found in faults.items())


@pytest.mark.parametrize("hand", ["right", "left"])
def test_what_a_thumb_aims_at_measures_60_px_in_every_state_of_the_weigh_in(
    hand: str, arrive: Visiting, house: House
) -> None:
    visit = arrive(house)
    visit.page.add_init_script(f"localStorage.setItem('hand', '{hand}')")
    scales = Scales(visit.page, house.address)
    small = {
        state: found
        for state in states(scales, visit)
        if (found := visit.page.evaluate(SMALL, LEAST_PX))
    }
    assert not small, "\n".join(f"{state}: {found}" for state, found in small.items())


def test_the_digits_of_the_usual_weight_are_seen_without_scrolling(
    phone: Visit, house: House
) -> None:
    pen, animals = a_pen(phone.page, house.address)
    scales = Scales(phone.page, house.address).open().enter(pen)
    shown = """(key) => {
      const box = (what) => document.querySelector(what).getBoundingClientRect();
      return box(`[data-key="${key}"]`).bottom <= box('[data-part=foot]').top;
    }"""
    ten = likely(animals[0]) // 10 * 10
    assert phone.page.evaluate(shown, f"ten-{ten + 60}")
    scales.touch(f"ten-{ten}")
    assert phone.page.evaluate(shown, "digit-0")


PASTED = "4 March 2026\n{name} 2 lb 1 oz\n{name} 92\nNobody at all 900 g\n{name} heavy\n"


@pytest.mark.parametrize("device", ["phone", "desk"])
def test_the_box_for_weights_keeps_nobody_out_and_records_what_was_looked_at(
    device: Device, arrive: Visiting, house: House
) -> None:
    visit = arrive(house, device=device)
    _, animals = a_pen(visit.page, house.address)
    name = animals[0]["name"]
    count = "SELECT count(*) AS n FROM record_weighin"
    before = house.rows(count)[0]["n"]
    page = visit.go("/weigh-in/paste/")
    assert faults_by_day_and_night(page) == []
    page.get_by_label("One animal to a line").fill(PASTED.format(name=name))
    page.get_by_role("button", name="Read it").click()
    page.locator("#looked-at").wait_for()
    assert faults_by_day_and_night(page) == []
    expect(page.locator('[data-state="unreadable"]')).to_have_count(2)
    expect(page.locator('[data-state="asked"]')).to_have_count(1)
    page.get_by_label("grams", exact=True).check()
    page.get_by_role("button", name="Read it again").first.click()
    expect(page.locator('[data-state="asked"]')).to_have_count(0)
    assert house.rows(count)[0]["n"] == before
    page.get_by_role("button", name="Record").first.click()
    page.locator("#recorded").wait_for()
    assert faults_by_day_and_night(page) == []
    expect(page.get_by_label("One animal to a line")).to_have_value(
        f"2026-03-04\nNobody at all 900 g\n{name} heavy"
    )
    assert house.rows(count)[0]["n"] > before
