"""The weigh-in: a whole pen by touch, in two touches each, with and without a connection."""

import json
from typing import Any

import pytest
from playwright.sync_api import Route, expect

from tests.browser.conftest import Visiting
from tests.browser.hands import Table, plain
from tests.browser.house import House
from tests.browser.scales import Scales, a_pen, begun, kept, likely
from tests.browser.visiting import NO_CONNECTION, Visit
from tests.web.weighing.doubting import ASK_THE_PHONE, as_said, asked, cases, engine_says

# A tub left on the scale would weigh the same a second time; this no tub weighs.
MORE_THAN_A_TUB_G = 760


@pytest.mark.parametrize("device", ["phone", "desk"])
def test_a_whole_pen_is_weighed_in_two_touches_each_and_judged_at_the_end(
    device: Any, arrive: Visiting, house: House
) -> None:
    visit = arrive(house, device=device)
    scales, animals = begun(visit, house, touch=device == "phone")
    before = {one["id"]: kept(house, one) for one in animals}
    scales.touches = 0
    for number, animal in enumerate(animals):
        assert scales.name == animal["name"]
        assert scales.progress == f"{number} of {len(animals)}"
        last = visit.page.locator(".last-weight")
        expect(last).to_contain_text(animal["last_weight"]["on"])
        expect(last).to_contain_text("Likely: ")
        scales.weigh(likely(animal))
    assert scales.touches == 2 * len(animals)
    assert scales.screen == "result"
    expect(visit.page.locator(".result[data-done=yes]")).to_have_count(len(animals))
    scales.all_judged()
    for animal in animals:
        row = visit.page.locator(f'.result[data-animal="{animal["id"]}"]')
        expect(row).to_contain_text(f"{likely(animal):,} g")
        expect(row).to_contain_text("%")
        expect(row.locator("[data-judged=yes]")).to_be_visible()
        new = kept(house, animal)[len(before[animal["id"]]) :]
        assert new == [("weight", str(likely(animal)), False), ("finish", None, False)]


def test_a_weight_that_can_hardly_be_is_asked_and_read_twice_both_are_kept(
    phone: Visit, house: House
) -> None:
    scales, animals = begun(phone, house)
    before = len(kept(house, animals[0]))
    far = likely(animals[0]) + MORE_THAN_A_TUB_G
    scales.pad(far)
    card = scales.doubted()
    expect(card).to_contain_text("marked as doubtful")
    assert scales.name == animals[0]["name"]
    scales.touch("doubt-again")
    expect(phone.page.locator("#weigh-in")).to_contain_text(f"First reading: {far:,} g")
    scales.pad(far + 4)
    expect(phone.page.locator("#weigh-in h1")).to_have_text(animals[1]["name"])
    scales.all_sent()
    assert kept(house, animals[0])[before:] == [
        ("weight", str(far), True),
        ("weight", str(far + 4), False),
        ("finish", None, False),
    ]


def in_ounces(animal: dict[str, Any]) -> str:
    """What a scale set to ounces shows of the animal's likely weight."""
    return f"{likely(animal) / 28.349523125:.1f}"


def test_ounces_typed_as_grams_twice_stay_doubtful_and_both_readings_stand(
    phone: Visit, house: House
) -> None:
    scales, animals = begun(phone, house)
    before = len(kept(house, animals[0]))
    ounces = in_ounces(animals[0])
    scales.pad(ounces)
    expect(scales.doubted()).to_contain_text("That may be ounces")
    scales.touch("doubt-again")
    scales.pad(ounces)
    expect(scales.doubted()).to_contain_text("says the same every time")
    scales.touch("doubt-keep")
    expect(phone.page.locator("#weigh-in h1")).to_have_text(animals[1]["name"])
    scales.all_sent()
    # One weight: two that agree would prove each other to the engine.
    assert kept(house, animals[0])[before:] == [("weight", ounces, True), ("finish", None, False)]
    (row,) = house.rows(
        "SELECT as_typed FROM record_weighin WHERE animal_id = ? ORDER BY at DESC LIMIT 1",
        [animals[0]["id"].replace("-", "")],
    )
    assert row["as_typed"] == f"{ounces} g; {ounces} g"


def test_the_weight_meant_in_ounces_is_one_touch_and_not_doubtful(
    phone: Visit, house: House
) -> None:
    scales, animals = begun(phone, house)
    ounces = in_ounces(animals[0])
    meant = round(float(ounces) * 28.349523125)
    scales.pad(ounces)
    scales.doubted()
    expect(scales.key("doubt-meant")).to_have_text(f"It is {meant:,} g")
    scales.touch("doubt-meant")
    expect(phone.page.locator("#weigh-in h1")).to_have_text(animals[1]["name"])
    scales.all_sent()
    assert kept(house, animals[0])[-2:] == [("weight", str(meant), False), ("finish", None, False)]


def test_a_tub_left_on_twice_stays_doubtful(arrive: Visiting, house: House) -> None:
    said = (
        arrive(house, worker=False)
        .go("/weigh-in/")
        .evaluate(
            """async () => {
          const { taken } = await import('/static/web/weighing/taking.js');
          const bounds = { reweigh_within_g: 10, plausible_g: [30, 2700] };
          const twice = (reason, grams) => taken({ grams, typed: "" }, { reason },
            { first: { grams, typed: "" }, bounds }).touches?.map((one) => one.doubted ?? false);
          return [twice('carrier', 1300), twice('missing_digit', 88), twice('extra_digit', 2600),
            twice('far', 20), twice('far', 3000), twice('far', 1300), twice('neighbour', 900)];
        }"""
        )
    )
    assert said == [None, None, None, None, None, [True, False], [True, False]]


def test_a_pen_weighed_today_is_known_in_the_list_and_its_summary_opens_again(
    phone: Visit, house: House
) -> None:
    phone.expect(NO_CONNECTION)
    scales, animals = begun(phone, house)
    pen = phone.page.locator(f'[data-key="pen-{animals[0]["pen_id"]}"]')
    count = len(animals)
    phone.context.set_offline(True)
    scales.touch("skip")
    scales.touch("why-at the vet")
    expect(phone.page.locator("#weigh-in h1")).to_have_text(animals[1]["name"])
    for animal in animals[1:-1]:
        scales.weigh(likely(animal))
    # So light that the server must raise an alarm, and the carer keeps to it.
    light = round(likely(animals[-1]) * 0.88)
    scales.pad(light)
    phone.page.wait_for_timeout(500)
    if scales.key("doubt-again").count():
        scales.touch("doubt-again")
        scales.pad(light)
    expect(phone.page.locator("#weigh-in h1")).to_contain_text(
        f"{count - 1} of {count} weighed, 1 left out"
    )
    scales.touch("pens")
    today = count - 1 + bool(animals[0]["weigh"]["today"])
    expect(pen).to_contain_text(f"{today} of {count} weighed")
    expect(pen).to_contain_text(f"{count - 1} not judged yet")
    phone.context.set_offline(False)
    scales.all_sent()
    expect(pen).to_contain_text(f"1 alarm: {animals[-1]['name']}", timeout=20_000)
    expect(phone.page.locator("#weigh-in")).not_to_contain_text("No connection")
    scales.touch(f"pen-{animals[0]['pen_id']}")
    expect(phone.page.locator("[data-judged=yes]")).to_have_count(count - 1)
    scales.touch("anew")
    scales.touch(f"to-{animals[-1]['id']}")
    scales.ready()
    expect(phone.page.locator(".today")).to_contain_text(f"Weighed today, {light:,} g")


def test_a_doubted_weight_can_be_kept_and_is_marked(phone: Visit, house: House) -> None:
    scales, animals = begun(phone, house)
    grams = likely(animals[0])
    swapped = int(f"{str(grams)[0]}{str(grams)[2]}{str(grams)[1]}{str(grams)[3:]}") + 300
    scales.pad(swapped)
    scales.doubted()
    scales.touch("doubt-keep")
    expect(phone.page.locator("#weigh-in h1")).to_have_text(animals[1]["name"])
    scales.all_sent()
    assert kept(house, animals[0])[-2:] == [("weight", str(swapped), True), ("finish", None, False)]


def test_a_weight_that_fits_a_pen_mate_can_be_kept_for_it(arrive: Visiting, house: House) -> None:
    phone = arrive(house, worker=False)
    pen, animals = a_pen(phone.page, house.address)
    first, mate = animals[0], animals[1]
    # The two of this pen as far apart as a young and a grown one are.
    for one, mid in ((first, 640), (mate, 1288)):
        for name, off in (("likely", 12), ("plausible", 60)):
            one["expected"][name] = {"low": mid - off, "mid": mid, "high": mid + off}

    def apart(route: Route) -> None:
        told = route.fetch().json()
        changed = {first["id"]: first, mate["id"]: mate}
        told["animals"] = [changed.get(one["id"], one) for one in told["animals"]]
        route.fulfill(body=json.dumps(told), content_type="application/json")

    phone.page.route("**/weigh-in/pens.json", apart)
    scales = Scales(phone.page, house.address).open().enter(pen)
    scales.pad(1290)
    expect(scales.doubted()).to_contain_text(f"It fits {mate['name']} better")
    scales.touch("doubt-other")
    expect(scales.key(f"to-{mate['id']}")).to_have_attribute("data-done", "yes")
    expect(scales.key(f"to-{first['id']}")).to_have_attribute("data-done", "no")
    scales.all_sent()
    assert kept(house, mate)[-2:] == [("weight", "1290", False), ("finish", None, False)]


def test_undo_takes_the_last_weight_back_in_one_touch_and_brings_its_animal(
    phone: Visit, house: House
) -> None:
    scales, animals = begun(phone, house)
    before = len(kept(house, animals[0]))
    scales.weigh(likely(animals[0]))
    scales.touch("undo")
    expect(phone.page.locator("#weigh-in h1")).to_have_text(animals[0]["name"])
    assert scales.progress == f"0 of {len(animals)}"
    scales.weigh(likely(animals[0]) + 1)
    scales.all_sent()
    kinds = [kind for kind, _, _ in kept(house, animals[0])[before:]]
    assert kinds == ["weight", "finish", "take_back", "take_back", "weight", "finish"]
    bare_id = animals[0]["id"].replace("-", "")
    rows = house.rows(
        "SELECT grams FROM record_weighin WHERE animal_id = ? ORDER BY at DESC, id DESC LIMIT 1",
        [bare_id],
    )
    assert rows[0]["grams"] == likely(animals[0]) + 1


# Both halves of a double touch, at once: the second hits whatever has come up in the same place.
TWICE = """(key) => {
  const one = document.querySelector(`[data-key="${key}"]`);
  const { x, y, width, height } = one.getBoundingClientRect();
  one.click();
  document.elementFromPoint(x + width / 2, y + height / 2).click();
}"""


def test_a_stuttering_thumb_does_not_choose_the_last_digit(phone: Visit, house: House) -> None:
    scales, animals = begun(phone, house)
    ten = likely(animals[0]) // 10 * 10
    scales.key(f"ten-{ten}").wait_for()
    phone.page.wait_for_function("!document.querySelector('#weigh-in').dataset.resting")
    phone.page.evaluate(TWICE, f"ten-{ten}")
    scales.key("digit-1").wait_for()
    assert scales.name == animals[0]["name"]
    scales.touch("digit-1")
    expect(phone.page.locator("#weigh-in h1")).to_have_text(animals[1]["name"])
    scales.all_sent()


def test_left_out_with_a_reason_stays_not_weighed_and_due(phone: Visit, house: House) -> None:
    scales, animals = begun(phone, house)
    before = len(kept(house, animals[0]))
    scales.touch("skip")
    scales.touch("why-at the vet")
    expect(phone.page.locator("#weigh-in h1")).to_have_text(animals[1]["name"])
    scales.touch("result")
    row = phone.page.locator(f'.result[data-animal="{animals[0]["id"]}"]')
    expect(row).to_contain_text("Not weighed: at the vet")
    scales.all_sent()
    assert [kind for kind, _, _ in kept(house, animals[0])[before:]] == ["step_skipped", "finish"]


def test_any_animal_can_be_jumped_to_and_the_passed_over_come_at_the_end(
    phone: Visit, house: House
) -> None:
    scales, animals = begun(phone, house)
    scales.touch(f"to-{animals[-1]['id']}")
    expect(phone.page.locator("#weigh-in h1")).to_have_text(animals[-1]["name"])
    scales.weigh(likely(animals[-1]))
    assert scales.name == animals[0]["name"]
    phone.page.go_back()
    expect(phone.page.locator("#weigh-in h1")).to_have_text(animals[-1]["name"])
    scales.all_sent()


def test_pounds_and_ounces_stay_chosen_on_this_device(phone: Visit, house: House) -> None:
    scales, animals = begun(phone, house)
    before = len(kept(house, animals[0]))
    scales.touch("in-lb")
    phone.page.reload()
    scales.ready()
    expect(phone.page.locator(".tens")).to_have_attribute("data-unit", "lb")
    phone.page.locator(".tens [data-last]").tap()
    expect(phone.page.locator(".big-number")).to_contain_text("oz")
    scales.touch("other-tens")
    scales.touch("pad")
    expect(phone.page.get_by_label("Pounds")).to_be_visible()
    ounces = likely(animals[0]) / 28.349523125
    phone.page.get_by_label("Pounds").fill(str(int(ounces // 16)))
    phone.page.get_by_label("Ounces").fill(f"{ounces % 16:.1f}")
    scales.touch("keep")
    expect(phone.page.locator("#weigh-in h1")).to_have_text(animals[1]["name"])
    scales.all_sent()
    kind, grams, doubted = kept(house, animals[0])[before]
    assert (kind, doubted) == ("weight", False)
    assert abs(float(grams or 0) - likely(animals[0])) <= 1.5


@pytest.mark.parametrize(
    ("typed", "words"), [("0", "nothing was weighed"), ("91200", "is no guinea pig's weight")]
)
def test_what_can_be_no_weight_is_refused_in_words_and_stays_to_be_mended(
    typed: str, words: str, phone: Visit, house: House
) -> None:
    scales, animals = begun(phone, house)
    scales.pad(int(typed))
    expect(phone.page.locator("#weight-fault")).to_contain_text(words)
    expect(phone.page.get_by_label("Weight in grams")).to_have_value(typed)
    assert scales.name == animals[0]["name"]


def test_the_phone_doubts_every_case_as_the_engine_does(phone: Visit, house: House) -> None:
    page = phone.go("/weigh-in/")
    told = page.evaluate(
        "async (asked) => { const { doubtOf } = await import("
        f"'/static/web/weighing/doubt.js'); return {ASK_THE_PHONE}; }}",
        [asked(case) for case in cases()],
    )
    assert told == [as_said(engine_says(case)) for case in cases()]


def test_the_check_screen_shows_what_is_likely_and_doubts_with_the_same_words(
    phone: Visit, house: House
) -> None:
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    while table.screen != "weigh":
        table.main()
    expect(phone.page.locator(".last-weight")).to_contain_text("Likely: ")
    table.touch("pad")
    table.pad(str(round(animal["expected"]["plausible"]["high"]) + 300))
    table.touch("keep")
    expect(phone.page.locator(".doubt")).to_contain_text("set the scales to nought")


# A bar that hands over what lies on the pan when it is touched, as the real one does.
A_BAR = """
export function scaleBar({ settings, subject, onSettled }) {
  window.told = { settings, subjects: [subject] };
  const part = document.createElement("div");
  part.className = "scale-bar";
  part.innerHTML = '<button class="act" data-key="take">Take it</button>';
  part.firstChild.addEventListener("click", () => onSettled(
    { grams: window.onThePan, words: `scale ${window.onThePan} g` }));
  return { part, weighing(one) { window.told.subjects.push(one); }, stop() {} };
}
"""


def test_a_settled_weight_is_taken_with_one_touch_and_doubted_like_any_other(
    arrive: Visiting, house: House
) -> None:
    phone = arrive(house, worker=False)
    phone.page.route(
        "**/scale/bar.js*",
        lambda route: route.fulfill(body=A_BAR, content_type="text/javascript"),
    )
    scales, animals = begun(phone, house)
    phone.page.evaluate("(grams) => { window.onThePan = grams; }", likely(animals[0]))
    scales.touches = 0
    scales.touch("take")
    expect(phone.page.locator("#weigh-in h1")).to_have_text(animals[1]["name"])
    assert scales.touches == 1
    phone.page.evaluate(
        "(grams) => { window.onThePan = grams; }", likely(animals[1]) + MORE_THAN_A_TUB_G
    )
    scales.touch("take")
    scales.doubted()
    scales.touch("doubt-again")
    scales.touch("take")
    expect(phone.page.locator("#weigh-in h1")).to_have_text(animals[2]["name"])
    told = phone.page.evaluate("window.told")
    assert told["settings"]["lightest_g"] > 0
    subjects = list(dict.fromkeys(told["subjects"]))
    assert subjects == [one["id"] for one in animals[:3]]
    scales.all_sent()
    assert kept(house, animals[0])[-2:] == [
        ("weight", str(likely(animals[0])), False),
        ("finish", None, False),
    ]
    assert [doubted for _, _, doubted in kept(house, animals[1])[-3:]] == [True, False, False]
    bare_id = animals[0]["id"].replace("-", "")
    rows = house.rows(
        "SELECT as_typed FROM record_weighin WHERE animal_id = ? ORDER BY at DESC", [bare_id]
    )
    assert rows[0]["as_typed"] == f"scale {likely(animals[0])} g"


def test_the_weigh_in_is_one_touch_from_today(phone: Visit, house: House) -> None:
    page = phone.go("/")
    page.get_by_role("link", name="Weigh-in, pen by pen").tap()
    page.locator("#weigh-in h1").wait_for()
    phone.go("/")
    page.get_by_role("navigation", name="Main").get_by_role("link", name="Weigh-in").tap()
    page.locator('[data-key^="pen-"]').first.wait_for()
