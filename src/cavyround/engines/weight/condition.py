"""Body condition beside weight: what the hand felt, and what it means where the scales differ.

The scales weigh flesh, fluid, pups and a full gut alike; the hand feels flesh alone.
Nothing here lowers an urgency or takes an alarm back: it adds what to think of and to do.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from enum import StrEnum

from cavyround.engines.weight.said import Kind, Reading
from cavyround.facts.animal import DAYS_PER_MONTH, AnimalFacts, Known
from cavyround.knowledge.body_condition import BesideWeight, BesideWeightWhen
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.urgency import Urgency


class Look(StrEnum):
    """How well covered the animal felt."""

    BONY = "bony"
    IDEAL = "ideal"
    ROUND = "round"


# What a feel without a score is reckoned as: the score whose words it fits.
RECKONED = {Look.BONY: Decimal(2), Look.IDEAL: Decimal(3), Look.ROUND: Decimal(4)}
SCORES = (Decimal(1), Decimal(5))


@dataclass(frozen=True, slots=True, kw_only=True)
class Felt:
    """What a hand felt on one day. ``score`` (1 to 5) is None where only ``look`` was said.

    ``marked`` is a look that was called strong: very thin, or very fat.
    """

    at: datetime
    look: Look
    score: Decimal | None = None
    marked: bool = False
    id: str | None = None

    @property
    def reckoned(self) -> Decimal:
        """The score, or the one whose words the look fits."""
        if self.score is not None:
            return self.score
        away = {Look.BONY: -1, Look.IDEAL: 0, Look.ROUND: 1}[self.look] if self.marked else 0
        return RECKONED[self.look] + away


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """One way in which hand and scales differ, with what it may be and what to do."""

    id: str
    says: str
    because: str
    may_be: tuple[str, ...]
    if_pregnant: str
    do_now: tuple[str, ...]
    do_not: tuple[str, ...]
    urgency: Urgency
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ConditionSaid:
    """The last feel, the one it is compared with, and where they differ from the weights.

    ``why_not`` says why nothing, or not everything, could be compared.
    """

    last: Felt | None = None
    earlier: Felt | None = None
    beside: tuple[Beside, ...] = ()
    why_not: tuple[str, ...] = ()


def look_of(score: Decimal, book: Knowledge) -> Look:
    """How a score is called: bony, as it should be, or round."""
    if score < book.number("condition_bony_below"):
        return Look.BONY
    return Look.ROUND if score >= book.number("condition_round_from") else Look.IDEAL


def condition_beside(
    felt: Iterable[Felt], reading: Reading, facts: AnimalFacts, *, now: datetime, book: Knowledge
) -> ConditionSaid:
    """What the hand says beside the weights at ``now``; what is not known fits nothing."""
    known = sorted((one for one in felt if one.at <= now), key=lambda one: one.at)
    if not known:
        return ConditionSaid(why_not=("The body condition has not been felt yet.",))
    last = known[-1]
    earlier = _earlier(known, book)
    good = timedelta(days=int(book.number("condition_good_days")))
    if now - last.at > good:
        days = (now - last.at).days
        why = f"The last score is {days} days old: feel and score it again."
        return ConditionSaid(last=last, earlier=earlier, why_not=(why,))
    weights = _weights(reading, book)
    state = _State(last.look, _change(last, earlier, book), weights, _grown(facts, now, book))
    found = [entry for entry in book.beside_weight if state.fits(entry.when)]
    return ConditionSaid(
        last=last,
        earlier=earlier,
        beside=tuple(_beside(entry, facts) for entry in _worst_first(found)),
        why_not=_why_not(reading, state),
    )


@dataclass(frozen=True, slots=True)
class _State:
    """Both sides in words; empty or None where it is not known."""

    look: Look
    change: str
    weights: frozenset[str]
    grown: bool | None

    def fits(self, when: BesideWeightWhen) -> bool:
        return (
            (not when.look or self.look.value in when.look)
            and (not when.change or self.change in when.change)
            and bool(self.weights & set(when.weight))
            and not self.weights & set(when.unless_weight)
            and (when.grown is None or self.grown is when.grown)
        )


def _earlier(known: Sequence[Felt], book: Knowledge) -> Felt | None:
    """The newest feel that lies far enough back to be compared with, and not too far."""
    apart = book.span("condition_compared_days")
    low, high = timedelta(days=int(apart.low)), timedelta(days=int(apart.high))
    last = known[-1]
    return next((one for one in reversed(known) if low <= last.at - one.at <= high), None)


def _change(last: Felt, earlier: Felt | None, book: Knowledge) -> str:
    if earlier is None:
        return ""
    moved = last.reckoned - earlier.reckoned
    if abs(moved) < book.number("condition_step"):
        return "stayed"
    return "fell" if moved < 0 else "rose"


def _weights(reading: Reading, book: Knowledge) -> frozenset[str]:
    said = set()
    trend = reading.trend_pct
    if reading.alarm.level > Urgency.NORMAL and reading.alarm.kind is Kind.LOSS:
        said.add("falling")
    elif reading.sure and trend is not None:
        said.add("falling" if trend.high < 0 else "rising" if trend.low > 0 else "steady")
    usual = book.span("adult_usual_g")
    if reading.now is not None and reading.now.low > float(usual.high):
        said.add("heavy")
    if reading.now is not None and reading.now.high < float(usual.low):
        said.add("light")
    return frozenset(said)


def _grown(facts: AnimalFacts, now: datetime, book: Knowledge) -> bool | None:
    youngest, oldest = facts.born.youngest_days(now.date()), facts.born.oldest_days(now.date())
    adult = book.number("adult_from_months") * DAYS_PER_MONTH
    if youngest is not None and youngest >= adult:
        return True
    return False if oldest is not None and oldest < adult else None


def _beside(entry: BesideWeight, facts: AnimalFacts) -> Beside:
    pregnant = facts.pregnant in (Known.YES, Known.POSSIBLE)
    return Beside(
        id=entry.id,
        says=entry.says,
        because=entry.because,
        may_be=entry.may_be,
        if_pregnant=entry.if_pregnant if pregnant else "",
        do_now=entry.do_now,
        do_not=entry.do_not,
        urgency=entry.urgency,
        sources=entry.sources,
    )


def _worst_first(found: Iterable[BesideWeight]) -> list[BesideWeight]:
    return sorted(found, key=lambda entry: -entry.urgency)


def _why_not(reading: Reading, state: _State) -> tuple[str, ...]:
    why = []
    if not reading.weighings:
        why.append("Not weighed yet: nothing to compare the score with.")
    elif not reading.sure:
        why.append("Too few weighings to say whether it gains or loses.")
    if not state.change:
        why.append("No earlier score to compare this one with.")
    return tuple(why)
