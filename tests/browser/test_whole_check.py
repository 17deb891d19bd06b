"""A check at the table from the first touch to the advice."""

import re
from typing import Any

from playwright.sync_api import expect

from tests.browser.conftest import Visiting
from tests.browser.hands import Table, animals, plain, planned
from tests.browser.house import House, bare
from tests.browser.visiting import NO_CONNECTION, Visit


def test_a_carer_checks_a_whole_animal_from_todays_list_by_thumb_alone(
    phone: Visit, house: House
) -> None:
    animal = plain(phone.page, house.address)
    page = phone.go("/")
    page.locator(f'a[href*="/check?animal={animal["id"]}"]').tap()
    table = Table(page, house.address)
    table.ready()
    holds = len(animal["plan"]["holds"])
    grams = table_weight(animal)
    while table.screen != "summary":
        if table.screen == "weigh":
            table.weigh(grams)
        else:
            table.main()
    expect(page.get_by_text("not checked", exact=True)).to_have_count(0)
    table.finish()
    assert len(table.touched) == holds - 1 + 2 + 1 <= 8
    expect(page.get_by_role("heading", level=1)).to_have_text(animal["name"])
    sent = house.entries(animal["id"])[-holds - 1 :]
    kinds = [one["kind"] for one in sent]
    assert kinds.count("hold_normal") == holds - 1
    assert kinds[-1] == "finish"
    assert [one["data"]["grams"] for one in sent if one["kind"] == "weight"] == [str(grams)]
    marked = {step for one in sent for step in one["data"].get("steps", ())}
    assert marked | {"weight"} == planned(animal)
    check = house.rows("SELECT * FROM record_check WHERE id = ?", [sent[0]["check_in_id"]])[0]
    assert check["finished_at"]
    assert not check["put_down_at"]


def table_weight(animal: dict[str, Any]) -> int:
    last: float = animal["last_weight"]["grams"]
    return round(last) + 3


def test_two_findings_are_kept_with_place_and_side_and_stand_on_the_advice(
    phone: Visit, house: House
) -> None:
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    while table.screen != "summary":
        for step, finding in (("eyes", "eye-discharge-R"), ("skin", "skin-flaky-N")):
            if table.screen == "hold" and table.key(f"step-{step}").count():
                table.find(step, finding)
                table.main()
        if table.screen == "weigh":
            table.weigh(table_weight(animal))
        else:
            table.main()
    found = phone.page.get_by_role("region", name="What was found")
    expect(found).to_contain_text("right eye: ")
    table.finish()
    assert len(table.touched) <= 16
    kept = [one["data"] for one in house.entries(animal["id"]) if one["kind"] == "observation"]
    told = {(one["region"], one["finding"], one["side"]) for one in kept[-2:]}
    assert told == {("eye", "discharge", "R"), ("skin", "flaky", "N")}
    advice = phone.page.locator("article.advice")
    expect(advice).to_contain_text(re.compile("eye", re.IGNORECASE))
    expect(phone.page.locator(".level .urgency")).to_have_count(1)


def test_undo_takes_back_the_last_touch_and_nothing_else(phone: Visit, house: House) -> None:
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    first = table.hold
    table.main()
    second = table.hold
    table.main()
    table.touch("undo")
    expect(
        phone.page.locator('[data-key^="step-"][data-state="not-checked"]').first
    ).to_be_visible()
    assert table.hold == second
    expect(phone.page.locator('[data-key^="step-"][data-state="normal"]')).to_have_count(0)
    table.touch("undo")
    expect(table.key(f"to-{first}")).to_have_attribute("data-done", "no")
    table.all_sent()
    sent = [one for one in house.entries(animal["id"]) if one["check_in_id"] == bare(table.check)]
    assert [one["kind"] for one in sent] == ["hold_normal", "hold_normal", "take_back", "take_back"]
    states = house.rows("SELECT * FROM record_stepstate WHERE check_in_id = ?", [bare(table.check)])
    assert states == []


def test_a_second_tap_on_a_hold_that_has_just_come_up_marks_nothing(
    phone: Visit, house: House
) -> None:
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    where = table.key("main").bounding_box()
    assert where is not None
    x, y = where["x"] + where["width"] / 2, where["y"] + where["height"] / 2
    phone.page.wait_for_timeout(400)
    phone.page.touchscreen.tap(x, y)
    phone.page.touchscreen.tap(x, y)
    table.all_sent()
    phone.page.wait_for_timeout(300)
    table.all_sent()
    sent = [one for one in house.entries(animal["id"]) if one["check_in_id"] == bare(table.check)]
    assert [one["kind"] for one in sent] == ["hold_normal"]


def test_what_was_not_touched_is_not_checked_when_the_animal_is_put_down(
    phone: Visit, house: House
) -> None:
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    first = table.hold
    table.main()
    table.touch("put-down")
    table.hit(phone.page.locator('[data-key^="why-"]').first, "why")
    phone.page.wait_for_url("**/advice/**")
    expect(phone.page.get_by_role("heading", name="Not checked")).to_be_visible()
    check = house.rows(
        "SELECT * FROM record_check WHERE animal_id = ? ORDER BY id DESC", [bare(animal["id"])]
    )[0]
    assert check["put_down_at"]
    assert not check["finished_at"]
    states = house.rows("SELECT step FROM record_stepstate WHERE check_in_id = ?", [check["id"]])
    shown = {
        step["code"]
        for hold in animal["plan"]["holds"]
        if hold["code"] == first
        for step in hold["steps"]
    }
    assert {row["step"] for row in states} == shown < planned(animal)


def test_an_emergency_sign_speaks_at_once_with_no_connection(phone: Visit, house: House) -> None:
    phone.expect(NO_CONNECTION)
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    phone.context.set_offline(True)
    table.touch("step-breathing")
    gasping = table.key("find-breathing-open_mouth-N")
    table.hit(gasping, "gasping")
    alarm = phone.page.get_by_role("alert")
    expect(alarm).to_contain_text("ring the vet now")
    expect(alarm.locator("h2")).to_be_focused()
    expect(phone.page.get_by_role("heading", name="While you ring")).to_be_visible()
    table.touch("alarm-on")
    expect(phone.page.locator(".alarm-strip")).to_be_visible()
    assert table.unsent > 0
    phone.context.set_offline(False)
    table.all_sent()
    kept = [one["data"] for one in house.entries(animal["id"]) if one["kind"] == "observation"]
    assert kept[-1]["finding"] == "open_mouth"


def test_a_gasping_animal_is_put_down_from_the_alarm_and_never_tipped(
    phone: Visit, house: House
) -> None:
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    table.touch("step-breathing")
    table.touch("find-breathing-open_mouth-N")
    table.touch("alarm-on")
    table.touch("to-tipped")
    expect(phone.page.get_by_text("Not this hold now.")).to_be_visible()
    expect(table.key("main")).to_contain_text("Go on without this hold")
    table.touch("alarm-again")
    table.touch("alarm-down")
    phone.page.wait_for_url("**/advice/**")
    expect(phone.page.locator('.level .urgency[data-level="4"]')).to_be_visible()


def test_what_is_known_from_before_is_asked_as_same_bigger_or_gone(
    phone: Visit, house: House
) -> None:
    known = [
        (animal, hold, step)
        for animal in animals(phone.page, house.address)
        for hold in animal["plan"]["holds"]
        for step in hold["steps"]
        if any(carried["mark_id"] for carried in step.get("carried", ()))
        and not any(other["not_now"] for other in animal["plan"]["holds"])
    ]
    assert known, "the demo herd has animals with standing marks"
    animal, hold, step = known[0]
    table = Table(phone.page, house.address).begin(animal["id"])
    table.to_hold(hold["code"])
    row = table.key(f"step-{step['code']}")
    expect(row).to_have_attribute("data-state", "not-checked")
    table.same()
    expect(row).to_have_attribute("data-state", "found")
    table.all_sent()
    marks = [
        one["data"]["mark"]
        for one in house.entries(animal["id"])
        if one["check_in_id"] == bare(table.check) and one["data"].get("mark")
    ]
    assert step["carried"][0]["mark_id"] in marks


def test_a_whole_check_goes_by_keyboard_alone(desk: Visit, house: House) -> None:
    animal = plain(desk.page, house.address)
    table = Table(desk.page, house.address, touch=False).begin(animal["id"])
    page = desk.page

    def press(key: str) -> None:
        table.key(key).wait_for()
        page.wait_for_timeout(350)
        for _ in range(80):
            focused = page.evaluate("document.activeElement?.dataset?.key ?? ''")
            if focused == key:
                page.keyboard.press("Enter")
                return
            page.keyboard.press("Tab")
        msg = f"the keyboard does not reach {key}"
        raise AssertionError(msg)

    grams = table_weight(animal)
    while table.screen != "summary":
        before = table.title
        if table.screen == "weigh":
            press(f"ten-{grams // 10 * 10}")
            press(f"digit-{grams % 10}")
        else:
            press("main")
        expect(page.locator("#check h1")).not_to_have_text(before)
    press("main")
    page.wait_for_url("**/advice/**")
    assert house.entries(animal["id"])[-1]["kind"] == "finish"


def test_the_thumbs_buttons_change_sides_for_a_left_hand_and_stay_so(
    phone: Visit, house: House
) -> None:
    table = Table(phone.page, house.address)
    phone.go("/check")
    table.ready()
    table.touch("hand-left")
    expect(table.key("hand-left")).to_have_attribute("aria-pressed", "true")
    animal = plain(phone.page, house.address)
    table.begin(animal["id"])
    down, main = table.key("put-down").bounding_box(), table.key("main").bounding_box()
    assert down is not None
    assert main is not None
    assert down["x"] < main["x"]


def test_a_vet_and_a_viewer_cannot_record(arrive: Visiting, reading_house: House) -> None:
    for role in ("vet", "viewer"):
        one = arrive(reading_house, role=role)
        one.expect("status of 403")
        page = one.go("/check")
        expect(page.get_by_text("This is for carers and leads")).to_be_visible()
        one.go("/")
        assert page.locator('a[href*="/check?"]').count() == 0
        before = reading_house.rows("SELECT count(*) AS n FROM record_checkentry")
        token = {row["name"]: row["value"] for row in one.context.cookies()}.get("csrftoken", "")
        answer = page.request.post(
            f"{reading_house.address}/check/touches",
            data={"touches": []},
            headers={"X-CSRFToken": token, "Accept": "application/json"},
        )
        assert answer.status == 403
        assert reading_house.rows("SELECT count(*) AS n FROM record_checkentry") == before
