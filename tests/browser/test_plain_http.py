"""On the rescue's Wi-Fi the page is no secure context: the check must be whole without one."""

from playwright.sync_api import expect

from tests.browser.conftest import Visiting
from tests.browser.hands import Table, plain, plain_among
from tests.browser.house import House, bare
from tests.browser.visiting import NO_CONNECTION


def test_over_plain_http_by_name_the_check_is_whole_also_offline_in_the_middle(
    arrive: Visiting, house: House
) -> None:
    by_name = f"http://pigs.test:{house.port}"
    phone = arrive(house, role=None, address=by_name)
    # A header that counts over TLS alone; the browser writes down that it is of no use here.
    phone.expect(NO_CONNECTION, "Cross-Origin-Opener-Policy header has been ignored")
    page = phone.go("/sign-in")
    assert page.evaluate("isSecureContext") is False
    page.locator("[name=username]").fill("carer")
    page.locator("[name=password]").fill(page.locator("code").first.inner_text())
    page.get_by_role("button", name="Sign in").tap()
    page.wait_for_url(f"{by_name}/")
    round_of_today = page.evaluate("fetch('/check/round.json').then((answer) => answer.json())")
    animal = plain_among(round_of_today["animals"])
    table = Table(page, by_name).begin(animal["id"])
    check = table.check
    table.touch("say")
    table.key("said").fill("Left ear has brown wax.")
    table.touch("read-back")
    expect(page.locator(".tolds")).to_contain_text("left ear: ear wax")
    expect(table.key("accept")).to_be_enabled()
    table.touch("accept")
    table.main()
    phone.context.set_offline(True)
    table.main()
    expect(table.key("unsent")).not_to_have_attribute("data-unsent", "0")
    phone.context.set_offline(False)
    table.all_sent()
    page.reload()
    table.ready()
    assert table.check == check
    while table.screen != "summary":
        table.weigh_or_main(animal)
    table.finish()
    sent = [one for one in house.entries(animal["id"]) if one["check_in_id"] == bare(check)]
    assert sent[-1]["kind"] == "finish"


def test_on_the_machine_itself_the_screen_stays_on_the_phone_with_no_server_at_all(
    arrive: Visiting, house: House
) -> None:
    phone = arrive(house)
    phone.expect(NO_CONNECTION)
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    check = table.check
    phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    phone.page.wait_for_function(
        "caches.open('cavyround-check').then((c) => c.keys()).then((k) => k.length > 10)"
    )
    table.main()
    house.kill()
    phone.page.reload()
    table.ready()
    assert table.check == check
    table.weigh_or_main(animal)
    house.start()
    table.all_sent()
    assert len([e for e in house.entries(animal["id"]) if e["check_in_id"] == bare(check)]) == 2
