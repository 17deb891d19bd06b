"""Nobody is kept out of any page, and none scrolls sideways on a phone."""

import pytest
from playwright.sync_api import Page

from tests.browser.addresses import filled_in, names
from tests.browser.conftest import Visiting
from tests.browser.house import House
from tests.browser.looking import faults_by_day_and_night, faults_on
from tests.browser.visiting import Device, Visit, refused_with

# A page is looked at as somebody who may see it: the first of these whom it lets in.
SEEN_BY = ("lead", "vet", "carer")
STRANGERS_PAGES = frozenset({"sign-in", "first-account"})


def shown_to(visits: dict[str, Visit], path: str) -> Visit | None:
    """Who can look at the page; None where it is no page but data, a picture or a form's end."""
    for visit in visits.values():
        answer = visit.page.request.get(visit.address + path, max_redirects=0)
        if answer.status == 200:
            is_page = answer.headers["content-type"].startswith("text/html")
            return visit if is_page and "<html" in answer.text() else None
        assert answer.status in (302, 403, 405), f"{path} answers {answer.status}"
    return None


@pytest.mark.parametrize("device", ["phone", "desk"])
def test_axe_core_finds_nothing_on_any_page_by_day_or_night_and_none_scrolls_sideways(
    device: Device, arrive: Visiting, reading_house: House
) -> None:
    visits = {role: arrive(reading_house, role=role, device=device) for role in SEEN_BY}
    faults = {}
    looked_at = 0
    for name, paths in filled_in(reading_house).items():
        for path in [] if name in STRANGERS_PAGES else paths:
            visit = shown_to(visits, path)
            if visit is None:
                continue
            looked_at += 1
            settle(visit.go(path))
            if found := faults_by_day_and_night(visit.page):
                faults[f"{name} {path}"] = found
    assert looked_at > len(list(names())) // 2
    assert not faults, "\n".join(f"{page}: {found}" for page, found in faults.items())


def settle(page: Page) -> None:
    """Wait for what a page loads after itself, and open what is folded away."""
    page.wait_for_function("!document.querySelector('[hx-trigger~=load], .htmx-request')")
    if page.locator("main .check").count():
        page.locator("main .check h1").wait_for()
    page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true })")


@pytest.mark.parametrize("dark", [False, True], ids=["by day", "by night"])
def test_axe_core_finds_nothing_before_anybody_has_signed_in(
    dark: bool, arrive: Visiting, reading_house: House
) -> None:
    stranger = arrive(reading_house, role=None, dark=dark)
    stranger.expect(refused_with(422))
    page = stranger.go("/sign-in")
    assert faults_on(page) == []
    page.locator("[name=username]").fill("nobody")
    page.locator("[name=password]").fill("not this")
    page.get_by_role("button", name="Sign in").tap()
    page.locator(".fault").first.wait_for()
    assert faults_on(page) == []


def test_the_first_account_is_asked_for_where_there_is_none_and_axe_core_finds_nothing(
    arrive: Visiting, empty_house: House
) -> None:
    stranger = arrive(empty_house, role=None)
    stranger.expect(refused_with(422))
    page = stranger.go("/")
    assert page.url.endswith("/first")
    assert faults_on(page) == []
    page.get_by_role("button", name="Make the first account").tap()
    page.locator(".fault").first.wait_for()
    assert faults_on(page) == []
    page.locator("[name=shown_name]").fill("Ada")
    page.locator("[name=username]").fill("ada")
    page.locator("[name=password]").fill("six wet carrots")
    page.locator("[name=again]").fill("six wet carrots")
    page.get_by_role("button", name="Make the first account").tap()
    page.wait_for_url(f"{empty_house.address}/")
    assert faults_on(page) == []


def test_a_page_that_is_not_there_and_one_that_is_refused_say_so_plainly(
    arrive: Visiting, reading_house: House
) -> None:
    viewer = arrive(reading_house, role="viewer")
    viewer.expect(refused_with(404), refused_with(403))
    for path in ("/nothing/here", "/animals/new", "/people/new"):
        page = viewer.go(path)
        assert page.get_by_role("heading", level=1).count() == 1
        assert faults_on(page) == []
