"""The steps of a book made ready: each condition asked once, each step put into words once.

The animals of a round differ in few answers. So the conditions of all steps, holds and kit
are numbered and asked of an animal together, and a step is written once for every way its
own conditions come out.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from cavyround.engines.check.plan import PlannedStep
from cavyround.engines.conditions import Matcher
from cavyround.engines.conditions.triggers import ByTrigger, OncePerBook
from cavyround.facts.animal import Sex
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.conditions import Condition
from cavyround.knowledge.steps import KitItem, MattersMore, NotFor, Step

W = TypeVar("W")
# Conditions as a set of bits: those that hold for an animal, or those something asks for.
Bits = int
Reasons = tuple[tuple[Bits, NotFor], ...]


@dataclass(frozen=True, slots=True)
class _Readied:
    """A step with the bit of each of its conditions, and the bits of all of them."""

    step: Step
    fits: Bits
    not_for: Reasons
    matters_more: tuple[tuple[Bits, MattersMore], ...]
    asks: Bits


class Table:
    """What a book says of steps, holds and kit, with every condition numbered."""

    def __init__(self, book: Knowledge) -> None:
        """Number the conditions; equal ones are one."""
        self._numbered: dict[Condition, Bits] = {}
        readied = [self._ready(step) for step in book.steps]
        self._steps = {
            hold.code: [one for one in readied if one.step.hold == hold.code] for hold in book.holds
        }
        self._not_now = {hold.code: self._reasons(hold.not_for) for hold in book.holds}
        self._kit = [(self._bit(item.when), item) for item in book.kit.values()]
        self._index = ByTrigger(
            (((condition, bit), condition) for condition, bit in self._numbered.items()), book
        )
        self._written: dict[tuple[str, Sex, Bits], PlannedStep] = {}

    def held(self, matcher: Matcher) -> Bits:
        """Which of the conditions hold for an animal."""
        held = 0
        for condition, bit in self._index.candidates(matcher.active):
            if matcher.holds(condition) is not None:
                held |= bit
        return held

    def steps(self, hold: str, sex: Sex, held: Bits) -> Iterator[PlannedStep]:
        """The steps of a hold that fit an animal, without what is known of itself alone."""
        for one in self._steps[hold]:
            if one.fits & held == one.fits:
                yield self._step(one, sex, held & one.asks)

    def not_now(self, hold: str, held: Bits) -> str:
        """Why a hold is not used today; nothing where it is."""
        return _first(self._not_now[hold], held)

    def kit(self, steps: frozenset[str], held: Bits) -> Iterator[KitItem]:
        """What lies ready for these steps."""
        for when, item in self._kit:
            serves = not item.for_steps or not steps.isdisjoint(item.for_steps)
            if serves and (item.always or when & held):
                yield item

    def _bit(self, condition: Condition | None) -> Bits:
        if condition is None:
            return 0
        return self._numbered.setdefault(condition, 1 << len(self._numbered))

    def _reasons(self, reasons: Iterable[NotFor]) -> Reasons:
        return tuple((self._bit(reason.when), reason) for reason in reasons)

    def _ready(self, step: Step) -> _Readied:
        fits = self._bit(step.fits)
        not_for = self._reasons(step.not_for)
        matters_more = tuple((self._bit(more.when), more) for more in step.matters_more)
        asks = fits
        for bit, _ in (*not_for, *matters_more):
            asks |= bit
        return _Readied(step, fits, not_for, matters_more, asks)

    def _step(self, one: _Readied, sex: Sex, held: Bits) -> PlannedStep:
        key = (one.step.code, sex, held)
        known = self._written.get(key)
        if known is None:
            known = self._written[key] = _write(one, sex, held)
        return known


table_of = OncePerBook(Table)


def _first(reasons: Reasons, held: Bits) -> str:
    return next((reason.words for bit, reason in reasons if bit & held), "")


def _write(one: _Readied, sex: Sex, held: Bits) -> PlannedStep:
    step = one.step
    holding = [more for bit, more in one.matters_more if bit & held]
    return PlannedStep(
        code=step.code,
        words=_of_sex(sex, step.words_for, step.words),
        normal=_of_sex(sex, step.normal_for, step.normal),
        why_more=tuple(more.words for more in holding if _is_said_first(more)),
        why_also=tuple(more.words for more in holding if not _is_said_first(more)),
        left_out=_first(one.not_for, held),
    )


def _of_sex(sex: Sex, by_sex: Mapping[Any, W], for_both: W) -> W:
    return by_sex.get(sex, for_both)


def _is_said_first(more: MattersMore) -> bool:
    """What rests on more than age and sex is news; of the rest only the foremost is said."""
    animal = more.when.animal
    by_age_and_sex = animal is not None and not (
        animal.place or animal.coat or animal.pregnant or animal.pregnant_known
    )
    return more.foremost or not by_age_and_sex
