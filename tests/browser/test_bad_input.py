"""Bad input is refused in words beside the field, and nothing typed is lost."""

from datetime import timedelta
from pathlib import Path

import pytest
from django.utils import timezone
from PIL import Image
from playwright.sync_api import Page, expect

from tests.browser.hands import Table, plain
from tests.browser.house import House, bare
from tests.browser.looking import faults_on
from tests.browser.visiting import NO_CONNECTION, Visit, refused_with

FORTY_MB = 40 * 1024 * 1024


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("0", "nothing was weighed"),
        ("-5", "nothing was weighed"),
        ("91200", "is no guinea pig's weight"),
        ("nine", "is no number"),
        ("", "Nothing was typed yet"),
    ],
)
def test_a_weight_that_cannot_be_is_refused_and_stays_to_be_mended(
    typed: str, words: str, phone: Visit, house: House
) -> None:
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    while table.screen != "weigh":
        table.main()
    if table.key("pad").count():
        table.touch("pad")
    field = phone.page.get_by_label("Weight in grams")
    field.fill(typed)
    table.touch("keep")
    fault = phone.page.locator("#weight-fault")
    expect(fault).to_contain_text(words)
    expect(field).to_have_value(typed)
    expect(field).to_have_attribute("aria-invalid", "true")
    expect(field).to_have_attribute("aria-describedby", "weight-fault")
    assert faults_on(phone.page) == []
    field.fill(str(round(animal["last_weight"]["grams"])))
    table.touch("keep")
    expect(phone.page.locator("#check h1")).not_to_have_text("Weight")
    table.all_sent()
    kept = [one["data"] for one in house.entries(animal["id"]) if one["kind"] == "weight"]
    assert kept[-1]["grams"] == str(round(animal["last_weight"]["grams"]))


def test_a_weight_far_from_the_last_is_asked_once_and_kept_as_doubtful(
    phone: Visit, house: House
) -> None:
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    while table.screen != "weigh":
        table.main()
    far = round(animal["last_weight"]["grams"] * 1.3)
    table.touch("pad")
    table.pad(str(far))
    table.touch("keep")
    expect(phone.page.get_by_role("alert")).to_contain_text("marked as doubtful")
    table.touch("doubt-keep")
    expect(phone.page.locator("#check h1")).not_to_have_text("Weight")
    table.all_sent()
    kept = [one["data"] for one in house.entries(animal["id"]) if one["kind"] == "weight"]
    assert (kept[-1]["grams"], kept[-1]["doubted"]) == (str(far), True)


def a_broken_photo(folder: Path) -> Path:
    path = folder / "broken.jpg"
    Image.effect_noise((400, 300), 60).convert("RGB").save(path, "JPEG")
    path.write_bytes(path.read_bytes()[:3000])
    return path


def a_photo_of_forty_mb(folder: Path) -> Path:
    path = folder / "huge.jpg"
    Image.new("RGB", (400, 300), "tan").save(path, "JPEG")
    with path.open("ab") as file:
        file.truncate(FORTY_MB)
    return path


def test_a_broken_photo_and_one_of_40_mb_are_refused_in_words_on_the_animals_page(
    phone: Visit, house: House, tmp_path: Path
) -> None:
    phone.expect(refused_with(422))
    animal = plain(phone.page, house.address)
    before = house.rows("SELECT count(*) AS n FROM record_photo")
    photos = ((a_broken_photo, "broken or is no photo"), (a_photo_of_forty_mb, "40 MB"))
    for make, words in photos:
        page = phone.go(f"/animals/{animal['id']}/photo")
        page.get_by_label("Or choose one").set_input_files(make(tmp_path))
        page.get_by_label("What it shows").fill("the left ear")
        page.get_by_role("button", name="Keep the photo").tap()
        expect(page.locator(".fault", has_text=words).first).to_be_visible()
        expect(page.get_by_label("What it shows")).to_have_value("the left ear")
        assert faults_on(page) == []
    assert house.rows("SELECT count(*) AS n FROM record_photo") == before


def test_a_broken_photo_at_the_table_is_refused_and_the_check_goes_on(
    phone: Visit, house: House, tmp_path: Path
) -> None:
    phone.expect(refused_with(422))
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    while not table.key("step-eyes").count():
        table.weigh_or_main(animal)
    table.find("eyes", "eye-discharge-R")
    table.key("photo").set_input_files(a_broken_photo(tmp_path))
    expect(table.key("unsent")).to_contain_text("1 refused")
    table.touch("unsent")
    expect(phone.page.get_by_role("region", name="Refused")).to_contain_text(
        "broken or is no photo"
    )
    table.main()
    table.main()
    assert table.screen == "hold"
    kept = [one["data"] for one in house.entries(animal["id"]) if one["kind"] == "observation"]
    assert kept[-1]["finding"] == "discharge"


def test_a_good_photo_at_the_table_is_kept_once(phone: Visit, house: House, tmp_path: Path) -> None:
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    while not table.key("step-eyes").count():
        table.weigh_or_main(animal)
    table.find("eyes", "eye-discharge-R")
    good = tmp_path / "good.jpg"
    Image.effect_noise((800, 600), 40).convert("RGB").save(good, "JPEG")
    table.key("photo").set_input_files(good)
    expect(phone.page.get_by_text("Photo kept: take another")).to_be_visible()
    table.all_sent()
    table.main()
    table.main()
    table.all_sent()
    kept = house.rows("SELECT * FROM record_photo WHERE check_in_id = ?", [bare(table.check)])
    assert len(kept) == 1


def test_a_photo_taken_with_no_connection_counts_as_unsent_and_arrives_later(
    phone: Visit, house: House, tmp_path: Path
) -> None:
    phone.expect(NO_CONNECTION)
    animal = plain(phone.page, house.address)
    table = Table(phone.page, house.address).begin(animal["id"])
    while not table.key("step-eyes").count():
        table.weigh_or_main(animal)
    table.find("eyes", "eye-discharge-R")
    table.all_sent()
    phone.context.set_offline(True)
    good = tmp_path / "good.jpg"
    Image.effect_noise((800, 600), 40).convert("RGB").save(good, "JPEG")
    table.key("photo").set_input_files(good)
    expect(table.key("unsent")).to_contain_text("1 not sent")
    phone.context.set_offline(False)
    table.all_sent()
    kept = house.rows("SELECT * FROM record_photo WHERE check_in_id = ?", [bare(table.check)])
    assert len(kept) == 1


def fill_in_newcomer(page: Page) -> None:
    page.get_by_label("Name", exact=True).fill("Zizania")
    page.get_by_label("Colour and pattern").fill("agouti with one white foot")
    page.locator("[name=told]").fill("eats everything but celery")
    page.locator("[name=how][value=found]").check()


def test_a_newcomer_born_tomorrow_is_refused_and_all_that_was_typed_stays(
    phone: Visit, house: House
) -> None:
    phone.expect(refused_with(422))
    page = phone.go("/animals/new")
    fill_in_newcomer(page)
    tomorrow = (timezone.localdate() + timedelta(days=1)).isoformat()
    page.locator("[name=birth][value=exact]").check()
    page.locator("[name=born_on]").fill(tomorrow)
    page.get_by_role("button", name="Keep, then the arrival check").tap()
    expect(page.locator(".fault", has_text="cannot lie in the future").first).to_be_visible()
    expect(page.locator("[name=born_on]")).to_have_attribute("aria-invalid", "true")
    expect(page.get_by_label("Name", exact=True)).to_have_value("Zizania")
    expect(page.locator("[name=told]")).to_have_value("eats everything but celery")
    expect(page.locator("[name=born_on]")).to_have_value(tomorrow)
    expect(page.locator("[name=how][value=found]")).to_be_checked()
    assert faults_on(page) == []
    assert house.rows("SELECT * FROM record_animal WHERE name = 'Zizania'") == []


def test_a_pregnant_boar_is_refused_and_a_mended_form_goes_on_to_the_arrival_check(
    phone: Visit, house: House
) -> None:
    phone.expect(refused_with(422))
    page = phone.go("/animals/new")
    fill_in_newcomer(page)
    page.locator("[name=sex][value=sow]").check()
    page.locator("[name=pregnant][value=yes]").check()
    page.locator("[name=sex][value=boar]").check()
    page.get_by_role("button", name="Keep, then the arrival check").tap()
    expect(page.locator(".fault", has_text="A boar cannot be pregnant").first).to_be_visible()
    expect(page.get_by_label("Name", exact=True)).to_have_value("Zizania")
    assert faults_on(page) == []
    page.locator("[name=pregnant][value=no]").check()
    page.get_by_role("button", name="Keep, then the arrival check").tap()
    page.wait_for_url("**/check?**kind=arrival")
    Table(page, house.address).ready()
    assert len(house.rows("SELECT * FROM record_animal WHERE name = 'Zizania'")) == 1


def test_a_form_sent_twice_makes_one_animal(phone: Visit, house: House) -> None:
    page = phone.go("/animals/new")
    fill_in_newcomer(page)
    sent = page.evaluate(
        """async () => {
          const form = document.querySelector('main form[method=post]');
          const statuses = [];
          for (let turn = 0; turn < 2; turn += 1) {
            const answer = await fetch(form.action, { method: 'POST', body: new FormData(form) });
            statuses.push(answer.status);
          }
          return statuses;
        }"""
    )
    assert sent == [200, 200]
    assert len(house.rows("SELECT * FROM record_animal WHERE name = 'Zizania'")) == 1
