"""What an answer after a dose means on its own: said at once, also without a connection."""

from datetime import UTC, datetime
from functools import lru_cache
from typing import Any

from cavyround.advice.book import book
from cavyround.engines.triage import assess
from cavyround.facts.animal import AnimalFacts, Event
from cavyround.facts.observation import Observation, Side, Status
from cavyround.knowledge.courses import AfterDose
from cavyround.knowledge.urgency import Urgency

# Any moment will do: nothing is known of the animal but the dose and the answer.
MOMENT = datetime(2026, 1, 5, 12, tzinfo=UTC)


@lru_cache(maxsize=4)
def alarms(_version: str) -> dict[str, list[dict[str, Any]]]:
    """By question, for each of its answers: how urgent, in which words, what to do and not to do.

    Of an animal of which nothing else is known: with all that is, it may be more urgent,
    never less.
    """
    return {
        one.id: [_alarm(one, number) for number in range(len(one.answers))]
        for one in book().after_dose
    }


def _alarm(question: AfterDose, number: int) -> dict[str, Any]:
    adds = question.answers[number].adds.observation
    if adds is None:
        return {"level": 0, "words": "", "do": [], "do_not": []}
    seen = Observation(
        region=adds.region,
        finding=adds.finding,
        side=Side(adds.side),
        status=Status(adds.status),
        kinds=frozenset(adds.kind),
        seen_at=MOMENT,
    )
    event = [Event(what=question.adds_event, on=MOMENT.date())] if question.adds_event else []
    facts = AnimalFacts(id="any", observations=(seen,), events=tuple(event))
    answer = assess(facts, now=MOMENT, book=book())
    return {
        "level": int(answer.urgency),
        "words": book().urgency_words(answer.urgency) if answer.urgency > Urgency.NORMAL else "",
        "do": [line.words for line in answer.do_now],
        "do_not": [line.words for line in answer.do_not],
    }
