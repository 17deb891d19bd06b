"""The dose round: every dose of the day by touch, each drawn up, given and kept on its own."""

import json
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Visiting
from tests.browser.house import House
from tests.browser.looking import faults_by_day_and_night
from tests.browser.rounds import SLOWLY, Doses, kept, outcomes

Ward = dict[str, Any]


def begun(arrive: Visiting, house: House, device: Any = "phone", **said: Any) -> Doses:
    visit = arrive(house, device=device, **said)
    return Doses(visit.page, house.address, touch=device == "phone").open()


@pytest.mark.parametrize("device", ["phone", "desk"])
def test_the_whole_round_is_given_in_the_order_of_the_pens_two_touches_to_a_dose(
    device: Any, arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    doses = begun(arrive, dose_house, device)
    told = doses.told()
    order = [one["animal"] for one in told["doses"] if one["state"] == "ready" and one["draws"]]
    plain = [one for one in order if one != ward["antibiotic"]]
    doses.touch("begin")
    doses.touches = 0
    for animal in plain:
        assert doses.name == told["animals"][animal]["name"]
        expect(doses.page.locator(".amount")).to_contain_text(doses.of(animal)["mark_words"])
        doses.give()
    assert doses.touches == 2 * len(plain)
    doses.all_sent()
    for animal in plain:
        (entry,) = [one for one in kept(dose_house, animal) if one["worked"] != "{}"]
        shown = next(one for one in told["doses"] if one["animal"] == animal)
        assert entry["outcome"] == "given"
        assert float(entry["weight_g"]) == float(shown["weight_g"])
        assert float(entry["amount"]) == float(shown["drawn_amount"])


def test_one_treatment_of_many_is_one_list_and_each_its_own_entry(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    doses = begun(arrive, dose_house)
    group = ward["group"]
    shown = {animal: doses.of(animal) for animal in group}
    treatment = shown[group[0]]["treatment"]
    doses.touch(f"together-{treatment}")
    for animal in group:
        key = shown[animal]["key"]
        doses.touch(f"draw-{key}")
        doses.touch(f"give-{key}")
        expect(
            doses.page.locator(f'.many-row[data-animal="{animal}"][data-is=done]')
        ).to_be_visible()
    expect(doses.part("progress")).to_have_text(f"{len(group)} of {len(group)}")
    doses.all_sent()
    weights = set()
    for animal in group:
        (entry,) = kept(dose_house, animal)
        assert entry["outcome"] == "given"
        assert float(entry["amount"]) == float(shown[animal]["drawn_amount"])
        weights.add(float(entry["weight_g"]))
    assert len(weights) > 1, "each by its own weight"


@pytest.mark.parametrize("outcome", ["refused", "spat_out", "partly", "not_given"])
def test_what_did_not_go_in_is_said_with_its_reason_by_touch_alone(
    outcome: str, arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    doses = begun(arrive, dose_house)
    one = doses.of(ward["pain"])
    doses.enter(one)
    doses.touch("drawn-up")
    doses.touch(f"outcome-{outcome}")
    why = doses.page.locator('#dose-round [data-key^="why-"]').first
    words = why.inner_text()
    why.tap()
    doses.page.wait_for_function("history.state.screen.name !== 'why'")
    doses.all_sent()
    (entry,) = kept(dose_house, ward["pain"])
    assert (entry["outcome"], entry["why"]) == (outcome, words)
    assert (entry["amount"] is None) == (outcome == "not_given")


def test_vomiting_is_never_offered(arrive: Visiting, dose_house: House, ward: Ward) -> None:
    doses = begun(arrive, dose_house)
    doses.enter(doses.of(ward["pain"]))
    doses.touch("drawn-up")
    # waited for: the outcomes are drawn after the touch, not with it
    offered = doses.page.locator(".outcomes button")
    expect(offered).to_have_text(["Refused", "Spat out", "Partly taken", "Not given"])


def test_undo_takes_the_last_entry_back_with_one_touch(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    doses = begun(arrive, dose_house)
    one = doses.of(ward["pain"])
    doses.enter(one)
    doses.give()
    doses.all_sent()
    doses.touch("undo")
    expect(doses.key("drawn-up")).to_be_visible()
    doses.all_sent()
    assert outcomes(dose_house, ward["pain"]) == []


def test_nobody_sees_the_amount_before_the_second_person_worked_it_out(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    doses = begun(arrive, dose_house)
    one = doses.of(ward["antibiotic"])
    screen = doses.page.locator("#dose-round")

    def unseen() -> None:
        expect(screen.locator("svg.syringe")).to_have_count(0)
        for words in (one["mark_words"], one["amount_words"], one["by_hand"]):
            expect(screen).not_to_contain_text(words)

    expect(doses.key(f"dose-{one['key']}")).to_contain_text("two people")
    expect(doses.key(f"dose-{one['key']}")).not_to_contain_text(one["mark_words"])
    doses.enter(one)
    expect(doses.key("drawn-up")).to_have_count(0)
    unseen()
    doses.touch("second")
    expect(screen).to_contain_text("a name, not a signature")
    unseen()
    doses.page.locator('#dose-round [data-key^="person-"]').first.tap()
    expect(doses.key("compare")).to_be_visible()
    unseen()
    slip = typed(one["typed"]["exact"] * 10)
    doses.type(slip)
    expect(doses.part("wrong")).to_contain_text("ten times")
    unseen()
    doses.type(slip)
    expect(doses.part("held")).to_contain_text("Ring the vet")
    unseen()
    # Going back and coming again is no third guess.
    doses.to_list()
    doses.enter(one)
    doses.touch("second")
    expect(doses.part("held")).to_be_visible()
    doses.touch("begin-again")
    unseen()
    doses.hand_over()
    doses.type(typed(one["typed"]["exact"]))
    expect(doses.page.locator(".amount")).to_contain_text(one["mark_words"])
    doses.give()
    doses.all_sent()
    *_, entry = kept(dose_house, ward["antibiotic"])
    assert entry["second_id"] not in (None, entry["made_by_id"])
    tries = json.loads(entry["worked"])["second_tries"]
    assert [each.get("agrees", "again") for each in tries] == [False, False, "again", True]


def typed(amount: float) -> str:
    """As it is typed on the pad: three figures, no nought at the end."""
    return f"{amount:.3g}"


def test_weigh_first_then_the_amount_comes_by_the_new_weight(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    doses = begun(arrive, dose_house)
    one = doses.of(ward["unweighed"])
    assert one["state"] == "weigh"
    doses.enter(one)
    expect(doses.key("drawn-up")).to_have_count(0)
    doses.touch("weigh")
    grams = weighed_by_touch(doses)
    expect(doses.key("drawn-up")).to_be_visible(timeout=SLOWLY)
    assert float(doses.of(ward["unweighed"])["weight_g"]) == grams


def test_a_weight_taken_after_drawing_up_makes_it_be_drawn_up_anew(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    doses = begun(arrive, dose_house)
    one = doses.of(ward["pain"])
    doses.enter(one)
    doses.touch("drawn-up")
    expect(doses.key("given")).to_be_visible()
    # Another phone weighs it, much heavier than it was.
    weigh_elsewhere(doses, ward["pain"], round(float(one["weight_g"]) * 1.06))
    doses.to_list()
    doses.page.reload()
    doses.ready()
    doses.enter(one)
    expect(doses.part("changed")).to_contain_text(one["mark_words"])
    expect(doses.key("given")).to_have_count(0)
    expect(doses.key("drawn-up")).to_be_visible()


def test_what_must_not_be_given_cannot_be_given(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    doses = begun(arrive, dose_house)
    expect(doses.page.locator(".ask-vet")).to_contain_text("amoxicillin")
    doses.enter(doses.of(ward["stopped"]))
    expect(doses.part("stop")).to_be_visible()
    for key in ("drawn-up", "given", "second"):
        expect(doses.key(key)).to_have_count(0)


def test_an_answer_after_an_antibiotic_alarms_at_once_and_holds_the_next_dose(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    doses = begun(arrive, dose_house)
    one = doses.of(ward["antibiotic"])
    doses.ask(ward["antibiotic"])
    doses.page.get_by_role("button", name="watery droppings").tap()
    answered = doses.part("answered")
    expect(answered).to_contain_text("vet now")
    expect(answered).to_contain_text("Ring")
    expect(doses.page.locator(".news-line")).to_contain_text("vet now", timeout=SLOWLY)
    doses.to_list()
    doses.enter(one)
    expect(doses.part("ask")).to_be_visible()
    expect(doses.key("drawn-up")).to_have_count(0)
    rules = dose_house.rows(
        "SELECT result FROM record_advicegiven ORDER BY made_at DESC, id DESC LIMIT 1"
    )
    assert '"K46"' in rules[0]["result"]


def test_the_syringe_is_named_for_those_who_do_not_see_it(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    doses = begun(arrive, dose_house)
    one = doses.of(ward["pain"])
    doses.enter(one)
    expect(doses.page.locator("svg.syringe")).to_have_attribute("aria-label", one["measure_words"])


def test_every_screen_holds_up_to_the_rules_of_access_by_day_and_by_night(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    doses = begun(arrive, dose_house)
    found = {}

    def look(name: str) -> None:
        doses.page.wait_for_function("!document.querySelector('#dose-round').dataset.resting")
        if faults := faults_by_day_and_night(doses.page):
            found[name] = faults

    look("list")
    doses.enter(doses.of(ward["pain"]))
    look("dose")
    doses.touch("drawn-up")
    look("drawn up")
    doses.touch("outcome-partly")
    look("why")
    doses.to_list()
    doses.enter(doses.of(ward["antibiotic"]))
    doses.touch("second")
    look("who")
    doses.page.locator('#dose-round [data-key^="person-"]').first.tap()
    look("second")
    doses.to_list()
    doses.enter(doses.of(ward["stopped"]))
    look("stop")
    doses.to_list()
    doses.touch(f"together-{doses.of(ward['group'][0])['treatment']}")
    look("together")
    doses.to_list()
    doses.ask(ward["antibiotic"])
    look("ask")
    assert found == {}


def test_main_targets_are_large_enough_for_a_gloved_thumb(
    arrive: Visiting, dose_house: House, ward: Ward
) -> None:
    doses = begun(arrive, dose_house)
    doses.enter(doses.of(ward["pain"]))
    doses.touch("drawn-up")
    expect(doses.page.locator(".outcomes button").first).to_be_visible()
    for target in [doses.key("given"), *doses.page.locator(".outcomes button").all()]:
        box = target.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= 60


def weighed_by_touch(doses: Doses) -> float:
    """The most likely tens, and a last digit."""
    doses.page.locator(".tens [data-last]").tap()
    shown = doses.page.locator(".big-number").inner_text()
    tens = int("".join(sign for sign in shown if sign.isdigit()))
    doses.touch("digit-5")
    if doses.key("doubt-keep").count():
        doses.touch("doubt-keep")
    return float(tens * 10 + 5)


WEIGH = """
async ([animal, grams]) => {
  const { newId } = await import('/static/web/check/ids.js');
  const check = { id: newId(), animal, kind: 'weigh_in', started_at: new Date().toISOString(),
    planned: ['weight'] };
  const touches = [{ kind: 'weight', grams: String(grams), as_typed: `${grams} g` },
    { kind: 'finish' }].map((touch) => ({ id: newId(), check, made_at: new Date().toISOString(),
    touch }));
  const token = /csrftoken=([^;]+)/.exec(document.cookie)[1];
  const answer = await fetch('/check/touches', { method: 'POST', body: JSON.stringify({ touches }),
    headers: { 'Content-Type': 'application/json', 'X-CSRFToken': token } });
  return (await answer.json()).refused;
}
"""


def weigh_elsewhere(doses: Doses, animal: str, grams: int) -> None:
    assert doses.page.evaluate(WEIGH, [animal, grams]) == []
