"""Whatever happens to the phone, the network or the server: what was touched is kept, once."""

from typing import Any

from playwright.sync_api import Route, expect

from tests.browser.conftest import Visiting
from tests.browser.hands import Table, plain
from tests.browser.house import House, bare
from tests.browser.visiting import NO_CONNECTION, Visit, refused_with


def of_check(house: House, animal: dict[str, Any], check: str) -> list[dict[str, Any]]:
    return [one for one in house.entries(animal["id"]) if one["check_in_id"] == bare(check)]


def through(table: Table, animal: dict[str, Any]) -> None:
    """Go on to the summary, whatever was done already."""
    while table.screen != "summary":
        table.weigh_or_main(animal)


def kinds(entries: list[dict[str, Any]]) -> list[str]:
    return sorted(one["kind"] for one in entries)


def whole(animal: dict[str, Any]) -> list[str]:
    """The entries of a whole check with all as it should be."""
    holds = len(animal["plan"]["holds"])
    return sorted(["hold_normal"] * (holds - 1) + ["weight", "finish"])


def test_offline_in_the_middle_everything_arrives_once_when_the_connection_is_back(
    phone: Visit, house: House
) -> None:
    phone.expect(NO_CONNECTION)
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    table.main()
    table.all_sent()
    phone.context.set_offline(True)
    table.main()
    through(table, animal)
    unsent = len(animal["plan"]["holds"]) - 1
    expect(table.key("unsent")).to_have_attribute("data-unsent", str(unsent))
    expect(table.key("unsent")).to_contain_text(f"{unsent} not sent")
    table.touch("main")
    expect(phone.page.locator("#check h1")).to_contain_text("is done")
    expect(phone.page.locator("[data-part=advice]")).to_contain_text("kept on this phone")
    phone.context.set_offline(False)
    table.all_sent()
    table.touch("try")
    phone.page.wait_for_url("**/advice/**")
    check = house.rows(
        "SELECT id FROM record_check WHERE animal_id = ? ORDER BY id DESC", [bare(animal["id"])]
    )[0]["id"]
    assert kinds(of_check(house, animal, check)) == whole(animal)


def test_the_server_killed_in_the_middle_and_started_again_loses_nothing(
    phone: Visit, house: House
) -> None:
    phone.expect(NO_CONNECTION)
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    check = table.check
    table.main()
    table.all_sent()
    table.main()
    house.kill()
    through(table, animal)
    assert table.unsent > 0
    house.start()
    table.all_sent()
    expect(table.key("unsent")).to_contain_text("all sent")
    table.finish()
    assert kinds(of_check(house, animal, check)) == whole(animal)


def test_an_answer_lost_on_the_way_back_makes_nothing_twice(arrive: Visiting, house: House) -> None:
    # Requests of a page with a service worker cannot be caught on their way.
    phone = arrive(house, worker=False)
    phone.expect(NO_CONNECTION)
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    check = table.check
    lost = 0

    def lose(route: Route) -> None:
        nonlocal lost
        if lost == 2:
            route.continue_()
            return
        lost += 1
        route.fetch()
        route.abort()

    phone.page.route("**/check/touches", lose)
    table.main()
    expect(table.key("unsent")).to_contain_text("1 not sent")
    table.all_sent()
    assert lost == 2
    assert kinds(of_check(house, animal, check)) == ["hold_normal"]


def test_a_reload_in_the_middle_goes_on_at_the_same_hold(phone: Visit, house: House) -> None:
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    check, first = table.check, table.hold
    table.main()
    table.weigh_or_main(animal)
    where = table.hold
    phone.page.reload()
    table.ready()
    assert (table.check, table.hold) == (check, where)
    expect(table.key(f"to-{first}")).to_have_attribute("data-done", "yes")
    through(table, animal)
    table.finish()
    assert kinds(of_check(house, animal, check)) == whole(animal)


def test_a_closed_tab_goes_on_where_it_was_even_if_it_closed_with_no_connection(
    phone: Visit, house: House
) -> None:
    phone.expect(NO_CONNECTION)
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    check, first = table.check, table.hold
    phone.context.set_offline(True)
    table.main()
    table.weigh_or_main(animal)
    where = table.hold
    phone.close_tab()
    phone.context.set_offline(False)
    table = Table(phone.page, house.address)
    phone.go(f"/check?animal={animal['id']}&kind=full")
    table.ready()
    table.touch(f"on-{check}")
    assert (table.check, table.hold) == (check, where)
    expect(table.key(f"to-{first}")).to_have_attribute("data-done", "yes")
    through(table, animal)
    table.finish()
    assert kinds(of_check(house, animal, check)) == whole(animal)


def test_two_phones_on_one_animal_are_both_kept_and_each_is_told(
    arrive: Visiting, house: House
) -> None:
    one, other = arrive(house, role="carer"), arrive(house, role="lead")
    animal = plain(one.page, house.address)
    first = Table(one.page, house.address).begin(animal["id"])
    first.main()
    first.all_sent()
    second = Table(other.page, house.address).begin(animal["id"])
    expect(other.page.locator(".also")).to_contain_text(f"is checking {animal['name']} too")
    second.main()
    second.all_sent()
    first.main()
    expect(one.page.locator(".also")).to_contain_text(f"is checking {animal['name']} too")
    for table in (first, second):
        through(table, animal)
    checks = first.check, second.check
    first.finish()
    second.finish()
    for check in checks:
        assert kinds(of_check(house, animal, check)) == whole(animal)


def test_a_sign_in_that_ran_out_keeps_all_and_asks_to_sign_in_again(
    phone: Visit, house: House
) -> None:
    phone.expect(refused_with(401))
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    check = table.check
    table.main()
    table.all_sent()
    phone.context.clear_cookies(name="sessionid")
    table.main()
    expect(table.key("unsent")).to_contain_text("sign in again")
    through(table, animal)
    assert table.unsent > 1
    table.touch("unsent")
    link = phone.page.get_by_role("link", name="Sign in again")
    expect(link).to_be_visible()
    link.tap()
    phone.page.locator("[name=username]").fill("carer")
    phone.page.locator("[name=password]").fill(phone.page.locator("code").first.inner_text())
    phone.page.get_by_role("button", name="Sign in").tap()
    table.ready()
    table.touch(f"on-{check}")
    table.all_sent()
    table.finish()
    assert kinds(of_check(house, animal, check)) == whole(animal)


def test_what_one_carer_left_unsent_stays_theirs_when_another_signs_in(
    phone: Visit, house: House
) -> None:
    # Faces that were still loading when the sign-in was gone do not arrive either.
    phone.expect(refused_with(401), NO_CONNECTION)
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    phone.context.clear_cookies(name="sessionid")
    table.main()
    expect(table.key("unsent")).to_contain_text("1 not sent")
    phone.go("/sign-in")
    phone.page.locator("[name=username]").fill("lead")
    phone.page.locator("[name=password]").fill(phone.page.locator("code").first.inner_text())
    phone.page.get_by_role("button", name="Sign in").tap()
    phone.page.wait_for_url(f"{house.address}/")
    phone.go("/check")
    table.ready()
    table.all_sent()
    kept = house.entries(animal["id"])[-1]
    maker = house.rows("SELECT username FROM record_person WHERE id = ?", [kept["made_by_id"]])
    assert maker == [{"username": "carer"}]
