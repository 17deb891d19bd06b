"""Facts that follow from others by the calendar."""

from dataclasses import replace
from datetime import datetime

from cavyround.facts.animal import AnimalFacts, Event, Known
from cavyround.knowledge.book import Knowledge

# A mating longer ago than this beyond the longest gestation no longer says anything. Our judgement.
STILL_ASKED_DAYS = 28


def with_derived(facts: AnimalFacts, now: datetime, book: Knowledge) -> AnimalFacts:
    """The facts with what follows: a sow mated longer ago than any gestation is past her term.

    A birth or a lost litter since ends that, and so does knowing that she is not pregnant.
    """
    longest = int(book.number("pregnancy_watch_days"))
    if facts.pregnant is Known.NO or "past_term" in {event.what for event in facts.events}:
        return facts
    for mated in facts.events:
        if mated.what != "mated" or mated.on is None or _ended_since(facts, mated):
            continue
        over = (now.date() - mated.on).days - longest
        if 0 < over <= STILL_ASKED_DAYS:
            return replace(facts, events=(*facts.events, Event(what="past_term")))
    return facts


def _ended_since(facts: AnimalFacts, mated: Event) -> bool:
    return any(
        event.what in ("gave_birth", "abortion")
        and (event.on is None or mated.on is None or event.on >= mated.on)
        for event in facts.events
    )
