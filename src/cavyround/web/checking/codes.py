"""The words for every code the check screen may show, made once for each knowledge."""

from functools import lru_cache
from typing import Any

from cavyround.advice.book import book
from cavyround.facts.observation import Observation
from cavyround.knowledge.book import UNIT_SIGNS, Knowledge
from cavyround.knowledge.steps import Hold
from cavyround.web.checking.alarm_words import alarm_words, denying_words
from cavyround.web.checking.signs import emergencies, signs_of

STEP_PARTS = frozenset(
    {"words", "why", "look", "feel", "smell", "normal", "varies", "never", "care", "offers"}
)
CONDITION = "body_condition"
SCORE_PARTS = {"score", "words", "feel"}


@lru_cache(maxsize=1)
def words_of_codes(_version: str) -> dict[str, Any]:
    """All words; ``_version`` is the knowledge's, so that another one is read anew."""
    knowledge = book()
    words = knowledge.vocabulary
    return {
        "holds": {hold.code: _hold(hold, knowledge) for hold in knowledge.holds},
        "steps": {
            step.code: step.model_dump(mode="json", by_alias=True, include=set(STEP_PARTS))
            for step in knowledge.steps
        },
        "regions": {
            code: {
                "words": knowledge.place_words(code, "N"),
                "both": knowledge.place_words(code, "B"),
                "paired": region.paired,
                "sided": region.sided,
                "sex": region.sex,
            }
            for code, region in words.regions.items()
        },
        "findings": {code: _finding(code, knowledge) for code in words.findings},
        "kinds": dict(words.kinds),
        "grades": dict(words.grades),
        "sides": dict(words.sides),
        "units": {code: UNIT_SIGNS.get(code, code) for code in words.units},
        "care": {code: item.words for code, item in words.care.items()},
        "events": dict(words.events),
        "events_of_sows": list(words.events_of_sows),
        "urgency_words": {code: level.words for code, level in words.urgencies.items()},
        "emergencies": emergencies(knowledge),
        "alarm_words": alarm_words(knowledge),
        "denying_words": denying_words(knowledge),
        "knowledge_version": knowledge.version,
    }


def _finding(code: str, knowledge: Knowledge) -> dict[str, Any]:
    """A finding: short enough for a button, and in full where that says more.

    The body condition brings the words of its scores, so that nobody scores from memory.
    """
    known = knowledge.vocabulary.findings[code]
    scores = knowledge.condition_scores if code == CONDITION else ()
    short = knowledge.observation_words(Observation(region="whole", finding=code))
    return {
        "words": short,
        "in_full": known.words if known.words != short else "",
        "kinds": list(known.kinds),
        "units": list(known.units),
        "benign": known.benign,
        "sex": known.sex,
        **({"scores": [one.model_dump(include=SCORE_PARTS) for one in scores]} if scores else {}),
    }


def _hold(hold: Hold, knowledge: Knowledge) -> dict[str, Any]:
    return {
        "words": hold.words,
        "how": hold.how,
        "cautions": list(hold.cautions),
        "not_for": [
            {"signs": signs_of([one.when], knowledge), "words": one.words} for one in hold.not_for
        ],
    }
