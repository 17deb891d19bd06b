"""A labour timed with one thumb, offline, by two phones; slips taken back; one that lives alone."""

from datetime import UTC, datetime, timedelta
from uuid import UUID

from playwright.sync_api import Page, expect

from tests.browser.conftest import Visiting
from tests.browser.house import House
from tests.browser.looking import faults_by_day_and_night
from tests.browser.visiting import NO_CONNECTION

LONG = 60_000
TARGET_PX = 60


def begin(page: Page, button: str) -> None:
    """From the page of sows to the page that counts."""
    page.get_by_role("link", name="She is straining").first.tap()
    expect(page.get_by_role("heading", level=1)).to_contain_text("She is straining")
    page.get_by_role("button", name=button).tap()
    expect(page.get_by_role("heading", name="What you see")).to_be_visible(timeout=LONG)


def no_target_is_small(page: Page) -> None:
    for button in page.locator(".taps .act").all():
        box = button.bounding_box()
        assert box is not None
        assert box["height"] >= TARGET_PX


def test_a_birth_is_timed_seen_by_others_and_closed(arrive: Visiting, house: House) -> None:
    page = arrive(house, role="carer").go("/house/expectant")
    begin(page, "5 minutes ago")
    expect(page.get_by_role("heading", name="Ring the vet at")).to_be_visible()
    expect(page.locator("[data-since]").first).to_contain_text("min", timeout=LONG)
    no_target_is_small(page)
    assert faults_by_day_and_night(page) == []
    page.get_by_role("button", name="A pup, alive").tap()
    expect(page.locator(".labour-seen")).to_contain_text("A pup is born alive", timeout=LONG)
    page.reload()
    expect(page.locator(".labour-seen")).to_contain_text("A pup is born alive", timeout=LONG)

    other = arrive(house, role="lead").go("/")
    other.get_by_role("link", name="ring the vet at").first.tap()
    other.get_by_role("button", name="Green, brown or bloody discharge").tap()
    ring = "Ring the vet now, at any hour"
    expect(other.get_by_role("heading", name=ring)).to_be_visible(timeout=LONG)
    expect(page.get_by_role("heading", name=ring)).to_be_visible(timeout=LONG)
    assert faults_by_day_and_night(page) == []

    page.get_by_role("link", name="The birth is over").tap()
    expect(page.get_by_label("Born alive")).to_have_value("1")
    page.get_by_role("button", name="Keep it").tap()
    expect(page.get_by_role("heading", name="The birth is over")).to_be_visible(timeout=LONG)
    [litter] = house.rows(
        "SELECT born_alive, born_dead FROM record_litter ORDER BY id DESC LIMIT 1"
    )
    assert (litter["born_alive"], litter["born_dead"]) == (1, 0)


def test_without_a_connection_the_time_still_runs_out_and_no_tap_is_lost(
    arrive: Visiting, house: House
) -> None:
    carer = arrive(house, role="carer")
    carer.expect(NO_CONNECTION, "htmx:sendError", "htmx:afterRequest")
    page = carer.go("/house/expectant")
    begin(page, "It begins now")
    page.clock.install(time=datetime.now(tz=UTC))
    carer.context.set_offline(True)
    page.clock.fast_forward(timedelta(minutes=11).seconds * 1000)
    ring = "Ring the vet now, at any hour"
    expect(page.get_by_role("heading", name=ring)).to_be_visible(timeout=LONG)
    expect(page.locator("[data-says]")).to_have_text("Ring the vet now.")
    page.get_by_role("button", name="A pup, alive").tap()
    expect(page.locator("[data-unsent]")).to_contain_text("1 not sent yet", timeout=LONG)
    carer.context.set_offline(False)
    page.clock.run_for(timedelta(seconds=10).seconds * 1000)
    expect(page.locator("[data-unsent]")).to_be_hidden(timeout=LONG)
    [row] = house.rows(
        "SELECT count(*) AS n FROM record_labourseen WHERE labour_id = "
        "(SELECT id FROM record_labour ORDER BY made_at DESC LIMIT 1)"
    )
    assert row["n"] == 1


def test_found_straining_is_an_emergency_at_once_and_reads_well_on_a_desk(
    arrive: Visiting, house: House
) -> None:
    page = arrive(house, role="carer").go("/house/expectant")
    begin(page, "Not known: found straining")
    expect(page.get_by_role("heading", name="Ring the vet now")).to_be_visible()
    expect(page.get_by_role("link", name="+").or_(page.locator(".vets a")).first).to_be_visible()
    address = page.url
    desk = arrive(house, role="viewer", device="desk").go("/")
    desk.goto(address)
    expect(desk.get_by_text("not known").first).to_be_visible()
    expect(desk.get_by_role("button", name="A pup, alive")).to_have_count(0)
    assert faults_by_day_and_night(desk) == []


def test_what_was_written_down_of_sex_and_litters_is_taken_back_on_a_phone(
    arrive: Visiting, house: House
) -> None:
    carer = arrive(house, role="carer")
    page = carer.go("/house/expectant")
    assert faults_by_day_and_night(page) == []
    page.get_by_role("link", name="Written down wrongly?").first.tap()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Sex and litters")
    assert faults_by_day_and_night(page) == []
    page.get_by_role("link", name="A litter, born").last.tap()
    page.get_by_label("What was wrong").fill("the wrong sow was chosen")
    page.get_by_role("button", name="Keep it").tap()
    expect(page.get_by_text("the wrong sow was chosen")).to_be_visible(timeout=LONG)
    [row] = house.rows("SELECT what FROM record_livingtakenback")
    assert row["what"] == "litter"


def test_why_an_animal_lives_alone_is_said_on_a_phone_and_read_on_the_plan(
    arrive: Visiting, house: House
) -> None:
    page = arrive(house, role="carer").go("/house")
    [row] = house.rows(
        "SELECT id, name FROM record_animal WHERE left_on IS NULL AND pen_id IN (SELECT pen_id "
        "FROM record_animal WHERE left_on IS NULL GROUP BY pen_id HAVING count(*) = 1) LIMIT 1"
    )
    page.goto(f"{house.address}/animals/{UUID(row['id'])}")
    expect(page.get_by_role("heading", name="Lives alone")).to_be_visible(timeout=LONG)
    page.get_by_role("link", name="Say why it lives alone").tap()
    expect(page.get_by_role("heading", level=1)).to_contain_text("lives alone", timeout=LONG)
    expect(page.get_by_role("button", name="Keep it")).to_be_visible()
    assert faults_by_day_and_night(page) == []
    page.get_by_text("Fights with all it was tried with").tap()
    page.get_by_role("button", name="Keep it").tap()
    expect(page.locator("#page")).to_contain_text("nobody is put with it", timeout=LONG)
    assert faults_by_day_and_night(page) == []
    page.goto(f"{house.address}/house")
    expect(page.locator("#page")).to_contain_text("fights with all it was tried with, since")
