"""Whatever happens to the network, the server or the tab: every dose is kept, once."""

from typing import Any

from playwright.sync_api import Route, expect

from tests.browser.conftest import Visiting
from tests.browser.house import House
from tests.browser.rounds import SLOWLY, Doses, outcomes
from tests.browser.test_dose_round import weighed_by_touch
from tests.browser.visiting import NO_CONNECTION, Visit

Ward = dict[str, Any]
WORKER_HAS_ALL = (
    "caches.open('cavyround-check').then((c) => c.keys())"
    ".then((keys) => keys.some((one) => one.url.endsWith('/dose-round/')) && keys.length > 20)"
)


def on(visit: Visit, house: House) -> Doses:
    return Doses(visit.page, house.address).open()


def give_all(doses: Doses, ward: Ward) -> None:
    """The whole group, from the list of their treatment."""
    for animal in ward["group"]:
        row = doses.page.locator(f'.many-row[data-animal="{animal}"]')
        row.locator("[data-key^=draw-]").tap()
        row.locator("[data-key^=give-]").tap()
        expect(row).to_have_attribute("data-is", "done")


def test_with_no_connection_all_is_kept_counted_and_arrives_once(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    phone = arrive(dose_house)
    phone.expect(NO_CONNECTION)
    doses = on(phone, dose_house)
    doses.touch(f"together-{doses.of(ward['group'][0])['treatment']}")
    phone.context.set_offline(True)
    give_all(doses, ward)
    expect(doses.key("unsent")).to_have_attribute("data-unsent", str(len(ward["group"])))
    phone.context.set_offline(False)
    doses.all_sent()
    assert [outcomes(dose_house, one) for one in ward["group"]] == [["given"]] * len(ward["group"])


def test_a_server_that_dies_in_the_middle_loses_nothing(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    phone = arrive(dose_house)
    phone.expect(NO_CONNECTION)
    doses = on(phone, dose_house)
    doses.touch(f"together-{doses.of(ward['group'][0])['treatment']}")
    dose_house.kill()
    give_all(doses, ward)
    dose_house.start()
    doses.all_sent()
    assert [outcomes(dose_house, one) for one in ward["group"]] == [["given"]] * len(ward["group"])


def test_an_answer_lost_on_the_way_back_gives_nothing_twice(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    # Requests of a page with a service worker cannot be caught on their way.
    phone = arrive(dose_house, worker=False)
    phone.expect(NO_CONNECTION)
    doses = on(phone, dose_house)
    doses.enter(doses.of(ward["pain"]))
    lost = 0

    def lose(route: Route) -> None:
        nonlocal lost
        if lost == 2:
            route.continue_()
            return
        lost += 1
        route.fetch()
        route.abort()

    phone.page.route("**/dose-round/entries", lose)
    doses.give()
    doses.all_sent()
    assert lost == 2
    assert outcomes(dose_house, ward["pain"]) == ["given"]


def test_the_round_opens_again_where_it_was_with_no_server_at_all(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    phone = arrive(dose_house)
    phone.expect(NO_CONNECTION)
    doses = on(phone, dose_house)
    one = doses.of(ward["pain"])
    phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    phone.page.wait_for_function(WORKER_HAS_ALL, timeout=SLOWLY)
    doses.enter(one)
    doses.touch("drawn-up")
    expect(doses.key("given")).to_be_visible()
    dose_house.kill()
    phone.page.reload()
    doses.ready()
    # It is still drawn up, and still the same animal.
    assert doses.name == phone.page.locator("#dose-round h1").inner_text()
    expect(doses.part("drawn")).to_contain_text(one["mark_words"])
    doses.touch("given")
    expect(doses.key("unsent")).to_have_attribute("data-unsent", "1")
    phone.page.reload()
    doses.ready()
    expect(doses.key("unsent")).to_have_attribute("data-unsent", "1", timeout=SLOWLY)
    dose_house.start()
    doses.all_sent()
    assert outcomes(dose_house, ward["pain"]) == ["given"]


def test_a_dose_another_phone_gave_is_seen_and_cannot_be_given_again(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    mine, other = (on(arrive(dose_house, role=role), dose_house) for role in ("carer", "lead"))
    one = mine.of(ward["pain"])
    other.enter(one)
    other.give()
    other.all_sent()
    # The list of this phone is of before; opening the dose looks again.
    mine.enter(one)
    expect(mine.part("tries")).to_contain_text("given", timeout=SLOWLY)
    expect(mine.key("drawn-up")).to_have_count(0)
    expect(mine.key("given")).to_have_count(0)


def test_two_phones_that_gave_the_same_dose_are_both_kept_and_told(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    phone = arrive(dose_house)
    phone.expect(NO_CONNECTION)
    mine = on(phone, dose_house)
    one = mine.of(ward["pain"])
    mine.enter(one)
    phone.context.set_offline(True)
    mine.give()
    other = on(arrive(dose_house, role="lead"), dose_house)
    other.enter(one)
    other.give()
    other.all_sent()
    phone.context.set_offline(False)
    mine.all_sent()
    told = mine.page.locator(".double")
    expect(told).to_contain_text("more than once", timeout=SLOWLY)
    expect(told).to_contain_text("ring the vet")
    # It stays through a reload until it is read.
    mine.page.reload()
    mine.ready()
    expect(told).to_be_visible()
    mine.touch(f"read-{one['key']}")
    expect(told).to_have_count(0)
    assert outcomes(dose_house, ward["pain"]) == ["given", "given"]
    asked = [each["animal"] for each in mine.told()["ask_vet"]]
    assert ward["pain"] in asked


def test_a_weight_taken_with_no_connection_gives_no_amount_by_the_old_one(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    phone = arrive(dose_house)
    phone.expect(NO_CONNECTION)
    doses = on(phone, dose_house)
    one = doses.of(ward["unweighed"])
    doses.enter(one)
    phone.context.set_offline(True)
    doses.touch("weigh")
    grams = weighed_by_touch(doses)
    expect(doses.part("weigh")).to_contain_text("as soon as there is a connection")
    expect(doses.key("drawn-up")).to_have_count(0)
    phone.context.set_offline(False)
    expect(doses.key("drawn-up")).to_be_visible(timeout=SLOWLY)
    assert float(doses.of(ward["unweighed"])["weight_g"]) == grams


def test_an_alarming_answer_speaks_with_no_connection(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    phone = arrive(dose_house)
    phone.expect(NO_CONNECTION)
    doses = on(phone, dose_house)
    doses.ask(ward["antibiotic"])
    phone.context.set_offline(True)
    doses.page.get_by_role("button", name="not eating").tap()
    expect(doses.part("answered")).to_contain_text("Ring")
    phone.context.set_offline(False)
    doses.all_sent()
    rows = dose_house.rows("SELECT answer FROM record_doseanswer ORDER BY at DESC LIMIT 1")
    assert [row["answer"] for row in rows] == ["not eating"]


def test_a_stuttering_thumb_draws_up_and_does_not_give(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    phone = arrive(dose_house)
    doses = on(phone, dose_house)
    doses.enter(doses.of(ward["pain"]))
    phone.page.wait_for_function("!document.querySelector('#dose-round').dataset.resting")
    box = doses.key("drawn-up").bounding_box()
    assert box is not None
    middle = (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    phone.page.touchscreen.tap(*middle)
    phone.page.touchscreen.tap(*middle)
    expect(doses.key("given")).to_be_visible()
    assert doses.unsent == 0
    assert outcomes(dose_house, ward["pain"]) == []
