"""Dangers, ways of giving, what the animal is and has: who may decide otherwise."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from cavyround.engines.dosing import (
    AlsoKnown,
    Dose,
    Running,
    Verdict,
)
from cavyround.facts.animal import AnimalFacts, Born, Event, Known, Sex
from cavyround.facts.orders import Limits
from cavyround.knowledge.book import Knowledge
from tests.builders import TODAY, a_boar, a_sow, months_old
from tests.engines.dosing_made import (
    ONCE,
    a_dose,
    a_product,
    an_order,
    aside,
    by_mouth,
    every,
    keys,
    refused,
    worked,
)


@pytest.mark.parametrize(
    ("drug", "route", "danger", "may"),
    [
        ("amoxicillin", "by_mouth", "penicillins", "nobody"),
        ("Amoxycilin", "by_mouth", "penicillins", "nobody"),
        ("benzylpenicillin", "into_muscle", "penicillins", "nobody"),
        ("clindamycin", "by_mouth", "lincosamides", "nobody"),
        ("Erythromycine", "by_mouth", "old_macrolides", "nobody"),
        ("cephalexin", "by_mouth", "cephalosporins_by_mouth", "nobody"),
        ("cefovecin", "under_skin", "cephalosporins_otherwise", "vet"),
        ("bacitracin ointment", "on_skin", "bacitracin", "nobody"),
        ("dihydrostreptomycin", "into_muscle", "streptomycin", "nobody"),
        ("procaine penicillin", "into_muscle", "procaine", "nobody"),
        ("oxytetracycline", "by_mouth", "tetracyclines", "vet"),
        ("prednisolone eye drops", "in_eye", "corticosteroids", "vet"),
        ("cypermethrin", "on_skin", "permethrin", "vet"),
        ("ibuprofen", "by_mouth", "human_painkillers", "vet"),
    ],
)
def test_what_is_dangerous_is_refused_by_its_name(
    drug: str, route: str, danger: str, may: str, book: Knowledge
) -> None:
    order = an_order("5 mg/kg", drug, route=route, schedule=every(1))
    result = refused(book, order, product=a_product("50 mg/mL", drug))
    found = {one.about: one.may for one in result.reasons if one.code == "dangerous"}
    assert found[danger] == may


@pytest.mark.parametrize("drug", ["azithromycin", "chloramphenicol", "doxycycline"])
def test_a_relative_of_what_is_dangerous_is_not_taken_for_it(drug: str, book: Knowledge) -> None:
    assert book.medicines.dangers_in([drug]) == ()


def test_a_danger_on_the_label_counts_though_the_order_names_another(book: Knowledge) -> None:
    product = a_product(
        "5 mg/mL", "meloxicam", name="drops", contains=("meloxicam", "neomycin", "dexamethasone")
    )
    result = refused(book, by_mouth("0.2 mg/kg", "meloxicam"), product=product)
    assert {"dangerous:gentamicin", "dangerous:corticosteroids"} <= keys(result)


def test_a_part_nobody_knows_is_said(book: Knowledge) -> None:
    product = a_product("5 mg/mL", "meloxicam", contains=("meloxicam", "fnordamine"))
    dose = a_dose(book, by_mouth("0.2 mg/kg", "meloxicam"), product=product)
    assert [one.words for one in dose.cautions if "fnordamine" in one.words] == [
        "The label also names fnordamine, of which nothing is known here: ask the vet."
    ]


def test_a_danger_nobody_may_set_aside_stays_whoever_tries(book: Knowledge) -> None:
    order = by_mouth("5 mg/kg", "amoxicillin")
    product = a_product("50 mg/mL", "amoxicillin")
    result = refused(book, order, product=product, also=aside("dangerous:penicillins"))
    assert "dangerous:penicillins" in keys(result)
    assert result.set_aside == ()


def test_a_name_nobody_knows_may_hide_anything_and_is_the_vets_to_decide(book: Knowledge) -> None:
    order = an_order("0.4 mg/kg", "ivermektin")
    result = refused(book, order, product=a_product(drug="ivermektin"))
    [unknown] = result.reasons
    assert (unknown.code, unknown.may) == ("not_in_formulary", "vet")
    assert "Did you mean ivermectin?" in unknown.words
    by_carer = aside("not_in_formulary", "carer")
    assert keys(refused(book, order, product=a_product(drug="ivermektin"), also=by_carer))
    dose = a_dose(book, order, product=a_product(drug="ivermektin"), also=aside("not_in_formulary"))
    assert dose.published.verdict is Verdict.NONE_KNOWN
    assert "a reason was set aside" in dose.second_person


def test_another_way_than_published_is_the_vets_to_decide(book: Knowledge) -> None:
    order = an_order("2.5 mg/kg", "carprofen", route="by_mouth", schedule=every(1))
    result = refused(book, order, product=a_product("50 mg/mL", "carprofen"))
    assert {(one.what, one.may) for one in result.reasons} == {("wrong_route", "vet")}


def test_what_goes_into_a_vein_is_given_by_a_vet(book: Knowledge) -> None:
    order = an_order("0.5 mg/kg", "meloxicam", route="IV", schedule=ONCE)
    result = refused(book, order, product=a_product("5 mg/mL", "meloxicam"))
    assert ("route_for_vets", "vet") in {(one.what, one.may) for one in result.reasons}


def test_a_pregnant_sow_and_one_of_whom_nobody_knows(book: Knowledge) -> None:
    known = refused(book, an_order(), animal=a_sow(pregnant=Known.YES))
    unknown = refused(book, an_order(), animal=a_sow(pregnant=Known.UNKNOWN))
    stranger = refused(book, an_order(), animal=a_sow(pregnant=Known.UNKNOWN, sex=Sex.UNKNOWN))
    assert keys(known) == {"pregnant:formulary"}
    assert keys(unknown) == keys(stranger) == {"may_be_pregnant:formulary"}
    assert isinstance(worked(book, an_order(), animal=a_sow()), Dose)


def test_griseofulvin_in_pregnancy_is_nobodys_to_allow(book: Knowledge) -> None:
    order = by_mouth("20 mg/kg", "griseofulvin")
    product = a_product("100 mg/mL", "griseofulvin")
    result = refused(book, order, product=product, animal=a_sow(pregnant=Known.YES))
    assert [(one.code, one.may) for one in result.reasons] == [("pregnant", "nobody")]


def test_a_sow_that_gave_birth_lately_counts_as_suckling(book: Knowledge) -> None:
    order = by_mouth("0.2 mg/kg", "meloxicam")
    product = a_product("0.5 mg/mL", "meloxicam")
    ten_days_ago = (Event(what="gave_birth", on=TODAY - timedelta(days=10)),)
    result = refused(book, order, 900, product=product, animal=a_sow(events=ten_days_ago))
    assert keys(result) == {"nursing:formulary"}
    long_ago = (Event(what="gave_birth", on=TODAY - timedelta(days=29)),)
    assert isinstance(
        worked(book, order, 900, product=product, animal=a_sow(events=long_ago)), Dose
    )


def test_a_spot_on_by_the_weight_on_its_label(book: Knowledge) -> None:
    drug = "ivermectin spot-on, pipette of 150 micrograms"
    order = an_order("1 pipette/animal", drug, route="on_skin", schedule=ONCE)
    product = a_product("150 mcg/pipette", drug)
    young = a_boar(born=months_old(2))
    result = refused(book, order, 290, product=product, animal=young)
    assert {one.what for one in result.reasons} == {"too_light:formulary"}
    dose = a_dose(book, order, 310, product=product, animal=young)
    assert dose.measure.words == "use 1 whole pipette"
    assert dose.amount_words == "0.15 mg"


def test_a_pup_is_too_young_for_ivermectin_by_mouth_but_not_under_the_skin(book: Knowledge) -> None:
    pup = a_boar(born=Born(earliest=TODAY - timedelta(days=20), latest=TODAY - timedelta(days=20)))
    product = a_product("0.8 mg/mL")
    order = an_order("0.4 mg/kg", route="by_mouth", schedule=every(14))
    result = refused(book, order, 250, animal=pup, product=product)
    assert keys(result) == {"too_young:formulary"}
    injected = replace(order, route="under_skin")
    assert isinstance(worked(book, injected, 250, animal=pup, product=product), Dose)


def test_an_age_nobody_knows_counts_by_its_weight(book: Knowledge) -> None:
    order = an_order("0.4 mg/kg", route="by_mouth", schedule=every(14))
    unknown = a_boar(born=Born())
    product = a_product("0.8 mg/mL")
    light = refused(book, order, 300, animal=unknown, product=product)
    assert keys(light) == {"may_be_too_young:formulary"}
    assert isinstance(worked(book, order, 900, animal=unknown, product=product), Dose)


@pytest.mark.parametrize(
    ("limits", "grams", "animal", "key"),
    [
        (Limits(not_under_g=Decimal(900)), 899, a_boar(), "too_light:order"),
        (Limits(not_over_g=Decimal(900)), 901, a_boar(), "too_heavy:order"),
        (Limits(not_under_days=900), 900, a_boar(), "too_young:order"),
        (Limits(not_over_days=300), 900, a_boar(), "too_old:order"),
        (Limits(not_over_days=300), 900, a_boar(born=Born()), "may_be_too_old:order"),
        (Limits(not_pregnant=True), 900, a_sow(pregnant=Known.POSSIBLE), "pregnant:order"),
        (
            Limits(not_nursing=True),
            900,
            a_sow(events=(Event(what="gave_birth"),)),
            "nursing:order",
        ),
    ],
)
def test_the_orders_own_limits_hold(
    limits: Limits, grams: int, animal: AnimalFacts, key: str, book: Knowledge
) -> None:
    order = by_mouth("20 mg/kg", "vitamin C", limits=limits)
    product = a_product("100 mg/mL", "vitamin C")
    result = refused(book, order, grams, product=product, animal=animal)
    assert keys(result) == {key}
    assert isinstance(
        worked(book, replace(order, limits=Limits()), grams, product=product, animal=animal), Dose
    )


@pytest.mark.parametrize(
    ("drug", "running", "code"),
    [
        ("meloxicam", "Meloxicam", "same_drug_running"),
        ("meloxicam", "carprofen", "same_class_running"),
        ("meloxicam", "prednisolone", "not_together"),
        ("meloxicam", "aspirin", "same_class_running"),
        ("ivermectin", "selamectin", "same_class_running"),
        ("ivermectin", "imidacloprid and moxidectin", "same_class_running"),
    ],
)
def test_what_runs_already_speaks_against_it(
    drug: str, running: str, code: str, book: Knowledge
) -> None:
    order = an_order("0.2 mg/kg", drug, route="by_mouth", schedule=every(14))
    also = AlsoKnown(running=(Running(order="other", drug=running),))
    result = refused(book, order, product=a_product("0.5 mg/mL", drug), also=also)
    assert [(one.what, one.may) for one in result.reasons] == [(f"{code}:other", "vet")]


def test_the_order_itself_is_no_other_that_runs(book: Knowledge) -> None:
    also = AlsoKnown(running=(Running(order="order", drug="ivermectin"),))
    assert isinstance(worked(book, an_order(), also=also), Dose)


@pytest.mark.parametrize("other", ["enrofloxacin", "vitamin C", "simethicone"])
def test_what_does_not_clash_may_run_beside_it(other: str, book: Knowledge) -> None:
    also = AlsoKnown(running=(Running(order="other", drug=other),))
    assert isinstance(worked(book, an_order(), also=also), Dose)


@pytest.mark.parametrize(
    ("drug", "noted"),
    [
        ("meloxicam", "Meloxicam"),
        ("meloxicam", "NSAIDs"),
        ("meloxicam", "carprofen"),
        ("trimethoprim with sulfonamide", "sulfonamides"),
        ("trimethoprim with sulfonamide", "co-trimoxazole"),
    ],
)
def test_an_allergy_by_drug_or_by_class_is_the_vets_to_decide(
    drug: str, noted: str, book: Knowledge
) -> None:
    order = by_mouth(
        "0.5 mg/kg" if drug == "meloxicam" else "20 mg/kg", drug, counted_as="combined"
    )
    product = a_product(
        "5 mg/mL" if drug == "meloxicam" else "48 mg/mL", drug, counted_as="combined"
    )
    result = refused(book, order, product=product, also=AlsoKnown(allergies=(noted,)))
    assert [(one.code, one.may) for one in result.reasons] == [("allergy", "vet")]


def test_an_allergy_to_something_else_is_only_said(book: Knowledge) -> None:
    dose = a_dose(book, an_order(), also=AlsoKnown(allergies=("enrofloxacin", " ")))
    assert [one.words for one in dose.cautions if "allergy" in one.words] == [
        "An allergy is noted: enrofloxacin."
    ]


def test_a_trade_name_by_mouth_stops_until_the_substance_is_named(book: Knowledge) -> None:
    order = by_mouth("10 mg/kg", "Grunzomycin", strength="50 mg/mL")
    unnamed = a_product("50 mg/mL", "Grunzomycin")
    [reason] = [
        one
        for one in refused(book, order, product=unnamed).reasons
        if one.code == "not_in_formulary"
    ]
    assert reason.may == "nobody"
    assert "Name the substance" in reason.do
    vet = aside(reason.key)
    assert keys(refused(book, order, product=unnamed, also=vet)) == {"not_in_formulary"}
    killing = a_product("50 mg/mL", "Grunzomycin", contains=("clindamycin",))
    assert "dangerous" in refused(book, order, product=killing).codes
    harmless = a_product("50 mg/mL", "Grunzomycin", contains=("grunzidone",))
    left = refused(book, order, product=harmless)
    assert {one.may for one in left.reasons if one.code == "not_in_formulary"} == {"vet"}


@pytest.mark.parametrize(
    ("noted", "codes"),
    [
        ("Grunzocam", ("allergy_unclear",)),
        ("meloxicam", ("allergy",)),
        ("fluoroquinolones", ()),
    ],
)
def test_an_allergy_nobody_can_place_is_asked_about_before_anything_is_given(
    noted: str, codes: tuple[str, ...], book: Knowledge
) -> None:
    order = by_mouth("0.2 mg/kg", "meloxicam")
    product = a_product("0.5 mg/mL", "meloxicam")
    result = worked(book, order, product=product, also=AlsoKnown(allergies=(noted,)))
    assert getattr(result, "codes", ()) == codes


def test_what_runs_by_a_trade_name_is_known_by_what_it_contains(book: Knowledge) -> None:
    other = Running(order="o2", drug="Grunzomec", contains=("ivermectin",))
    result = refused(book, an_order(), also=AlsoKnown(running=(other,)))
    assert keys(result) == {"same_drug_running:o2"}
