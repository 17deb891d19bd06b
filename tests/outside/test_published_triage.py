"""Levels held against what is published, each source named beside its check.

Where our grading is milder than a list that does not grade, the check says so and pins it.
"""

from datetime import timedelta
from decimal import Decimal

import pytest

from cavyround.engines.triage import assess, urgency_of
from cavyround.engines.weight import weight_signs
from cavyround.facts.animal import AnimalFacts, Born, Event, Known, Weighing
from cavyround.facts.microchip import Microchip, NotAMicrochip, read_microchip
from cavyround.facts.observation import Grade, Observation, Side
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.urgency import Urgency
from tests.builders import NOW, TODAY, a_boar, a_sow, an_observation

VET_24H = Urgency.VET_24H


def level(book: Knowledge, facts: AnimalFacts) -> Urgency:
    signs = weight_signs(facts, now=NOW, book=book)
    return urgency_of(facts, now=NOW, book=book, signs=signs)


def seen(book: Knowledge, *several: Observation) -> Urgency:
    """The level of a boar of steady weight on which this was found."""
    weighed = tuple(Weighing(at=NOW - timedelta(days=days), grams=Decimal(1000)) for days in (7, 0))
    return level(book, a_boar(weighings=weighed, observations=several))


def bounds(book: Knowledge, key: str) -> tuple[int, int]:
    span = book.span(key)
    return int(span.low), int(span.high)


# ASPCA Animal Watch, Spring 2004, 24(1): "See a vet immediately if your cavy shows any".
ASPCA_2004 = {
    "refusal to eat": an_observation("not_eating", "appetite"),
    "laboured breathing": an_observation("laboured", "breathing"),
    "wheeze": an_observation("noisy", "breathing", kinds=frozenset({"wheeze"})),
    "crusty eyes": an_observation("crust", "eye"),
    "rough or puffed coat": an_observation("fluffed_up", "whole"),
    "receding eyes": an_observation("sunken", "eye", side=Side.BOTH),
    "lethargy": an_observation("lethargic", "whole"),
    "hunched posture": an_observation("hunched", "whole"),
    "drooling": an_observation("wet", "chin"),
    "watery diarrhoea": an_observation("diarrhoea", "droppings"),
    "blood in urine": an_observation("blood", "urine"),
    "limping, weight not said": an_observation("limp", "hind_leg"),
    "heavy scratching": an_observation("scratching", "skin", grade=Grade.MARKED),
    "scaly hair loss": an_observation("bald_patch", "face", kinds=frozenset({"scaly"})),
    "loss of balance": an_observation("wobbly", "whole"),
}


@pytest.mark.parametrize("sign", ASPCA_2004)
def test_what_the_aspca_list_sends_to_a_vet_is_seen_within_a_day(
    sign: str, book: Knowledge
) -> None:
    assert seen(book, ASPCA_2004[sign]) >= VET_24H


# The same list does not grade; these the findings tables place lower by decision.
MILDER = {
    "a few sneezes": (an_observation("sneezing", "whole"), Urgency.CARER_RECHECK),
    "limp that bears weight": (
        an_observation("limp", "hind_leg", kinds=frozenset({"bears_weight"})),
        Urgency.VET_DAYS,
    ),
    "smooth bald patch": (
        an_observation("bald_patch", "rump", kinds=frozenset({"smooth"})),
        Urgency.VET_DAYS,
    ),
}


@pytest.mark.parametrize("sign", MILDER)
def test_where_we_are_milder_than_the_aspca_list_we_are_so_on_purpose(
    sign: str, book: Knowledge
) -> None:
    found, expected = MILDER[sign]
    assert seen(book, found) is expected


def test_four_ounces_of_an_ordinary_adult_go_to_a_vet_within_a_day(book: Knowledge) -> None:
    """ASPCA 2004: loss of 4 oz or more; 113.4 g of the UK median 1050 g (VetCompass) is 10.8 %."""
    lost = 4 * book.number("ounce_g")
    weighed = (
        Weighing(at=NOW - timedelta(days=7), grams=Decimal(1050)),
        Weighing(at=NOW, grams=1050 - lost),
    )
    assert level(book, a_boar(weighings=weighed)) >= VET_24H


# RSPCA Bedfordshire South: "must not delay if you notice diarrhoea, ...".
@pytest.mark.parametrize(
    ("finding", "region", "least"),
    [
        ("diarrhoea", "droppings", VET_24H),
        ("laboured", "breathing", VET_24H),
        ("lethargic", "whole", VET_24H),
        ("not_eating", "appetite", VET_24H),
        ("drinking_more", "appetite", Urgency.VET_DAYS),  # milder by decision: slow disease
        ("reluctant_to_move", "whole", Urgency.VET_DAYS),  # milder by decision: stiff old animals
    ],
)
def test_what_the_rspca_branch_says_must_not_wait_goes_to_a_vet(
    finding: str, region: str, least: Urgency, book: Knowledge
) -> None:
    assert seen(book, an_observation(finding, region)) >= least


@pytest.mark.parametrize(
    ("breaths", "expected"),
    [
        (42, Urgency.NORMAL),  # Western Australia Department of Education; ALAT slides: 42 to 104
        (104, Urgency.NORMAL),
        (105, Urgency.VET_24H),
        (118, Urgency.VET_24H),
        (121, Urgency.EMERGENCY),  # findings table: clearly above 120 after ten quiet minutes
    ],
)
def test_breaths_at_rest_are_judged_by_the_published_range(
    breaths: int, expected: Urgency, book: Knowledge
) -> None:
    count = an_observation("breath_rate", "breathing", value=Decimal(breaths), unit="per_min")
    assert seen(book, count) is expected
    assert bounds(book, "breaths_usual") == (42, 104)


@pytest.mark.parametrize(
    ("celsius", "expected"),
    [
        ("38.8", Urgency.NORMAL),  # Levy 2020: mean of 40 healthy animals
        ("39.5", Urgency.NORMAL),  # Vetpedia, LafeberVet: 37.2 to 39.5
        ("39.8", Urgency.VET_24H),
        ("37.6", Urgency.VET_24H),  # Levy 2021: below 37.9 the risk of death is 2.88 times as high
        ("37.0", Urgency.EMERGENCY),  # below every published normal
    ],
)
def test_temperatures_are_judged_by_the_published_ranges(
    celsius: str, expected: Urgency, book: Knowledge
) -> None:
    warmth = an_observation("temperature", "whole", value=Decimal(celsius), unit="C")
    assert seen(book, warmth) is expected


def test_gestation_is_59_to_72_days_and_past_it_is_an_emergency(book: Knowledge) -> None:
    """Vetpedia; laboratory guinea pig biology (researchanimaltraining.com); VetHelpDirect."""
    assert bounds(book, "gestation_days") == (59, 72)
    assert book.number("pregnancy_watch_days") == 72
    over = a_sow(pregnant=Known.YES, events=(Event(what="past_term", on=TODAY),))
    assert level(book, over) is Urgency.EMERGENCY


def _labour(minutes: int) -> AnimalFacts:
    began = NOW - timedelta(minutes=minutes)
    pushing = an_observation("straining_birth", "vulva", began_at=began)
    return a_sow(pregnant=Known.YES, due_from=TODAY, observations=(pushing,))


def test_labour_is_an_emergency_at_the_lower_published_limit(book: Knowledge) -> None:
    """LafeberVet: "more than 10-20 minutes or intermittently for greater than 2 hours"."""
    assert level(book, _labour(5)) < Urgency.EMERGENCY
    assert level(book, _labour(11)) is Urgency.EMERGENCY
    long_on_and_off = a_sow(pregnant=Known.YES, events=(Event(what="labour_over_limit"),))
    assert level(book, long_on_and_off) is Urgency.EMERGENCY
    assert bounds(book, "labour_active_minutes") == (10, 20)
    assert book.number("labour_on_off_hours") == 2


def test_labour_just_begun_is_looked_at_again_within_the_hour(book: Knowledge) -> None:
    answer = assess(_labour(5), now=NOW, book=book)
    assert answer.within <= timedelta(hours=1)


@pytest.mark.parametrize(
    ("hours", "expected"),
    [
        (3, Urgency.VET_24H),  # RSPCA-B, ASPCA: any refusal goes to a vet
        (12, Urgency.EMERGENCY),  # lay pages; stricter than the 24 hours of Vetstream, Diarrhoea
        (25, Urgency.EMERGENCY),
    ],
)
def test_hours_without_food_are_judged_by_the_strictest_published_limit(
    hours: int, expected: Urgency, book: Knowledge
) -> None:
    off = an_observation("not_eating", "appetite", began_at=NOW - timedelta(hours=hours))
    assert seen(book, off) is expected


@pytest.mark.parametrize(
    ("score", "expected"),
    [
        (1, Urgency.VET_24H),  # Size-O-Meter 1: more than 20 % below ideal
        (2, Urgency.VET_DAYS),
        (3, Urgency.NORMAL),
        (4, Urgency.CARER_RECHECK),
        (5, Urgency.VET_DAYS),
    ],
)
def test_the_five_scores_of_the_size_o_meter_have_their_levels(
    score: int, expected: Urgency, book: Knowledge
) -> None:
    condition = an_observation("body_condition", "whole", value=Decimal(score), unit="of_5")
    assert seen(book, condition) is expected


def test_a_boar_pup_is_parted_at_three_weeks(book: Knowledge) -> None:
    """Melbourne rabbit and guinea pig clinic: "separate the boys ... at around 3 weeks old"."""
    assert book.number("part_sexes_days") == 21
    born = TODAY - timedelta(days=21)
    pup = a_boar(born=Born(earliest=born, latest=born), events=(Event(what="male_pup_with_sows"),))
    answer = assess(pup, now=NOW, book=book)
    assert "unplanned_mating_risk" in {problem.code for problem in answer.problems}


def test_bites_of_dogs_and_cats_are_emergencies_however_small(book: Knowledge) -> None:
    """Hawkins and Graham 2007; findings table: infection even when the wound looks tiny."""
    for event in ("dog_or_cat", "fall_or_blow"):
        assert level(book, a_boar(events=(Event(what=event, on=TODAY),))) is Urgency.EMERGENCY


def test_an_ounce_and_a_pound_are_the_international_ones(book: Knowledge) -> None:
    """1 oz = 28.349523125 g, 1 lb = 453.59237 g (international yard and pound agreement, 1959)."""
    assert book.number("ounce_g") == Decimal("28.349523125")
    assert book.number("pound_g") == Decimal("453.59237")
    assert book.number("pound_g") == 16 * book.number("ounce_g")


def test_microchip_numbers_follow_iso_11784() -> None:
    """Published examples valid; 276999999999999 exceeds 38 bits (2**38 - 1 = 274877906943)."""
    for valid in ("968000004531234", "040098100111917"):
        assert isinstance(read_microchip(valid), Microchip)
    assert isinstance(read_microchip("276999999999999"), NotAMicrochip)
