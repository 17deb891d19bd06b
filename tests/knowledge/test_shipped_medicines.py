"""The shipped formulary: careful, whole, and named in the page about the files."""

import re
from pathlib import Path
from typing import get_args

import pytest
from pydantic import BaseModel

from cavyround.engines.dosing.published import COUNTED
from cavyround.facts.reading_amounts import NotRead, read_dose
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.giving import Route, SyringeKind, VolumeLimit
from cavyround.knowledge.medicine_names import folded, same_name
from cavyround.knowledge.medicines import (
    Abbreviation,
    AnimalLimit,
    Danger,
    DoseStop,
    DoseUnit,
    DrugClass,
    Medicine,
    PrintedWrongly,
    PublishedDose,
    Trap,
)
from cavyround.knowledge.sureness import May, Sure

DOCS = (Path(__file__).parents[2] / "docs" / "knowledge.md").read_text(encoding="utf-8")
SECTION = DOCS[DOCS.index("## Medicines") : DOCS.index("## Others")]
MODELS = (
    Medicine,
    PublishedDose,
    DoseStop,
    AnimalLimit,
    Danger,
    DrugClass,
    Route,
    VolumeLimit,
    SyringeKind,
    Trap,
    PrintedWrongly,
    Abbreviation,
)


def named(word: str) -> bool:
    return re.search(rf"(?<![a-z_]){re.escape(word)}(?![a-z_])", SECTION) is not None


@pytest.mark.parametrize("model", MODELS)
def test_the_page_names_every_key_of_an_entry_about_medicines(model: type[BaseModel]) -> None:
    assert {key for key in model.model_fields if not named(key)} == set()


@pytest.mark.parametrize("closed", [DoseUnit, May, Sure])
def test_the_page_names_every_word_of_a_closed_list(closed: object) -> None:
    assert {word for word in get_args(closed) if word not in SECTION} == set()


def test_every_unit_of_the_formulary_can_be_held_against_an_order() -> None:
    assert set(COUNTED) == set(get_args(DoseUnit))
    for unit in COUNTED:
        if unit.endswith(("/kg", "/animal")):
            assert not isinstance(read_dose(f"1 {unit}"), NotRead)


def test_what_comes_from_memory_or_a_lay_page_alone_is_never_called_seen(book: Knowledge) -> None:
    for medicine in book.medicines.formulary:
        for dose in medicine.doses:
            kinds = {book.sources[key].kind for key in dose.sources}
            read = " ".join(book.sources[key].read for key in dose.sources)
            if dose.sure == "seen":
                assert kinds - {"lay", "common_practice", "judgement"}, (medicine.id, dose)
                assert "not verified" not in read, (medicine.id, dose)
            if dose.sure == "memory":
                assert any(key.startswith(("M-", "CP")) for key in dose.sources), (
                    medicine.id,
                    dose,
                )


def test_every_published_route_of_a_dose_is_a_route_of_its_medicine(book: Knowledge) -> None:
    for medicine in book.medicines.formulary:
        published = {route for dose in medicine.doses for route in dose.routes}
        assert published <= set(medicine.routes), medicine.id


def test_every_medicine_that_is_stopped_says_its_unit_as_it_is_published(book: Knowledge) -> None:
    for medicine in book.medicines.formulary:
        units = {dose.unit for dose in medicine.doses}
        assert {stop.unit for stop in medicine.stops} <= units, medicine.id


def test_no_medicine_of_the_formulary_is_a_danger_but_where_the_vet_may_say_so(
    book: Knowledge,
) -> None:
    known = book.medicines
    found = {
        medicine.id: {(danger.id, danger.may) for danger in dangers}
        for medicine in known.formulary
        if (dangers := known.dangers_in([medicine.name, *medicine.also]))
    }
    assert found == {"fipronil": {("fipronil", "vet")}}


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Amoxycilin", "amoxicillin"),
        ("CEPHALEXIN", "cefalexin"),
        ("Tylosin", "tilosin"),
        ("méloxicam", "Meloxicam"),
        ("vitamin-C", "Vitamin C"),
    ],
)
def test_spelling_does_not_hide_a_name(one: str, other: str) -> None:
    assert same_name(one, other)


def test_no_name_is_the_same_as_no_name() -> None:
    assert not same_name("", "")
    assert not same_name("!?", "")
    assert folded("!?") == ""


@pytest.mark.parametrize(
    ("written", "route"),
    [
        ("PO", "by_mouth"),
        (" under the skin ", "under_skin"),
        ("IM", "into_muscle"),
        ("by wing", ""),
    ],
)
def test_a_route_is_known_by_what_people_write(written: str, route: str, book: Knowledge) -> None:
    assert book.medicines.route_named(written) == route
