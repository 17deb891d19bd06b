"""What to tell the vet: plain facts, newest numbers first, nothing interpreted."""

from datetime import datetime, timedelta

from cavyround.facts.animal import AnimalFacts, Known, Sex
from cavyround.facts.observation import Observation
from cavyround.knowledge.book import Knowledge

WEIGHTS_TOLD = 4
HOURS_TOLD_AS_HOURS = timedelta(hours=48)
SEX_WORDS = {Sex.SOW: "sow", Sex.BOAR: "boar", Sex.UNKNOWN: "sex not known"}


def tell_vet(facts: AnimalFacts, now: datetime, book: Knowledge) -> tuple[str, ...]:
    """Lines to read out on the phone."""
    there = [seen for seen in facts.observations if seen.is_there]
    earlier = [seen for seen in facts.still_open if seen.is_there]
    absent = [seen for seen in facts.observations if not seen.is_there]
    lines = [_who(facts, now), *_weights(facts)]
    lines += [_with_since(seen, now, book) for seen in there]
    lines += [f"{_with_since(seen, now, book)} (not looked at since)" for seen in earlier]
    lines += [book.observation_words(seen) for seen in absent]
    lines += [
        f"{book.vocabulary.events.get(e.what, e.what)}{f' on {e.on:%d %B %Y}' if e.on else ''}"
        f"{f' ({e.note})' if e.note else ''}"
        for e in facts.events
    ]
    lines += [f"known: {mark.words} ({mark.said_by})" for mark in facts.marks]
    return tuple(lines)


def _who(facts: AnimalFacts, now: datetime) -> str:
    young = facts.born.youngest_days(now.date())
    old = facts.born.oldest_days(now.date())
    parts = [facts.name or "guinea pig", SEX_WORDS[facts.sex]]
    if facts.neutered is Known.YES:
        parts.append("neutered")
    if facts.pregnant in (Known.YES, Known.POSSIBLE):
        parts.append("pregnant" if facts.pregnant is Known.YES else "possibly pregnant")
    if young is None and old is None:
        parts.append("age not known")
    elif young == old:
        parts.append(f"{_age(young)} old")
    else:
        parts.append(f"between {_age(young)} and {_age(old)} old")
    return ", ".join(parts)


def _age(days: int | None) -> str:
    if days is None:
        return "an unknown age"
    months = int(days / 30.4375)
    return f"{days} days" if months < 1 else f"{months} months"


def _weights(facts: AnimalFacts) -> list[str]:
    last = facts.weighings[-WEIGHTS_TOLD:]
    if not last:
        return ["not weighed"]
    said = [
        f"{w.grams:.0f} g on {w.at:%d %B %Y}{' (doubtful)' if w.doubted else ''}"
        for w in reversed(last)
    ]
    return ["weighed " + ", ".join(said)]


def _with_since(seen: Observation, now: datetime, book: Knowledge) -> str:
    words = book.observation_words(seen)
    if seen.began_at is None:
        return words
    span = now - seen.began_at
    if span < HOURS_TOLD_AS_HOURS:
        return f"{words}, for about {round(span / timedelta(hours=1))} hours"
    return f"{words}, for about {span.days} days"
