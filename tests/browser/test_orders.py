"""A vet's order on a phone: typed as it was said, put right, read on a drawn syringe."""

import re
from uuid import UUID

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Visiting
from tests.browser.house import House
from tests.browser.looking import faults_by_day_and_night
from tests.browser.visiting import Device, refused_with

MAIN_TOUCH_PX = 60
SLOW_MS = 60_000


def animal_of(house: House, name: str) -> str:
    return str(UUID(house.rows("SELECT id FROM record_animal WHERE name = ?", [name])[0]["id"]))


def fill(page: Page, **said: str) -> None:
    for name, value in said.items():
        page.locator(f"[name={name}]").fill(value)


@pytest.mark.parametrize("device", ["phone", "desk"])
def test_an_order_is_typed_put_right_worked_out_and_kept(
    device: Device, arrive: Visiting, house: House
) -> None:
    carer = arrive(house, role="carer", device=device)
    carer.expect(refused_with(422))
    cob = animal_of(house, "Cob")
    page = carer.go(f"/medicines/orders/new?animal={cob}")
    expect(page.get_by_label("Cob", exact=True)).to_be_checked()
    fill(
        page,
        drug="ivermectin",
        dose="0,4 mg/kg",
        strength="10 mg/mL",
        vet="Dr Imre Pell",
        why="fur mites on combing",
        often="every 10 days",
        doses="4",
    )
    page.locator("[name=route]").select_option("under_skin")
    look = page.get_by_role("button", name="Work it out first")
    assert look.bounding_box()["height"] >= MAIN_TOUCH_PX  # type: ignore[index]
    look.click()
    fault = page.locator("#id_dose_error")
    expect(fault).to_contain_text("a comma is a point to some", timeout=SLOW_MS, ignore_case=True)
    expect(page.locator("[name=dose]")).to_have_value("0,4 mg/kg")  # nothing typed is lost
    expect(page.locator("[name=why]")).to_have_value("fur mites on combing")
    page.locator("[name=dose]").fill("0.4 mg/kg")
    page.locator("summary", has_text="Parasites, eggs").click()
    page.locator("[name=diluent]").fill("propylene glycol")
    page.get_by_role("button", name="Work it out first").click()
    said = page.locator(".looked")
    expect(said.get_by_role("img", name=re.compile("drawn up to 0\\.[0-9]+ mL"))).to_be_visible(
        timeout=SLOW_MS
    )
    expect(said).to_contain_text("not kept yet")
    expect(said).to_contain_text("Inside the published range")
    expect(said).to_contain_text("\N{MULTIPLICATION SIGN} 0.4 mg/kg")
    assert faults_by_day_and_night(page) == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.get_by_role("button", name="Keep the order").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Ivermectin", timeout=SLOW_MS)
    page.get_by_role("link", name="Cob", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Ivermectin for Cob", timeout=SLOW_MS)
    expect(page.locator(".turns > li").first).to_contain_text("Dose 1 of 4")
    kept = house.rows("SELECT dose, vet FROM record_order WHERE why = 'fur mites on combing'")
    assert [dict(row) for row in kept] == [{"dose": "0.4 mg/kg", "vet": "Dr Imre Pell"}]
