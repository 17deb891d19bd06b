"""The advice after a check, what is done on it by one touch, and the list of today."""

import re

from playwright.sync_api import expect

from cavyround.advice.book import book
from tests.browser.conftest import Visiting
from tests.browser.hands import Table, plain
from tests.browser.house import House, bare
from tests.browser.looking import faults_on
from tests.browser.visiting import Visit


def advised(phone: Visit, house: House) -> str:
    """A check with a wet right eye and poor appetite, up to its advice; returns the animal."""
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    while table.screen != "summary":
        for step, finding in (("eating", "appetite-eating_less-N"), ("eyes", "eye-discharge-R")):
            if table.screen == "hold" and table.key(f"step-{step}").count():
                table.find(step, finding)
                table.main()
        table.weigh_or_main(animal)
    table.finish()
    return str(animal["id"])


def test_looking_again_is_promised_by_one_touch_and_only_once(phone: Visit, house: House) -> None:
    animal = advised(phone, house)
    of_animal = "SELECT * FROM record_followup WHERE animal_id = ?"
    before = len(house.rows(of_animal, [bare(animal)]))
    page = phone.page
    offered = page.locator("#again li").count()
    assert offered
    page.get_by_role("button", name=re.compile("^Promise (it|all)|^Promise this")).last.tap()
    expect(page.get_by_text(re.compile("promised by")).first).to_be_visible()
    after = len(house.rows(of_animal, [bare(animal)]))
    assert before < after <= before + offered
    page.reload()
    page.go_back()
    assert len(house.rows(of_animal, [bare(animal)])) == after
    assert faults_on(page) == []


def test_an_answer_to_a_question_is_kept_and_the_advice_made_anew(
    phone: Visit, house: House
) -> None:
    animal = advised(phone, house)
    page = phone.page
    asked = page.locator(".question")
    assert asked.count(), "a poor appetite raises questions"
    words = asked.first.locator("h3").inner_text()
    first = page.url
    asked.first.locator("button").first.tap()
    page.wait_for_url(lambda url: "/advice/" in url and url != first)
    expect(page.locator(".question h3", has_text=words)).to_have_count(0)
    kept = house.entries(animal)[-1]
    assert kept["kind"] == "answer"
    advice = house.rows("SELECT id FROM record_advicegiven WHERE animal_id = ?", [bare(animal)])
    assert len(advice) >= 2
    assert faults_on(page) == []


def test_the_advice_says_why_and_gives_the_vet_the_facts(phone: Visit, house: House) -> None:
    advised(phone, house)
    page = phone.page
    page.locator("details.why summary").first.tap()
    expect(page.locator("details.why .source").first).to_be_visible()
    text = page.locator("#vet-text").input_value()
    assert "eating" in text
    assert re.search(r"\d+ g", text)


def test_an_animal_just_checked_is_no_longer_due_for_the_check_on_todays_list(
    phone: Visit, house: House
) -> None:
    animal = plain(phone.page, house.address)
    page = phone.go("/")
    expect(page.locator(f"#due-{animal['id']}")).to_have_count(1)
    table = Table(page, house.address).begin(animal["id"])
    while table.screen != "summary":
        table.weigh_or_main(animal)
    table.finish()
    phone.go("/")
    row = page.locator(f"#due-{animal['id']}")
    if row.count():
        expect(row).not_to_contain_text("full check")


def test_todays_list_goes_from_healthy_to_contagious(
    arrive: Visiting, reading_house: House
) -> None:
    page = arrive(reading_house).go("/")
    groups = [one.get_attribute("id") or "" for one in page.locator(".group h2").all()]
    order = [one.group for one in book().living.round]
    places = [order.index(one.removeprefix("group-")) for one in groups]
    assert len(places) > 1
    assert places == sorted(places)


def test_a_question_to_the_vet_is_asked_by_a_carer_and_answered_by_the_vet(
    arrive: Visiting, house: House
) -> None:
    carer, vet = arrive(house), arrive(house, role="vet", device="desk")
    animal = advised(carer, house)
    carer.page.get_by_text("Ask your vet something").tap()
    carer.page.locator("#ask").fill("Is one eye alone a reason to come?")
    carer.page.get_by_role("button", name="Ask the vet").tap()
    expect(carer.page.get_by_text("waits for the vet")).to_be_visible()
    page = vet.go(f"/animals/{animal}")
    page.get_by_role("link", name=re.compile("^Answer ?: Is one eye")).click()
    page.locator("textarea").fill("Come tomorrow; today if it shuts the eye.")
    page.locator("main form button.act-main").click()
    expect(page.locator("main")).to_contain_text("Come tomorrow")
    carer.go(f"/animals/{animal}")
    expect(carer.page.locator("main")).to_contain_text("Come tomorrow")
