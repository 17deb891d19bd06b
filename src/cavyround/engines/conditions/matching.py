"""Evaluate conditions over facts. A doubt, a missing kind or an unknown day counts as there."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal

from cavyround.engines.conditions.signalment import FOR_URGENCY, Doubts, Signalment
from cavyround.facts.animal import AnimalFacts, Event
from cavyround.facts.observation import Observation, Side, sides_agree
from cavyround.facts.weight_signs import WeightSigns
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.conditions import Amount, Condition, Happened, Seen

ONE_SIDED = frozenset({Side.LEFT, Side.RIGHT, Side.ONE})
GRAMS = {"g": Decimal(1), "kg": Decimal(1000)}
Supports = frozenset["Support"]


@dataclass(frozen=True, slots=True)
class Support:
    """Something a condition rests on: an observation, an event, a weight sign, or the animal."""

    words: str
    observation: Observation | None = None


NOTHING: Supports = frozenset()


class Matcher:
    """Asks conditions of one animal's facts.

    Args:
        facts: the animal.
        now: the moment asked about.
        book: the knowledge, for definitions and words.
        signs: what the weighings say.
        ignoring: ids or places of observations a standing mark explains.
        doubts: for what an unknown counts as fitting.
        with_earlier: whether findings not looked at since count too.
    """

    def __init__(
        self,
        facts: AnimalFacts,
        *,
        now: datetime,
        book: Knowledge,
        signs: WeightSigns | None = None,
        ignoring: frozenset[Observation] = frozenset(),
        doubts: Doubts = FOR_URGENCY,
        with_earlier: bool = True,
    ) -> None:
        """Sort the observations that are there by finding."""
        self.facts = facts
        self.now = now
        self.book = book
        self.signs = signs or WeightSigns()
        self.ignoring = ignoring
        self.animal = Signalment(facts, now, book, doubts)
        self._by_finding: dict[str, list[Observation]] = {}
        self._earlier = frozenset(facts.still_open)
        for seen in facts.known_now if with_earlier else facts.observations:
            if seen.is_there and seen not in ignoring:
                self._by_finding.setdefault(seen.finding, []).append(seen)
        self._before = [o for o in facts.before if o.is_there]
        self._named: dict[str, Supports | None] = {}

    @property
    def active(self) -> frozenset[str]:
        """Findings, events and weight signs that are there at all."""
        events = {event.what for event in self.facts.events}
        return frozenset(self._by_finding) | events | frozenset(self.signs.words)

    @property
    def seen(self) -> list[Observation]:
        """The observations that are there and not explained by a standing mark."""
        return [seen for several in self._by_finding.values() for seen in several]

    def holds(self, condition: Condition) -> Supports | None:
        """What the condition rests on if it holds, else None."""
        if condition.seen is not None:
            return self._seen(condition.seen)
        if condition.is_ is not None:
            return self._definition(condition.is_)
        if condition.all_ is not None:
            return self._all(condition.all_)
        if condition.any_ is not None:
            return self._at_least(1, condition.any_)
        if condition.at_least is not None:
            return self._at_least(condition.at_least.count, condition.at_least.of)
        if condition.animal is not None:
            return NOTHING if self.animal.fits(condition.animal) else None
        if condition.event is not None:
            return self._event(condition.event)
        return self._sign(condition.sign or ())

    def _all(self, parts: tuple[Condition, ...]) -> Supports | None:
        together: Supports = NOTHING
        for part in parts:
            support = self.holds(part)
            if support is None:
                return None
            together |= support
        return together

    def _at_least(self, count: int, parts: tuple[Condition, ...]) -> Supports | None:
        held = [support for part in parts if (support := self.holds(part)) is not None]
        return frozenset().union(*held) if len(held) >= count else None

    def _definition(self, name: str) -> Supports | None:
        if name not in self._named:
            self._named[name] = self.holds(self.book.definitions[name].when)
        return self._named[name]

    def _event(self, wanted: Happened) -> Supports | None:
        known = [e for e in self.facts.events if e.what in wanted.what and self._recent(e, wanted)]
        words = self.book.vocabulary.events
        return frozenset(Support(words.get(e.what, e.what)) for e in known) if known else None

    def _recent(self, event: Event, wanted: Happened) -> bool:
        if wanted.within_days is None or event.on is None:
            return True
        return (self.now.date() - event.on).days <= wanted.within_days

    def _sign(self, wanted: tuple[str, ...]) -> Supports | None:
        held = [Support(self.signs.words[sign]) for sign in wanted if sign in self.signs]
        return frozenset(held) if held else None

    def _seen(self, wanted: Seen) -> Supports | None:
        # Most conditions speak of what this animal has not: said first, and cheaply.
        if self._by_finding.keys().isdisjoint(wanted.finding):
            return None
        fitting = [
            seen
            for finding in wanted.finding
            for seen in self._by_finding.get(finding, ())
            if self._fits(seen, wanted)
        ]
        if wanted.side == "both":
            fitting = _both_sided(fitting, self.book)
        if _points(fitting) < wanted.at_points:
            return None
        return self.supports(fitting)

    def supports(self, fitting: Iterable[Observation]) -> Supports | None:
        """Observations as what something rests on; None for none."""
        return frozenset(Support(self._words(seen), seen) for seen in fitting) or None

    def _words(self, seen: Observation) -> str:
        words = self.book.observation_words(seen)
        if seen in self._earlier and seen.seen_at is not None:
            return f"{words} (on {seen.seen_at:%d %B}, not looked at since)"
        return words

    def _fits(self, seen: Observation, wanted: Seen) -> bool:
        return (
            (not wanted.region or seen.region in wanted.region)
            and (not wanted.kind or not seen.kinds or bool(seen.kinds & set(wanted.kind)))
            and (not wanted.kind_said or bool(seen.kinds & set(wanted.kind_said)))
            and (not wanted.grade or seen.grade in wanted.grade)
            and (wanted.side != "one" or self._one_sided(seen))
            and (wanted.from_ is None or _at_least_as_much(seen, wanted.from_))
            and (wanted.below is None or _less(seen, wanted.below))
            and (wanted.for_hours is None or self._lasted(seen, wanted.for_hours))
            and (not wanted.new or self._is_new(seen))
        )

    def _one_sided(self, seen: Observation) -> bool:
        if seen.side in ONE_SIDED:
            return True
        # A paired part whose side nobody said may be one-sided.
        return seen.side is Side.NOT_SAID and self.book.is_paired(seen.region)

    def _lasted(self, seen: Observation, hours: Decimal) -> bool:
        return seen.has_lasted(timedelta(hours=float(hours)), self.now)

    def _is_new(self, seen: Observation) -> bool:
        if not self.facts.checked_before:
            return True
        return not any(
            (was.region, was.finding) == (seen.region, seen.finding)
            and sides_agree(was.side, seen.side)
            for was in self._before
        )


def _both_sided(fitting: list[Observation], book: Knowledge) -> list[Observation]:
    held = [seen for seen in fitting if seen.side is Side.BOTH]
    for region in {seen.region for seen in fitting}:
        here = [seen for seen in fitting if seen.region == region]
        if {Side.LEFT, Side.RIGHT} <= {seen.side for seen in here}:
            held.extend(here)
        elif book.is_paired(region):
            held.extend(seen for seen in here if seen.side is Side.NOT_SAID)
    return held


def _points(fitting: list[Observation]) -> int:
    places = {(seen.region, seen.side) for seen in fitting}
    return sum(2 if side is Side.BOTH else 1 for _, side in places)


def _comparable(seen: Observation, amount: Amount) -> tuple[Decimal, Decimal] | None:
    if seen.value is None or seen.unit is None:
        return None
    if seen.unit == amount.unit:
        return seen.value, amount.value
    if seen.unit in GRAMS and amount.unit in GRAMS:
        return seen.value * GRAMS[seen.unit], amount.value * GRAMS[amount.unit]
    return None


def _at_least_as_much(seen: Observation, amount: Amount) -> bool:
    pair = _comparable(seen, amount)
    return pair is not None and pair[0] >= pair[1]


def _less(seen: Observation, amount: Amount) -> bool:
    pair = _comparable(seen, amount)
    return pair is not None and pair[0] < pair[1]
