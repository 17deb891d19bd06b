"""From advice that says keep apart to an outbreak, and a quarantine set, on a phone."""

from playwright.sync_api import Page, expect

from tests.browser.conftest import Visiting
from tests.browser.house import House
from tests.browser.looking import faults_by_day_and_night
from tests.browser.visiting import refused_with


def open_details(page: Page) -> None:
    page.evaluate("document.querySelectorAll('main details').forEach((one) => { one.open = true })")


def no_wider_than_the_phone(page: Page) -> None:
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


def test_an_outbreak_is_opened_a_case_added_and_its_lists_say_what_to_do(
    arrive: Visiting, house: House
) -> None:
    carer = arrive(house, role="carer")
    page = carer.go("/outbreaks/new")
    name = page.locator("#id_animal option").nth(3).inner_text()
    page.locator("#id_animal").select_option(label=name)
    page.locator("#id_kind").select_option("ringworm")
    page.get_by_label("Suspected", exact=True).check()
    page.locator("#id_why").fill("bald, scaly ear")
    page.get_by_role("button", name="Open the outbreak").tap()
    expect(page.get_by_role("heading", level=1)).to_have_text("Ringworm")
    expect(page.get_by_role("heading", name="Isolate")).to_be_visible()
    expect(page.locator("[data-task=people]")).to_be_visible()
    open_details(page)
    no_wider_than_the_phone(page)
    assert faults_by_day_and_night(page) == []
    exposed = page.get_by_role("link", name="It has it").first
    exposed.tap()
    page.locator("#id_why").fill("scaly nose")
    page.get_by_role("button", name="Keep this").tap()
    expect(page.locator("#cases + ul > li")).to_have_count(2)
    page.goto(f"{house.address}/")
    expect(page.get_by_role("link", name="Outbreak: Ringworm")).to_be_visible()
    expect(page.get_by_text("Exposed to ringworm").first).to_be_visible()


def test_an_outbreak_is_not_closed_without_a_reason_and_nothing_typed_is_lost(
    arrive: Visiting, house: House
) -> None:
    carer = arrive(house, role="carer")
    carer.expect(refused_with(422))
    page = carer.go("/outbreaks/new")
    page.locator("#id_animal").select_option(index=2)
    page.locator("#id_kind").select_option("lice")
    page.locator("#id_name").fill("Lice in the shed")
    page.get_by_role("button", name="Open the outbreak").tap()
    expect(page.locator(".fault").first).to_be_visible()
    expect(page.locator("#id_name")).to_have_value("Lice in the shed")
    page.locator("#id_why").fill("a live louse")
    page.get_by_role("button", name="Open the outbreak").tap()
    page.get_by_role("link", name="Close it").tap()
    page.get_by_role("button", name="Close it").tap()
    expect(page.get_by_text("Not every condition is met").first).to_be_visible()
    page.locator("#id_why").fill("it was dust, says the vet")
    page.get_by_role("button", name="Close it").tap()
    expect(page.get_by_text("Not met then:")).to_be_visible()


def test_the_closed_outbreak_and_the_quarantine_of_the_demo_herd_are_read_on_a_phone(
    arrive: Visiting, reading_house: House
) -> None:
    viewer = arrive(reading_house, role="viewer")
    page = viewer.go("/apart")
    expect(page.get_by_role("heading", name="Missing").first).to_be_visible()
    expect(page.get_by_role("progressbar").first).to_be_visible()
    open_details(page)
    no_wider_than_the_phone(page)
    page.goto(f"{reading_house.address}/outbreaks")
    page.get_by_role("link", name="Ringworm in Chicory").tap()
    expect(page.get_by_text("Closed on")).to_be_visible()
    expect(page.locator("svg.plot").first).to_be_visible()
    open_details(page)
    expect(page.get_by_role("cell").first).to_be_visible()
    no_wider_than_the_phone(page)


def test_a_quarantine_is_set_by_keyboard(arrive: Visiting, house: House) -> None:
    lead = arrive(house, role="lead", device="desk")
    page = lead.go("/apart")
    page.get_by_role("link", name="Set its time").first.focus()
    page.keyboard.press("Enter")
    days = page.locator("#id_days")
    days.focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("44")
    page.locator("#id_why").fill("from a hoarding case")
    page.keyboard.press("Enter")
    expect(page.get_by_text("44 days from").first).to_be_visible()
