"""When a sow of whom nobody said whether she is pregnant counts as one who may be."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

from cavyround.engines.triage import urgency_of
from cavyround.facts.animal import AnimalFacts, Event, Known, Sex
from cavyround.facts.observation import Observation
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.loading import load_knowledge
from cavyround.knowledge.urgency import Urgency

NOW = datetime(2026, 3, 3, 12, tzinfo=UTC)
# Longest published gestation: 72 days (Vetpedia, reproduction sheet; gestation 59-72 days).
LONGEST_GESTATION = 72
BOOK: Knowledge = load_knowledge()


def a_quiet_sow(arrived: date | None) -> AnimalFacts:
    return AnimalFacts(
        id="sow",
        sex=Sex.SOW,
        arrived_on=arrived,
        observations=(Observation(region="whole", finding="quiet"),),
    )


def how_urgent(facts: AnimalFacts) -> Urgency:
    return urgency_of(facts, now=NOW, book=BOOK)


def days_ago(days: int) -> date:
    return NOW.date() - timedelta(days=days)


def test_a_quiet_newcomer_of_unknown_pregnancy_is_an_emergency() -> None:
    assert how_urgent(a_quiet_sow(days_ago(10))) is Urgency.EMERGENCY
    assert how_urgent(a_quiet_sow(days_ago(LONGEST_GESTATION))) is Urgency.EMERGENCY
    assert how_urgent(a_quiet_sow(None)) is Urgency.EMERGENCY


def test_a_sow_here_longer_than_any_gestation_is_not_taken_for_pregnant() -> None:
    sow = a_quiet_sow(days_ago(LONGEST_GESTATION + 1))
    assert how_urgent(sow) is Urgency.VET_24H


def test_a_known_meeting_with_a_boar_brings_the_doubt_back() -> None:
    sow = a_quiet_sow(days_ago(200))
    met = replace(sow, events=(Event(what="other_sex_company", on=days_ago(40)),))
    assert how_urgent(met) is Urgency.EMERGENCY


def test_said_to_be_possible_counts_however_long_she_is_here() -> None:
    sow = replace(a_quiet_sow(days_ago(400)), pregnant=Known.POSSIBLE)
    assert how_urgent(sow) is Urgency.EMERGENCY
