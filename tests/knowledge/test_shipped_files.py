"""The shipped knowledge: whole, sourced, and within reach of the check screen."""

from collections import Counter
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest

from cavyround.engines.conditions import Matcher
from cavyround.engines.triage.firing import fire
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.conditions import Condition
from cavyround.knowledge.urgency import Urgency
from tests.builders import NOW, a_sow, an_observation

# The rows of the published findings tables by area of the body, 296 in all. None may get lost.
ROWS = {
    "abdomen": 11,
    "body_condition": 6,
    "breathing": 10,
    "coat_skin": 27,
    "distance_behaviour": 20,
    "droppings": 12,
    "ears": 14,
    "ectoparasites": 9,
    "eyes": 24,
    "feet_nails": 15,
    "gait_limbs": 11,
    "grease_gland": 5,
    "head_neck_nodes": 9,
    "hydration_temperature": 5,
    "lumps_body_wall": 13,
    "mammary": 7,
    "mouth": 17,
    "neuro": 8,
    "nose": 9,
    "perineum_female": 15,
    "perineum_male": 20,
    "pregnancy_birth_neonate": 14,
    "urine": 8,
    "weight": 7,
}
# On no palette, on purpose: "as it should be" is its own touch, and a carer at the table
# takes no temperature and counts no heart.
NOT_OFFERED = {"normal", "temperature", "heart_rate"}


def test_every_row_of_the_findings_tables_is_kept(book: Knowledge) -> None:
    lines = (Path(__file__).parent / "rows.txt").read_text(encoding="utf-8").splitlines()
    rows = {line for line in lines if not line.startswith("#")}
    kept = [rule for rule in book.rules if rule.id in rows]
    assert len(kept) == len(rows) == sum(ROWS.values()) == 296
    assert Counter(rule.area for rule in kept) == ROWS


def test_every_combination_rule_is_there(book: Knowledge) -> None:
    ids = {rule.id for rule in book.rules}
    assert {f"K{number:02}" for number in range(1, 54)} <= ids


def test_every_id_is_there_once(book: Knowledge) -> None:
    for ids in (
        [rule.id for rule in book.rules],
        [step.code for step in book.steps],
        [question.id for question in book.questions],
        [infection.id for infection in book.infections],
    ):
        assert len(ids) == len(set(ids))


def test_every_rule_has_sources_that_exist_for_itself_and_for_its_urgency(book: Knowledge) -> None:
    for rule in book.rules:
        assert rule.sources, rule.id
        assert rule.urgency_sources, rule.id
        assert {*rule.sources, *rule.urgency_sources} <= set(book.sources), rule.id


def test_every_threshold_has_unit_range_and_source(book: Knowledge) -> None:
    for name, threshold in book.thresholds.items():
        assert threshold.unit, name
        assert threshold.holds_for, name
        assert set(threshold.sources) <= set(book.sources), name


def test_common_practice_and_our_own_judgement_are_named_as_such(book: Knowledge) -> None:
    assert book.sources["CP"].kind == "common_practice"
    assert book.sources["JUDGEMENT"].kind == "judgement"


def test_the_holds_come_in_one_order_watching_first(book: Knowledge) -> None:
    assert [hold.code for hold in book.holds] == [
        "watch",
        "lift",
        "scale",
        "head",
        "standing",
        "tipped",
    ]
    assert all(one.order < other.order for one, other in pairwise(book.holds))


def test_every_step_says_what_to_look_for_and_what_is_normal(book: Knowledge) -> None:
    for step in book.steps:
        assert step.look or step.feel or step.smell, step.code
        assert step.normal, step.code


def test_every_region_is_offered_at_its_own_step(book: Knowledge) -> None:
    steps = {code: book.step(region.step) for code, region in book.vocabulary.regions.items()}
    assert [code for code, step in steps.items() if code not in step.offers] == []


def test_every_finding_is_within_reach_at_the_table(book: Knowledge) -> None:
    offered = {code for step in book.steps for codes in step.offers.values() for code in codes}
    assert set(book.vocabulary.findings) - offered == NOT_OFFERED


def test_no_palette_offers_a_finding_twice(book: Knowledge) -> None:
    for step in book.steps:
        for region, codes in step.offers.items():
            assert len(codes) == len(set(codes)), (step.code, region)


def test_every_urgency_has_words_and_a_time_to_look_again(book: Knowledge) -> None:
    times = [book.look_again(level) for level in Urgency]
    assert max(times) == times[Urgency.NORMAL]
    assert min(times) == times[Urgency.EMERGENCY]
    assert all(book.urgency_words(level) for level in Urgency)


def test_the_language_of_conditions_has_no_not() -> None:
    keys = {field.alias or name for name, field in Condition.model_fields.items()}
    assert keys == {"all", "any", "at_least", "seen", "animal", "event", "sign", "is"}


def silenced(book: Knowledge) -> Iterator[str]:
    return (rule.id for rule in book.rules if rule.unless is not None)


def test_some_rules_are_silenced_by_others(book: Knowledge) -> None:
    assert list(silenced(book))


def test_a_silenced_rule_keeps_its_urgency_and_loses_only_its_naming(book: Knowledge) -> None:
    loud = next(rule for rule in book.rules if rule.when and rule.urgency > Urgency.NORMAL)
    lump = Condition.model_validate({"seen": {"finding": ["lump"]}})
    quiet = loud.model_copy(update={"id": "quiet", "when": lump, "unless": lump})
    only = book.model_copy(update={"rules": (quiet,), "version": "only the quiet one"})
    facts = a_sow(observations=(an_observation("lump", "flank"),))
    asks = Matcher(facts, now=NOW, book=only)
    [fired] = fire(asks, asks)
    assert fired.urgency is loud.urgency
    assert not fired.named


def test_every_silenced_rule_that_could_be_urgent_is_found_out_by_its_urgency(
    book: Knowledge,
) -> None:
    """``unless`` stands only beside a ``when``: there is nothing else it could switch off."""
    assert all(book.rule(rule_id).when is not None for rule_id in silenced(book))


@pytest.mark.parametrize("level", ["vet_24h", "emergency"])
def test_every_urgent_rule_says_what_to_do_now(book: Knowledge, level: str) -> None:
    mute = [rule.id for rule in book.rules if rule.urgency.code == level and not rule.do_now]
    assert mute == []
