"""How long the next weighing may wait: sooner when the answer is uncertain and matters."""

from datetime import date, timedelta

from cavyround.engines.weight.said import Alarm
from cavyround.facts.animal import AnimalFacts, Known
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.urgency import Urgency


def weigh_next(
    alarm: Alarm,
    facts: AnimalFacts,
    book: Knowledge,
    *,
    sure: bool,
    doubted: bool,
    carrying: bool,
    today: date,
) -> tuple[timedelta, str]:
    """How long after the last weighing the next is due, and why."""
    oldest = facts.born.oldest_days(today)
    worried = _days(book, "weigh_gap_worried_days")
    unsure = _days(book, "weigh_gap_unsure_days")
    if doubted:
        return worried, "the last weighing was doubted"
    if alarm.level > Urgency.NORMAL and not carrying:
        return worried, "its weights gave an alarm"
    if carrying or facts.pregnant is Known.YES:
        why = "she is pregnant" if facts.pregnant is Known.YES else "she may be pregnant"
        return timedelta(days=int(book.span("pregnant_weigh_days").low)), why
    if oldest is not None and oldest <= book.number("pup_until_days"):
        return timedelta(days=int(book.number("pup_weigh_days"))), "it is a pup"
    if _bore_lately(facts, book, today):
        return unsure, "she gave birth not long ago"
    if alarm.score > float(book.model_number("near_alarm")):
        return unsure, "it is near an alarm, and another weighing would tell"
    if not sure:
        return unsure, "too few weighings to know its own normal"
    return _days(book, "weigh_gap_well_days"), "it keeps to its own normal"


def _bore_lately(facts: AnimalFacts, book: Knowledge, today: date) -> bool:
    within = _days(book, "birth_settles_days")
    born = [one.on for one in facts.events if one.what == "gave_birth" and one.on]
    return any(timedelta(0) <= today - on <= within for on in born)


def _days(book: Knowledge, key: str) -> timedelta:
    return timedelta(days=float(book.model_number(key)))
