"""What a carer says while both hands are on the animal: read, looked at once, then recorded."""

from typing import Any

import pytest
from playwright.sync_api import Page, Route, expect

from tests.browser.conftest import Visiting
from tests.browser.hands import Table, animals, plain
from tests.browser.house import House, bare
from tests.browser.looking import faults_by_day_and_night
from tests.browser.visiting import NO_CONNECTION, Device, Visit

WORDS = (
    "Left eye is weepy. Right eye might be crusty. Ears clean. "
    "Gave her meloxicam 0.3 this morning. The rest is fine."
)
MAGGOTS = "There are maggots on her bottom"
# A voice of the device, as a phone has one; what it is told to say is written down.
VOICE = """
globalThis.told = [];
Object.defineProperty(globalThis, "speechSynthesis", { value: {
  getVoices: () => [
    { lang: "en-GB", localService: false, name: "elsewhere" },
    { lang: "en-GB", localService: true, name: "of this device" },
  ],
  cancel() {}, addEventListener() {},
  speak: (saying) => globalThis.told.push([saying.text, saying.voice.name]),
} });
globalThis.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
"""


def at_table(visit: Visit, house: House) -> tuple[Table, dict[str, Any]]:
    animal = plain(visit.page, house.address)
    return Table(visit.page, house.address).begin(animal["id"]), animal


def say(table: Table, words: str) -> None:
    table.touch("say")
    table.key("said").fill(words)


def read_back(table: Table) -> None:
    table.touch("read-back")
    expect(table.page.locator("#check h1")).to_have_text("Is this what you said?")
    expect(table.page.locator(".told, .not-named").first).to_be_visible()


def keep(table: Table) -> None:
    expect(table.key("accept")).to_be_enabled()
    table.touch("accept")
    expect(table.page.locator("#check h1")).not_to_have_text("Is this what you said?")
    table.all_sent()


def of_check(house: House, animal: dict[str, Any], check: str) -> list[dict[str, Any]]:
    return [one for one in house.entries(animal["id"]) if one["check_in_id"] == bare(check)]


def line(page: Page, words: str) -> Any:
    return page.locator(".tolds > li").filter(has_text=words)


def opened(page: Page, words: str) -> Any:
    """The line with what mends it: one touch opens it."""
    line(page, words).locator(".told-short").tap()
    expect(line(page, words).get_by_role("button", name="Drop")).to_be_visible()
    return line(page, words)


def test_what_is_said_is_looked_at_once_and_recorded_only_when_it_is_accepted(
    phone: Visit, house: House
) -> None:
    table, animal = at_table(phone, house)
    page, check = phone.page, table.check
    say(table, WORDS)
    expect(page.locator("[data-part=heard]")).to_contain_text("left eye: watery")
    read_back(table)
    assert not of_check(house, animal, check)
    expect(opened(page, "left eye: watery").locator(".quote")).to_contain_text("weepy")
    expect(line(page, "right eye")).to_have_attribute("data-sure", "no")
    expect(page.locator(".bodies .spot")).to_have_count(2)
    # A word for all the rest names no step.
    expect(page.locator(".not-named")).to_contain_text("Grease gland")
    expect(page.locator('.word[data-used="no"]').first).to_be_visible()
    line(page, "meloxicam").get_by_role("button", name="ml", exact=False).first.tap()
    keep(table)
    kept = of_check(house, animal, check)
    told = {
        (one["data"]["region"], one["data"]["finding"], one["data"]["side"])
        for one in kept
        if one["kind"] == "observation"
    }
    assert {("eye", "watery", "L"), ("eye", "crust", "R")} <= told
    assert {"kind": "step_normal", "step": "ears"} in [one["data"] for one in kept]
    (care,) = [one["data"] for one in kept if one["kind"] == "care"]
    assert care["detail"] == "0.3 ml"
    (words,) = [one["data"] for one in kept if one["kind"] == "said"]
    assert words["text"] == WORDS
    assert not words.get("waits")
    states = house.rows("SELECT step FROM record_stepstate WHERE check_in_id = ?", [bare(check)])
    assert {row["step"] for row in states} == {"eyes", "ears"}


def test_each_line_is_mended_by_one_touch(phone: Visit, house: House) -> None:
    table, animal = at_table(phone, house)
    page, check = phone.page, table.check
    say(table, "Left eye is weepy. Right eye might be crusty. Ears clean.")
    read_back(table)
    opened(page, "right eye").get_by_role("button", name="Not there").tap()
    opened(page, "left eye").get_by_role("button", name=": right").tap()
    opened(page, "as it should be").get_by_role("button", name="Drop").tap()
    expect(line(page, "not kept")).to_have_count(1)
    table.touch("not-named")
    page.locator('[data-key="named-coat"]').tap()
    keep(table)
    kept = [one["data"] for one in of_check(house, animal, check)]
    seen = {
        (one["finding"], one["side"], one.get("status", "present"))
        for one in kept
        if one["kind"] == "observation"
    }
    assert seen == {("watery", "R", "present"), ("crust", "R", "absent")}
    assert [one["step"] for one in kept if one["kind"] == "step_normal"] == ["coat"]


def test_fifteen_findings_are_read_back_on_little_more_than_one_screen(
    phone: Visit, house: House
) -> None:
    table, _ = at_table(phone, house)
    page = phone.page
    say(
        table,
        "Seven eighty. Left eye is weepy. Right eye might be crusty. Ears clean. Nose dry. "
        "Front teeth straight. Chin dry. Scab on the left shoulder. Bald patch on the rump. "
        "Belly soft. No lumps. Left hind foot is red. Nails overgrown. Bottom clean. "
        "Grease gland waxy. Bright. Eating well.",
    )
    read_back(table)
    expect(page.locator(".tolds > li")).not_to_have_count(0)
    assert page.locator(".tolds > li").count() >= 15
    assert page.locator(".mends").count() == 0
    bottom = page.locator(".tolds > li").last.bounding_box()
    assert bottom is not None
    assert bottom["y"] + bottom["height"] + page.evaluate("scrollY") < 1300
    assert not faults_by_day_and_night(page)


def test_a_red_flag_is_raised_while_the_words_still_come_in(phone: Visit, house: House) -> None:
    table, animal = at_table(phone, house)
    page = phone.page
    say(table, MAGGOTS)
    alarm = page.get_by_role("alert").filter(has_text="ring the vet now")
    expect(alarm).to_contain_text(animal["name"])
    expect(alarm).to_contain_text("maggots")
    assert not of_check(house, animal, table.check)
    expect(table.key("alarm-on")).to_be_enabled()
    table.touch("alarm-on")
    expect(table.key("said")).to_have_value(MAGGOTS)
    expect(table.key("alarm-again")).to_be_visible()


def test_an_animal_set_down_for_a_spoken_sign_keeps_the_sign_and_the_words(
    phone: Visit, house: House
) -> None:
    table, animal = at_table(phone, house)
    check = table.check
    say(table, MAGGOTS)
    expect(table.key("alarm-down")).to_be_enabled()
    table.touch("alarm-down")
    phone.page.wait_for_url("**/advice/**")
    found, words, down = (one["data"] for one in of_check(house, animal, check))
    assert (found["region"], found["finding"]) == ("anus", "maggots")
    assert (words["kind"], words["text"], words["waits"]) == ("said", MAGGOTS, True)
    assert down["kind"] == "put_down"
    expect(phone.page.locator(".level .urgency")).to_have_attribute("data-level", "4")
    expect(phone.page.locator(".spoken")).to_contain_text("nothing in them is recorded")


def test_words_said_without_a_connection_wait_and_are_read_when_it_is_back(
    phone: Visit, house: House
) -> None:
    phone.expect(NO_CONNECTION)
    table, animal = at_table(phone, house)
    page, check = phone.page, table.check
    phone.context.set_offline(True)
    say(table, "Left eye is weepy. Ears clean.")
    expect(page.locator("[data-part=heard]")).to_contain_text(
        "Only plain emergency words are heard"
    )
    table.touch("read-back")
    expect(page.locator("#check h1")).not_to_have_text("Say it")
    expect(table.key("unsent")).to_contain_text("1 not sent")
    phone.context.set_offline(False)
    table.all_sent()
    (waiting,) = of_check(house, animal, check)
    assert waiting["data"]["waits"]
    page.get_by_role("button", name="look at the words that waited").tap()
    expect(line(page, "left eye: watery")).to_be_visible()
    keep(table)
    kept = [one["data"] for one in of_check(house, animal, check)]
    assert [one["kind"] for one in kept] == ["said", "correction", "observation", "step_normal"]
    expect(page.get_by_role("button", name="look at the words that waited")).to_have_count(0)


def test_plain_emergency_words_are_heard_without_a_connection(phone: Visit, house: House) -> None:
    phone.expect(NO_CONNECTION)
    table, animal = at_table(phone, house)
    page = phone.page
    phone.context.set_offline(True)
    say(table, "Not gasping, no maggots, eyes clear.")
    expect(page.locator("[data-part=heard]")).to_contain_text("Only plain emergency words")
    expect(page.get_by_role("alert").filter(has_text="ring the vet now")).to_have_count(0)
    table.key("said").fill("She's gasping for air")
    alarm = page.get_by_role("alert").filter(has_text="ring the vet now")
    expect(alarm).to_contain_text(animal["name"])
    expect(alarm).to_contain_text("gasping for air")
    assert not of_check(house, animal, table.check)


def test_a_check_is_not_finished_over_words_nobody_looked_at(phone: Visit, house: House) -> None:
    table, _ = at_table(phone, house)
    say(table, "Left eye is weepy.")
    expect(phone.page.locator("[data-part=heard]")).to_contain_text("watery")
    phone.page.go_back()
    table.to_summary()
    expect(table.key("main")).to_have_count(0)
    table.touch("look-words")
    expect(line(phone.page, "left eye: watery")).to_be_visible()
    keep(table)
    expect(phone.page.locator("#check h1")).to_contain_text("what was done")
    expect(table.key("main")).to_contain_text("Finish")


def test_words_that_are_typed_outlive_a_reload(phone: Visit, house: House) -> None:
    table, _ = at_table(phone, house)
    say(table, "Left eye is weepy.")
    expect(phone.page.locator("[data-part=heard]")).to_contain_text("watery")
    phone.page.reload()
    table.ready()
    if table.screen != "say":
        table.touch("say")
    expect(table.key("said")).to_have_value("Left eye is weepy.")
    expect(phone.page.locator("[data-part=heard]")).to_contain_text("watery")


def test_a_slow_answer_never_takes_the_place_of_a_later_one(phone: Visit, house: House) -> None:
    table, _ = at_table(phone, house)
    held: list[Route] = []

    def first_is_held(route: Route) -> None:
        if "weepy" in (route.request.post_data or "") and not held:
            held.append(route)
        else:
            route.continue_()

    phone.page.route("**/check/said", first_is_held)
    with phone.page.expect_request("**/check/said"):
        say(table, "Left eye is weepy.")
    table.key("said").fill("Right eye is crusty.")
    heard = phone.page.locator("[data-part=heard]")
    expect(heard).to_contain_text("right eye: crust")
    held[0].continue_()
    expect(heard).not_to_contain_text("watery")


def test_an_animal_named_in_the_same_breath_gets_a_check_of_its_own(
    phone: Visit, house: House
) -> None:
    everybody = animals(phone.page, house.address)
    animal = plain(phone.page, house.address)
    mate = next(
        one
        for one in everybody
        if one["pen_id"] == animal["pen_id"] and one["id"] != animal["id"] and one["last_weight"]
    )
    grams = round(mate["last_weight"]["grams"])
    table = Table(phone.page, house.address).begin(animal["id"])
    say(table, f"Left eye is weepy. {mate['name']}, {grams} grams.")
    read_back(table)
    card = phone.page.get_by_role("region", name=mate["name"], exact=True)
    expect(card).to_contain_text("a check of its own")
    before = len(house.entries(mate["id"]))
    keep(table)
    kept = [one["data"] for one in house.entries(mate["id"])[before:]]
    assert [one["kind"] for one in kept] == ["said", "weight", "finish"]
    assert float(kept[1]["grams"]) == grams
    seen = {
        one["data"]["finding"]
        for one in of_check(house, animal, table.check)
        if one["kind"] == "observation"
    }
    assert seen == {"watery"}


def test_the_space_bar_leads_through_the_steps_which_are_read_aloud(
    phone: Visit, house: House
) -> None:
    phone.context.add_init_script(VOICE)
    table, animal = at_table(phone, house)
    page, check = phone.page, table.check
    step = page.locator(".led-step")
    table.touch("talk")
    expect(step).to_contain_text("Manner and posture")
    page.wait_for_function("told.length === 1")
    page.keyboard.press("Space")
    expect(step).to_contain_text("Breathing")
    page.keyboard.press("PageDown")
    expect(step).to_contain_text("Eating")
    page.keyboard.press("ArrowLeft")
    expect(step).to_contain_text("Breathing")
    # So far nobody has said that anything was looked at.
    assert not of_check(house, animal, check)
    page.keyboard.press("ArrowDown")
    expect(step).to_contain_text("Eating")
    table.all_sent()
    kept = [one["data"] for one in of_check(house, animal, check)]
    assert kept == [{"kind": "step_normal", "step": "breathing"}]
    told = page.evaluate("told")
    assert {voice for _, voice in told} == {"of this device"}
    assert "Manner and posture" in told[0][0]
    assert "Breathing" in told[1][0]


def test_words_said_while_being_led_are_read_back_at_the_end(phone: Visit, house: House) -> None:
    phone.context.add_init_script(VOICE)
    table, animal = at_table(phone, house)
    page, check = phone.page, table.check
    table.touch("talk")
    field = table.key("led-words")
    field.fill("next")
    expect(page.locator(".led-step")).to_contain_text("2 of")
    expect(field).to_have_value("")
    field.fill("left eye is weepy. next")
    expect(page.locator(".led-step")).to_contain_text("3 of")
    field.fill("normal")
    expect(page.locator(".led-step")).to_contain_text("4 of")
    table.touch("led-end")
    expect(line(page, "left eye: watery")).to_be_visible()
    keep(table)
    kept = [one["data"] for one in of_check(house, animal, check)]
    assert [one["kind"] for one in kept] == ["step_normal", "said", "observation"]


def test_a_browser_with_voices_only_elsewhere_is_not_made_to_speak(
    phone: Visit, house: House
) -> None:
    phone.context.add_init_script(VOICE.replace("localService: true", "localService: false"))
    table, _ = at_table(phone, house)
    table.touch("talk")
    expect(phone.page.locator("[data-part=led-told]")).to_contain_text("no voice of its own")
    assert phone.page.evaluate("told") == []


@pytest.mark.parametrize("device", ["phone", "desk"])
def test_axe_core_finds_nothing_on_what_is_said_read_back_and_read_aloud(
    device: Device, arrive: Visiting, reading_house: House
) -> None:
    visit = arrive(reading_house, device=device)
    animal = plain(visit.page, reading_house.address)
    table = Table(visit.page, reading_house.address, touch=device == "phone").begin(animal["id"])
    faults = {}
    table.touch("talk")
    faults["talk"] = faults_by_day_and_night(visit.page)
    table.begin(animal["id"])
    say(table, WORDS)
    expect(visit.page.locator("[data-part=heard]")).to_contain_text("watery")
    faults["say"] = faults_by_day_and_night(visit.page)
    read_back(table)
    faults["read back"] = faults_by_day_and_night(visit.page)
    assert not any(faults.values()), faults
