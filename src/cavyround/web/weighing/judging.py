"""Which weights of a text are doubted, each against what was known before its day."""

import logging
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.weights import norms
from cavyround.engines.weight import doubt_of, read_days
from cavyround.engines.weight.said import Expected
from cavyround.facts.animal import AnimalFacts, Weighing
from cavyround.record.models import Animal
from cavyround.record.weighings import weight_facts
from cavyround.web.weighing.reading import Line, State

log = logging.getLogger(__name__)


def with_doubts(lines: Sequence[Line], now: datetime) -> list[Line]:
    """The lines, those doubted that are far from what was to be expected then.

    The other lines of the text count as known before, so that a whole history can be read.
    """
    new = [line for line in lines if line.state is State.NEW and not line.left_out]
    expected = _expected({line.animal.pk: line.animal for line in new if line.animal}, new, now)
    return [_doubted(line, new, expected) if line in new else line for line in lines]


def _expected(
    animals: Mapping[object, Animal], new: Sequence[Line], now: datetime
) -> dict[str, Expected]:
    """What each line should have shown, by its key."""
    facts = weight_facts(list(animals.values()), now, looked_at=None)
    herd = [replace(one, weighings=(*one.weighings, *_of(one, new))) for one in facts]
    try:
        return dict(_each(herd))
    except Exception:
        log.exception("The weights of a text cannot be judged together")
    found: dict[str, Expected] = {}
    for one in herd:
        try:
            found |= dict(_each([one]))
        except Exception:
            log.exception("The weights of %s cannot be judged", one.id)
    return found


def _of(facts: AnimalFacts, new: Iterable[Line]) -> Iterable[Weighing]:
    return (
        Weighing(at=timezone.localtime(line.moment), grams=line.grams, id=line.key)
        for line in new
        if line.animal and str(line.animal.pk) == facts.id and line.moment and line.grams
    )


def _each(herd: Sequence[AnimalFacts]) -> Iterable[tuple[str, Expected]]:
    for _, weighings in read_days(herd, book=book(), norms=norms()):
        for one in weighings:
            if one.id is not None and one.expected is not None:
                yield one.id, one.expected


def _doubted(line: Line, new: Sequence[Line], expected: Mapping[str, Expected]) -> Line:
    own = expected.get(line.key)
    if own is None or line.grams is None:
        return line
    mates = {other.key: other for other in new if _is_mate(other, line) and other.key in expected}
    doubt = doubt_of(
        line.grams,
        own,
        {key: expected[key] for key in mates},
        book=book(),
        names={key: str(other.animal) for key, other in mates.items()},
    )
    return replace(line, state=State.DOUBTED, doubt=doubt) if doubt else line


def _is_mate(other: Line, line: Line) -> bool:
    """Whether two lines are of pen-mates on one day, whose weights may have changed places."""
    if other.animal is None or line.animal is None or other.animal == line.animal:
        return False
    return other.on == line.on and other.animal.pen_id == line.animal.pen_id is not None
