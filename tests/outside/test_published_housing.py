"""Gestation, weaning, parting and housing as published, typed here and not read from our files.

Sources beside each; those marked so are from memory.
"""

from decimal import Decimal

import pytest

from cavyround.advice.book import book

SQ_FT_CM2 = Decimal("929.0304")  # exact: 30.48 cm squared
SQ_IN_CM2 = Decimal("6.4516")  # exact: 2.54 cm squared


def test_gestation_is_59_to_72_days_mean_68() -> None:
    """Vetpedia 840; researchanimaltraining.com, guinea pig biology."""
    span = book().span("gestation_days")
    assert [span.low, span.high] == [Decimal(59), Decimal(72)]
    assert book().number("gestation_mean_days") == 68


def test_the_sexes_are_parted_at_three_weeks_or_250_g() -> None:
    """Melbourne rabbit clinic ("around 3 weeks old"); 250 g a lay page."""
    assert book().number("part_sexes_days") == 3 * 7
    assert book().number("part_sexes_g") == 250


def test_weaning_is_at_14_to_28_days_and_150_to_200_g() -> None:
    """Small Animal Clinical Nutrition, 5th ed., p. 1230."""
    days, grams = book().span("weaned_from_days"), book().span("weaned_from_g")
    found = [days.low, days.high, grams.low, grams.high]
    assert found == [Decimal(14), Decimal(28), Decimal(150), Decimal(200)]


@pytest.mark.parametrize(
    ("animals", "area"),
    [
        (1, Decimal(120 * 60)),  # RSPCA branch: 120 x 60 cm for two; one gets no less
        (2, Decimal(120 * 60)),
        (3, Decimal("10.5") * SQ_FT_CM2),  # lay ladder: 10.5 sq ft for three
        (4, Decimal(13) * SQ_FT_CM2),  # and 13 for four
    ],
)
def test_the_least_floor_is_the_published_one(animals: int, area: Decimal) -> None:
    assert abs(book().living.floor_for(animals) - area) < 1


def test_laboratory_figures_are_shown_and_decide_nothing() -> None:
    """NRC Guide 2011, Table 3.2: 101 sq in above 350 g; 9 CFR 3.28: 90 sq in."""
    beside = [row.area_cm2 for row in book().living.floor if not row.decides]
    assert any(abs(area - 101 * SQ_IN_CM2) < 1 for area in beside)
    assert any(abs(area - 90 * SQ_IN_CM2) < 1 for area in beside)
    assert book().living.most_on(int(90 * SQ_IN_CM2)) == 0


def test_more_animals_never_need_less_floor() -> None:
    floors = [book().living.floor_for(count) for count in range(30)]
    assert floors == sorted(floors)
    for count, floor in enumerate(floors):
        assert book().living.most_on(int(floor) + 1) >= count


def test_labour_limits_are_those_of_the_vets_page() -> None:
    """LafeberVet: "more than 10-20 minutes or intermittently for greater than 2 hours"."""
    assert book().span("labour_active_minutes").low == 10
    assert book().number("labour_on_off_hours") == 2
