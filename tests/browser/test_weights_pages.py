"""Weights on a phone and on a desk, by day and by night: who is falling is seen at once."""

import time
from uuid import UUID

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Visiting
from tests.browser.house import House
from tests.browser.looking import faults_by_day_and_night
from tests.browser.visiting import Device

SMALLEST_TOUCH_PX = 44
SMALLEST_LETTER_PX = 12
FALLING = "Saffron"
ARRIVES_WITHIN_S = 10
SCORED = (
    "SELECT value, unit FROM record_observed WHERE finding = 'body_condition' "
    "AND animal_id = ? AND value = 2"
)
# The letters of a plot as they are on the screen, whatever its own scale.
LETTERS = """
(selector) => [...document.querySelectorAll(`${selector} text`)]
  .filter((one) => one.checkVisibility() && one.textContent.trim())
  .map((one) => {
    const svg = one.ownerSVGElement;
    const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
    return parseFloat(getComputedStyle(one).fontSize) * scale;
  })
"""
TOUCHES = """
() => [...document.querySelectorAll("main a, main summary, main button, main select")]
  .filter((one) => one.checkVisibility() && !one.closest("p, td, th, li.small, .source"))
  .map((one) => [one.textContent.trim().slice(0, 30), one.getBoundingClientRect().height])
  .filter(([, height]) => height < %d)
"""


def animal_of(house: House, name: str) -> str:
    return str(UUID(house.rows("SELECT id FROM record_animal WHERE name = ?", [name])[0]["id"]))


def pages(house: House) -> dict[str, str]:
    pen = house.rows("SELECT pen_id FROM record_animal WHERE pen_id IS NOT NULL LIMIT 1")
    return {
        "herd": "/weights/",
        "losing": "/weights/?kind=loss",
        "glance": "/weights/overview",
        "falling": f"/animals/{animal_of(house, FALLING)}/weights",
        "pup": f"/animals/{animal_of(house, 'Catkin')}/weights?span=6w",
        "doubted": f"/animals/{animal_of(house, 'Fennel')}/weights?span=all",
        "one weighing": f"/animals/{animal_of(house, 'Damson')}/weights",
        "never weighed": f"/animals/{animal_of(house, 'Sloe')}/weights",
        "pen": f"/pens/{pen[0]['pen_id']}/weights",
        "condition": "/knowledge/condition",
    }


def opened(page: Page) -> Page:
    page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true })")
    return page


@pytest.mark.parametrize("device", ["phone", "desk"])
def test_axe_core_finds_nothing_and_nothing_scrolls_sideways(
    device: Device, arrive: Visiting, reading_house: House
) -> None:
    carer = arrive(reading_house, device=device)
    faults = {
        name: found
        for name, path in pages(reading_house).items()
        if (found := faults_by_day_and_night(opened(carer.go(path))))
    }
    assert not faults, faults


@pytest.mark.parametrize("device", ["phone", "desk"])
def test_every_letter_of_a_plot_can_be_read_and_one_plot_is_shown(
    device: Device, arrive: Visiting, reading_house: House
) -> None:
    carer = arrive(reading_house, device=device)
    for name in ("falling", "doubted", "pup", "glance", "pen"):
        page = carer.go(pages(reading_house)[name])
        sizes = page.evaluate(LETTERS, ["svg.plot", "svg.small-plot"][name == "pen"])
        assert sizes, name
        assert min(sizes) >= SMALLEST_LETTER_PX, (name, min(sizes))
        if name != "pen":
            assert page.locator("svg.plot:visible").count() == 1


def test_who_is_falling_is_on_the_first_screen_of_the_phone(
    arrive: Visiting, reading_house: House
) -> None:
    phone = arrive(reading_house)
    page = phone.go("/weights/")
    row = page.locator(".weigh-rows li", has_text=FALLING)
    expect(row.locator(".alarm")).to_be_in_viewport()
    expect(row.locator(".urgency")).to_be_in_viewport()
    row.locator("a").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text(f"Weights of {FALLING}")
    expect(page.locator(".headline")).to_be_in_viewport()


def test_what_is_touched_is_large_enough(arrive: Visiting, reading_house: House) -> None:
    phone = arrive(reading_house)
    for name, path in pages(reading_house).items():
        small = opened(phone.go(path)).evaluate(TOUCHES % SMALLEST_TOUCH_PX)
        assert small == [], name


def test_the_plot_on_the_animals_page_comes_by_itself_and_goes_further_back(
    arrive: Visiting, reading_house: House
) -> None:
    phone = arrive(reading_house)
    page = phone.go(f"/animals/{animal_of(reading_house, FALLING)}")
    plot = page.locator("#weights svg.plot")
    expect(plot).to_be_visible()
    before = plot.evaluate("(one) => one.outerHTML")
    page.locator("#weights .spans a", has_text="All").tap()
    expect(page.locator("#weights .spans a[aria-current]")).to_have_text("All")
    assert page.locator("#weights svg.plot").evaluate("(one) => one.outerHTML") != before


def test_the_herd_is_filtered_without_leaving_the_page(
    arrive: Visiting, reading_house: House
) -> None:
    desk = arrive(reading_house, device="desk")
    page = desk.go("/weights/")
    everybody = page.locator(".weigh-rows li").count()
    page.get_by_text("Choose pen or alarm").click()
    page.get_by_label("What is said").select_option("loss")
    expect(page.locator(".weigh-rows li").first).to_contain_text(FALLING)
    page.wait_for_url("**kind=loss**")
    assert 0 < page.locator(".weigh-rows li").count() < everybody


def test_the_score_of_the_body_condition_is_chosen_by_its_words(
    arrive: Visiting, house: House
) -> None:
    phone = arrive(house)
    animal = animal_of(house, "Tansy")
    page = phone.go(f"/check?animal={animal}&kind=full")
    page.locator('[data-key="to-standing"]').tap()
    page.locator('[data-key="step-condition"]').tap()
    page.locator('[data-key^="find-whole-body_condition"]').tap()
    thin = page.locator(".scores button", has_text="2 thin")
    thin.tap()
    expect(thin).to_have_attribute("aria-pressed", "true")
    assert faults_by_day_and_night(page) == []
    until = time.monotonic() + ARRIVES_WITHIN_S
    while not (seen := house.rows(SCORED, [animal.replace("-", "")])):
        assert time.monotonic() < until, "the score did not arrive"
        time.sleep(0.1)
    assert (float(seen[0]["value"]), seen[0]["unit"]) == (2.0, "of_5")
    page = phone.go(f"/animals/{animal}/weights")
    expect(page.locator(".condition")).to_contain_text("2 of 5, thin")
