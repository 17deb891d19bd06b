"""Phones as they are: clocks that are wrong, refusals that were a mistake, storage that is gone."""

import json
from datetime import UTC, datetime, timedelta
from io import BytesIO
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Route, expect

from tests.browser.conftest import Visiting
from tests.browser.hands import Table, plain
from tests.browser.house import House, bare
from tests.browser.visiting import NO_CONNECTION, Visit


def of_check(house: House, check: str) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = house.rows(
        "SELECT kind, data, made_at FROM record_checkentry WHERE check_in_id = ? ORDER BY made_at",
        [bare(check)],
    )
    return rows


def moment(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


@pytest.mark.parametrize("theirs", ["2038-01-19T03:14:07Z", "1970-01-01T00:05:00Z"])
def test_a_phone_with_a_wrong_clock_says_so_and_all_it_made_is_kept_at_the_right_time(
    phone: Visit, house: House, theirs: str
) -> None:
    animal = plain(phone.page, house.address)
    began = datetime.now(UTC)
    phone.page.clock.set_system_time(theirs)
    table = Table(phone.page, house.address).begin(animal["id"])
    expect(phone.page.locator(".bar")).to_contain_text("This phone's clock is")
    table.main()
    table.all_sent()
    expect(table.key("unsent")).to_have_attribute("data-refused", "0")
    *kept, clock = of_check(house, table.check)
    assert [one["kind"] for one in kept] == ["hold_normal"]
    assert clock["kind"] == "clock"
    assert next(iter(json.loads(clock["data"])["made_at"].values()))[:4] == theirs[:4]
    for one in kept:
        assert abs(moment(one["made_at"]) - began) < timedelta(minutes=2)
    phone.go(f"/checks/{table.check}")
    expect(phone.page.locator("ol.entries")).to_contain_text("by the phone's own clock")


def test_a_clock_that_goes_wrong_during_the_check_is_told_at_the_next_sending(
    phone: Visit, house: House
) -> None:
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    assert "clock" not in phone.page.locator(".bar").inner_text()
    phone.page.clock.set_system_time(datetime.now(UTC) + timedelta(days=3))
    table.main()
    expect(phone.page.locator(".bar")).to_contain_text("clock is 3 days ahead")
    table.all_sent()


def test_what_was_refused_for_its_clock_before_goes_again_by_itself(
    arrive: Visiting, house: House
) -> None:
    phone = arrive(house, worker=False)
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    check = table.check
    why = "This was made before there were such phones: set the phone's clock, then send again."

    def refuse(route: Route) -> None:
        sent = json.loads(route.request.post_data or "{}")["touches"]
        refused = [{"id": one["id"], "why": why} for one in sent]
        route.fulfill(json={"kept": [], "refused": refused, "checks": {}})

    phone.page.route("**/check/touches", refuse)
    table.main()
    expect(table.key("unsent")).to_have_attribute("data-refused", "1")
    phone.page.unroute("**/check/touches")
    phone.page.reload()
    table.ready()
    expect(table.key("unsent")).to_have_attribute("data-refused", "0")
    table.all_sent()
    assert [one["kind"] for one in of_check(house, check)] == ["hold_normal"]


def test_what_was_refused_for_another_reason_goes_again_when_the_carer_says_so(
    arrive: Visiting, house: House
) -> None:
    phone = arrive(house, worker=False)
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])

    def refuse(route: Route) -> None:
        sent = json.loads(route.request.post_data or "{}")["touches"]
        refused = [{"id": one["id"], "why": "Nobody knows this animal."} for one in sent]
        route.fulfill(json={"kept": [], "refused": refused, "checks": {}})

    phone.page.route("**/check/touches", refuse)
    table.main()
    expect(table.key("unsent")).to_have_attribute("data-refused", "1")
    phone.page.unroute("**/check/touches")
    table.touch("unsent")
    table.touch("try-again")
    expect(table.key("unsent")).to_have_attribute("data-refused", "0")
    table.all_sent()
    assert [one["kind"] for one in of_check(house, table.check)] == ["hold_normal"]


def clear_storage(phone: Visit, what: str = "indexeddb,local_storage") -> None:
    """As "clear site data" does while the page is open."""
    settings = phone.context.new_cdp_session(phone.page)
    origin = phone.page.evaluate("location.origin")
    settings.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": what})


def test_storage_that_is_cleared_in_the_middle_of_a_check_is_told_and_loses_nothing(
    phone: Visit, house: House
) -> None:
    phone.expect(NO_CONNECTION)
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    table.main()
    table.all_sent()
    phone.context.set_offline(True)
    table.main()
    table.main() if table.screen != "weigh" else table.weigh(table.last_weight())
    expect(table.key("unsent")).to_contain_text("2 not sent")
    clear_storage(phone)
    told = phone.page.locator('[data-part="cleared"]')
    expect(told).to_contain_text("storage was cleared just now")
    expect(told).to_contain_text("go on")
    table.main() if table.screen != "weigh" else table.weigh(table.last_weight())
    expect(table.key("unsent")).to_contain_text("3 not sent")
    # Also a page that is loaded again knows where it was.
    phone.context.set_offline(False)
    table.all_sent()
    check, where = table.check, table.hold
    phone.page.reload()
    table.ready()
    assert (table.check, table.hold) == (check, where)
    expect(phone.page.locator('[data-part="cleared"]')).to_have_count(0)
    assert len(of_check(house, check)) == 4


def test_storage_that_is_cleared_before_anything_was_said_costs_no_touch(
    phone: Visit, house: House
) -> None:
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    clear_storage(phone)
    table.main()
    table.all_sent()
    assert [one["kind"] for one in of_check(house, table.check)] == ["hold_normal"]


def test_a_photo_of_this_page_outlives_a_cleared_storage(phone: Visit, house: House) -> None:
    phone.expect(NO_CONNECTION)
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    table.find("breathing", "breathing-noisy-N")
    table.all_sent()
    phone.context.set_offline(True)
    picture = BytesIO()
    Image.new("RGB", (40, 30), "tan").save(picture, "JPEG")
    file: Any = {"name": "eye.jpg", "mimeType": "image/jpeg", "buffer": picture.getvalue()}
    phone.page.locator('input[data-key="photo"]').first.set_input_files([file])
    expect(table.key("unsent")).to_contain_text("1 not sent")
    clear_storage(phone)
    expect(phone.page.locator('[data-part="cleared"]')).not_to_contain_text("photo")
    phone.context.set_offline(False)
    table.all_sent()
    kept = house.rows("SELECT id FROM record_photo WHERE check_in_id = ?", [bare(table.check)])
    assert len(kept) == 1
