"""Whatever happens to the network, the server or the tab: every weight is kept, once."""

from playwright.sync_api import Route, expect

from tests.browser.conftest import Visiting
from tests.browser.house import House
from tests.browser.scales import Scales, begun, kept, likely
from tests.browser.visiting import NO_CONNECTION, Visit, refused_with


def test_with_no_connection_all_is_kept_and_plainly_not_judged_and_arrives_once(
    phone: Visit, house: House
) -> None:
    phone.expect(NO_CONNECTION)
    scales, animals = begun(phone, house)
    before = len(kept(house, animals[0]))
    phone.context.set_offline(True)
    for animal in animals:
        scales.weigh(likely(animal))
    unsent = str(2 * len(animals))
    expect(scales.key("unsent")).to_have_attribute("data-unsent", unsent)
    expect(phone.page.locator("[data-part=judging]")).to_contain_text("not judged yet")
    expect(phone.page.locator('[data-judged="no"]')).to_have_count(len(animals))
    phone.context.set_offline(False)
    scales.all_sent()
    scales.all_judged()
    assert len(kept(house, animals[0])) == before + 2


def test_a_server_that_dies_in_the_middle_loses_nothing(phone: Visit, house: House) -> None:
    phone.expect(NO_CONNECTION)
    scales, animals = begun(phone, house)
    before = [len(kept(house, one)) for one in animals]
    scales.weigh(likely(animals[0]))
    house.kill()
    for animal in animals[1:]:
        scales.weigh(likely(animal))
    house.start()
    scales.all_sent()
    scales.all_judged()
    assert [len(kept(house, one)) for one in animals] == [was + 2 for was in before]


def test_an_answer_lost_on_the_way_back_weighs_nothing_twice(
    arrive: Visiting, house: House
) -> None:
    # Requests of a page with a service worker cannot be caught on their way.
    phone = arrive(house, worker=False)
    phone.expect(NO_CONNECTION)
    scales, animals = begun(phone, house)
    before = len(kept(house, animals[0]))
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
    scales.weigh(likely(animals[0]))
    scales.all_sent()
    assert lost == 2
    assert len(kept(house, animals[0])) == before + 2


def test_a_reload_goes_on_with_the_same_animal_and_knows_who_was_weighed(
    phone: Visit, house: House
) -> None:
    scales, animals = begun(phone, house)
    scales.weigh(likely(animals[0]))
    scales.all_sent()
    phone.page.reload()
    scales.ready()
    assert scales.name == animals[1]["name"]
    assert scales.progress == f"1 of {len(animals)}"
    expect(scales.key(f"to-{animals[0]['id']}")).to_have_attribute("data-done", "yes")
    scales.touch("pens")
    pen = phone.page.locator(f'[data-key="pen-{animals[0]["pen_id"]}"]')
    # The herd's own morning may have weighed some of the others.
    today = 1 + sum(bool(one["weigh"]["today"]) for one in animals[1:])
    expect(pen).to_contain_text(f"{today} of {len(animals)} weighed")


def test_the_screen_opens_again_where_it_was_with_no_server_at_all(
    phone: Visit, house: House
) -> None:
    phone.expect(NO_CONNECTION)
    scales, animals = begun(phone, house)
    phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    phone.page.wait_for_function(
        "caches.open('cavyround-check').then((c) => c.keys()).then((k) => k.length > 20)"
    )
    scales.weigh(likely(animals[0]))
    scales.all_sent()
    house.kill()
    phone.page.reload()
    scales.ready()
    assert scales.name == animals[1]["name"]
    scales.weigh(likely(animals[1]))
    expect(scales.key("unsent")).to_have_attribute("data-unsent", "2")
    house.start()
    scales.all_sent()


def test_over_plain_http_by_name_the_weigh_in_is_whole(arrive: Visiting, house: House) -> None:
    by_name = f"http://pigs.test:{house.port}"
    phone = arrive(house, role=None, address=by_name)
    phone.expect(NO_CONNECTION, "Cross-Origin-Opener-Policy header has been ignored")
    page = phone.go("/sign-in")
    page.locator("[name=username]").fill("carer")
    page.locator("[name=password]").fill(page.locator("code").first.inner_text())
    page.get_by_role("button", name="Sign in").tap()
    page.wait_for_url(f"{by_name}/")
    told = page.evaluate("fetch('/weigh-in/pens.json').then((answer) => answer.json())")
    assert page.evaluate("isSecureContext") is False
    pen = told["pens"][-1]
    animals = [one for one in told["animals"] if one["pen_id"] == pen["id"]]
    scales = Scales(page, by_name).open().enter(pen)
    phone.context.set_offline(True)
    scales.pad(likely(animals[0]))
    expect(scales.key("unsent")).to_have_attribute("data-unsent", "2")
    phone.context.set_offline(False)
    scales.all_sent()


def test_weights_that_cannot_be_judged_just_now_are_asked_for_again_by_themselves(
    arrive: Visiting, house: House
) -> None:
    phone = arrive(house, worker=False)
    phone.expect(refused_with(503))
    scales, animals = begun(phone, house)
    busy = 0

    def be_busy(route: Route) -> None:
        nonlocal busy
        busy += 1
        if busy < 3:
            route.fulfill(status=503, body="{}", content_type="application/json")
        else:
            route.continue_()

    phone.page.route("**/weigh-in/said", be_busy)
    for animal in animals:
        scales.weigh(likely(animal))
    expect(phone.page.locator("[data-part=judging]")).to_contain_text("not judged yet")
    scales.all_judged()
    assert busy == 3
