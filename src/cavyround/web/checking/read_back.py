"""What was read in a carer's words, in the form the screen shows it: nothing of it is recorded.

Every item carries the touch that a thumb would have made for the same, and the words
it came from.
"""

from bisect import bisect_left
from collections.abc import Iterable, Sequence, Set
from dataclasses import replace
from decimal import Decimal
from typing import Any

from cavyround.engines.spoken import (
    ReadAnimal,
    ReadNote,
    RedFlag,
    SaidCare,
    SaidFinding,
    Span,
)
from cavyround.facts.observation import Side, Status
from cavyround.knowledge.book import Knowledge
from cavyround.web.checking.body_places import spots
from cavyround.web.checking.ringing import only_says_vet

NORMAL, WEIGHT, CHANGE = "normal", "weight", "weight_change"
# A unit that only a weight has; a finding is not measured in it.
WEIGHT_UNITS = frozenset({"g", "kg", "lb", "oz", "lb_oz"})
LONGEST_PRODUCT = 60
ASTRAL = 0xFFFF
Json = dict[str, Any]


def as_json(note: ReadNote, text: str, book: Knowledge) -> Json:
    """The whole reading; places in the text are counted as a browser counts them."""
    at = _Counter(text)
    return {
        "animals": [_animal(one, book, at) for one in note.animals],
        "words": [[*at(w.span), w.used, w.left_out] for w in note.words],
        "red_flags": [_flag(one, book, at) for one in note.red_flags],
        "heard_as": [[*at(span), meant] for span, meant in note.heard_as],
    }


class _Counter:
    """Counts a sign outside the first plane as two, as JavaScript does."""

    def __init__(self, text: str) -> None:
        self._wide = [i for i, sign in enumerate(text) if ord(sign) > ASTRAL]

    def __call__(self, span: Span) -> tuple[int, int]:
        return self._one(span.start), self._one(span.end)

    def _one(self, place: int) -> int:
        return place + bisect_left(self._wide, place)


def _animal(read: ReadAnimal, book: Knowledge, at: _Counter) -> Json:
    amiss = [one for one in read.findings if _is_amiss(one, book)]
    kept = (_beside(one, amiss) for one in read.findings)
    steps = {one.step for one in amiss}
    items = [_finding(one, book, at, steps) for one in kept if one is not None]
    items += [_care(one, at) for one in read.care]
    items += [_skipped(step) for step in read.steps_skipped]
    return {
        "name": read.name,
        "items": items,
        "says_blanket": read.blanket,
        "steps_blanket": list(read.steps_blanket),
        "asks": [
            {"kind": a.kind, "words": a.words, "spans": _spans(a.spans, at)} for a in read.asks
        ],
    }


def _is_amiss(said: SaidFinding, book: Knowledge) -> bool:
    """Whether something is said to be there, or perhaps, that is not as it should be."""
    numbers = (NORMAL, WEIGHT, CHANGE)
    there = said.status is not Status.ABSENT and said.finding not in numbers
    return there and not book.is_benign(said.finding)


def _beside(said: SaidFinding, amiss: Sequence[SaidFinding]) -> SaidFinding | None:
    """What stands of "as it should be" beside what is amiss at the same place.

    "Eyes fine, no, hang on, the left one weeps" leaves the right one fine; of a place without
    sides, or with both sides amiss, nothing.
    """
    sides = {one.side for one in amiss if one.region == said.region}
    if _what(said) != NORMAL or not sides or said.side in (Side.LEFT, Side.RIGHT, Side.ONE):
        return said
    if sides == {Side.LEFT}:
        return replace(said, side=Side.RIGHT)
    return replace(said, side=Side.LEFT) if sides == {Side.RIGHT} else None


def _finding(said: SaidFinding, book: Knowledge, at: _Counter, amiss: Set[str]) -> Json:
    return {
        "what": _what(said),
        "touch": _touch(said, book, amiss),
        "spans": _spans(said.spans, at),
        "sure": said.sure,
        "why": said.why_unsure,
        "spots": spots(said.region, said.side),
        "said": _number(said.value, said.unit),
        # A weight whose unit was not said has no grams yet.
        "unit_asked": said.finding == WEIGHT and said.grams is None,
    }


def _what(said: SaidFinding) -> str:
    if said.finding in (WEIGHT, CHANGE):
        return said.finding
    if said.finding == NORMAL and said.status is Status.PRESENT:
        return NORMAL
    return "finding"


def _touch(said: SaidFinding, book: Knowledge, amiss: Set[str]) -> Json | None:
    """The touch of the thumb; none for what is reckoned and not recorded, or lacks its grams.

    A step of ``amiss`` is not as it should be as a whole, though one of its places may be.
    """
    if said.finding == CHANGE:
        return None
    if said.finding == WEIGHT:
        return _weighed(said)
    # Of one side alone "as it should be" is a finding of that side: the other was not spoken of.
    whole = said.side not in (Side.LEFT, Side.RIGHT, Side.ONE)
    if _what(said) == NORMAL and whole and said.step and said.step not in amiss:
        return {"kind": "step_normal", "step": said.step}
    touch: Json = {
        "kind": "observation",
        "step": said.step,
        "region": said.region,
        "finding": said.finding,
        "side": str(said.side),
    }
    if said.status is not Status.PRESENT:
        touch["status"] = str(said.status)
    if said.grade is not None:
        touch["grade"] = str(said.grade)
    if kinds := sorted(said.kinds & set(book.vocabulary.kinds)):
        touch["kinds"] = kinds
    if isinstance(said.value, Decimal) and said.unit in set(book.vocabulary.units) - WEIGHT_UNITS:
        touch |= {"value": str(said.value), "unit": said.unit}
    return touch


def _weighed(said: SaidFinding) -> Json | None:
    if said.grams is None:
        return None
    return {
        "kind": "weight",
        "grams": f"{said.grams:f}",
        "as_typed": f"said {_number(said.value, said.unit)}"[:24],
    }


def _number(value: Decimal | str | None, unit: str | None) -> str:
    if value is None:
        return ""
    shown = f"{value:f}" if isinstance(value, Decimal) else value
    return shown if unit in (None, "lb_oz") else f"{shown} {unit}"


def _care(said: SaidCare, at: _Counter) -> Json:
    touch: Json = {"kind": "care", "care": said.care, "side": str(said.side), "status": said.status}
    if said.product:
        touch["product"] = said.product[:LONGEST_PRODUCT]
    number = _number(said.value, said.unit)
    if number:
        touch["detail"] = number if said.unit else f"{number}, no unit said"
    return {
        "what": "care",
        "touch": touch,
        "spans": _spans(said.spans, at),
        "sure": said.sure,
        "why": said.why_unsure,
        "spots": [],
        "said": number,
        # A number without its unit is asked for, never guessed.
        "unit_asked": bool(number) and said.unit is None,
    }


def _skipped(step: str) -> Json:
    return {
        "what": "skipped",
        "touch": {"kind": "step_skipped", "step": step, "why": "said to be left out"},
        "spans": [],
        "sure": True,
        "why": "",
        "spots": [],
        "said": "",
    }


def _flag(flag: RedFlag, book: Knowledge, at: _Counter) -> Json:
    rule = next((one for one in book.rules if one.id == flag.rule), None)
    return {
        "name": flag.animal,
        "rule": flag.rule,
        "region": flag.region,
        "finding": flag.finding,
        "says": flag.says,
        "uncertain": flag.uncertain,
        "do_now": [words for words in rule.do_now if not only_says_vet(words)] if rule else [],
        "do_not": list(rule.do_not) if rule else [],
        "spans": _spans(flag.spans, at),
    }


def _spans(spans: Iterable[Span], at: _Counter) -> list[list[int]]:
    return [list(at(span)) for span in sorted(spans, key=lambda one: one.start)]
