"""The plan of the house by mouse, by finger and by keyboard; nothing moves until it is said why."""

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import Visiting
from tests.browser.house import House
from tests.browser.looking import faults_by_day_and_night
from tests.browser.visiting import Device, refused_with

LONG = 60_000
PAGES = (
    "/house",
    "/house/together",
    "/house/proposal",
    "/house/expectant",
    "/house/introductions",
    "/house/round",
    "/house/introductions/new",
    "/house/together/new",
    "/house/litters/new",
)
STEPS = 12
GRIP_PX = 36
TARGET_PX = 60


def boxes(page: Page) -> tuple[Locator, Locator]:
    """The first animal that can be picked up, and a pen it does not live in."""
    lodger = page.locator(".pen-box [data-animal]").first
    home = page.locator(".pen-box:has([data-animal])")
    pens = page.locator(".pen-box")
    first_home = home.first.get_attribute("data-pen")
    other = next(
        pens.nth(place)
        for place in range(pens.count())
        if pens.nth(place).get_attribute("data-pen") != first_home
    )
    return lodger, other


def middle(place: Locator) -> tuple[float, float]:
    box = place.bounding_box()
    assert box is not None
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def moves(house: House) -> int:
    [row] = house.rows("SELECT count(*) AS n FROM record_move")
    return int(row["n"])


def keep_all_the_same(page: Page, why: str) -> None:
    page.get_by_label("Why").fill(why)
    tick = page.get_by_label("I have read what speaks against it")
    if tick.count() and tick.is_visible():
        tick.check()
    page.get_by_role("button", name="Keep the move").click()
    page.wait_for_url(lambda address: not address.partition("?")[0].endswith("/move"))


def test_an_animal_dragged_with_the_mouse_comes_to_a_page_that_asks_why(
    arrive: Visiting, house: House
) -> None:
    page = arrive(house, role="lead", device="desk").go("/house")
    before = moves(house)
    lodger, other = boxes(page)
    pen = other.get_attribute("data-pen")
    page.mouse.move(*middle(lodger.locator(".grip")))
    page.mouse.down()
    page.mouse.move(*middle(other), steps=STEPS)
    expect(page.locator(".pen-box.drop-here")).to_have_attribute("data-pen", str(pen))
    page.mouse.up()
    page.wait_for_url(f"**/move?pen={pen}", timeout=LONG)
    assert moves(house) == before
    keep_all_the_same(page, "tried with the mouse")
    assert moves(house) == before + 1
    [row] = house.rows("SELECT pen_id, why FROM record_move ORDER BY made_at DESC LIMIT 1")
    assert (str(row["pen_id"]), row["why"]) == (pen, "tried with the mouse")


def test_a_finger_drags_by_the_dots_and_escape_lets_go(arrive: Visiting, house: House) -> None:
    visit = arrive(house, role="lead", device="phone")
    page = visit.go("/house")
    lodger, _ = boxes(page)
    other = page.locator(".pen-box").nth(1)
    pen = other.get_attribute("data-pen")
    page.evaluate(
        "(pen) => { const box = pen.getBoundingClientRect(); window.scrollBy(0, box.top - 300); }",
        other.element_handle(),
    )
    start, end = middle(lodger.locator(".grip")), middle(other.locator(".pen-name"))
    touch = visit.context.new_cdp_session(page)

    def finger(kind: str, at: tuple[float, float] | None) -> None:
        points = [] if at is None else [{"x": at[0], "y": at[1]}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    finger("touchStart", start)
    for step in range(1, STEPS + 1):
        share = step / STEPS
        finger(
            "touchMove",
            (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share),
        )
    expect(page.locator(".carried")).to_have_count(1)
    expect(page.locator(".pen-box.drop-here")).to_have_attribute("data-pen", str(pen))
    finger("touchEnd", None)
    page.wait_for_url(f"**/move?pen={pen}", timeout=LONG)


def test_the_same_goes_by_keyboard_alone(arrive: Visiting, house: House) -> None:
    page = arrive(house, role="lead", device="desk").go("/house")
    lodger, _ = boxes(page)
    before = moves(house)
    lodger.locator("a").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/move", timeout=LONG)
    page.locator(".pen-choice a").last.focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/move?pen=*", timeout=LONG)
    expect(page.locator("#against")).to_be_visible()
    keep_all_the_same(page, "tried by keyboard")
    assert moves(house) == before + 1


def test_a_move_that_something_speaks_against_keeps_what_was_typed(
    arrive: Visiting, house: House
) -> None:
    visit = arrive(house, role="lead", device="phone")
    visit.expect(refused_with(422))
    page = visit.go("/house")
    lodger, _ = boxes(page)
    lodger.locator("a").click()
    page.locator(".pen-choice a").last.click()
    page.wait_for_url("**/move?pen=*", timeout=LONG)
    page.get_by_label("Why").fill("no other place tonight")
    page.get_by_role("button", name="Keep the move").click()
    expect(page.locator(".fault").first).to_be_visible()
    expect(page.get_by_label("Why")).to_have_value("no other place tonight")


@pytest.mark.parametrize("device", ["phone", "desk"])
def test_axe_core_finds_nothing_and_nothing_scrolls_sideways(
    device: Device, arrive: Visiting, reading_house: House
) -> None:
    visit = arrive(reading_house, role="lead", device=device)
    faults = {}
    for path in PAGES:
        page = visit.go(path)
        page.evaluate("document.querySelectorAll('main details').forEach((o) => { o.open = true })")
        if found := faults_by_day_and_night(page):
            faults[path] = found
    assert not faults, faults


def test_whoever_is_dragged_can_be_hit_with_a_thumb(arrive: Visiting, reading_house: House) -> None:
    page = arrive(reading_house, role="lead", device="phone").go("/house")
    for lodger in page.locator("[data-animal]").all()[:6]:
        box = lodger.bounding_box()
        assert box is not None
        assert box["height"] >= TARGET_PX
    grip = page.locator(".grip").first.bounding_box()
    assert grip is not None
    assert grip["width"] >= GRIP_PX
