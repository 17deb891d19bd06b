"""How a course ends: with all doses done it is looked at again, and only clear is finished."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo

from cavyround.engines.courses.clock import day_of
from cavyround.engines.courses.slots import LookAgain, Phase, Slot, State
from cavyround.facts.courses import Course, LookedAgain
from cavyround.facts.lengths import Unit
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.courses import LooksAfter

LOOK_FOR_SIGNS = "Look whether what it was given for is gone."
NOTHING_WENT_IN = "no dose of this course went in: ask the vet"


@dataclass(frozen=True, slots=True)
class Ended:
    """How a course stands once no dose is waiting."""

    phase: Phase
    look_again: LookAgain | None = None
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Looks:
    """The looks a course ends with: days after the last dose, what for, and the sources."""

    on_days: tuple[int, ...]
    words: str
    sources: tuple[str, ...]


def ended(course: Course, slots: list[Slot], *, zone: tzinfo, book: Knowledge) -> Ended:
    """How a course stands after its last dose: to be looked at, not clear, or finished.

    A course against something catching, and every course of medicine, is finished only
    when it was looked at again as often as the knowledge asks, and was clear each time.
    """
    if slots and (slots[-1].is_waiting or slots[-1].state is State.STOPPED):
        stopped = slots[-1].state is State.STOPPED
        return Ended(Phase.STOPPED if stopped else Phase.RUNNING)
    if not (course.is_medicine or course.against):
        return Ended(Phase.FINISHED)
    last = max((one.at for one in course.tries if one.went_in), default=None)
    if last is None:
        return Ended(Phase.NOT_CLEAR, doubts=(NOTHING_WENT_IN,))
    return _after(last, course, zone, book)


def looks_of(course: Course, book: Knowledge) -> LooksAfter | None:
    """The looks asked for by what the course is against: the days of those that end last."""
    known = [looks for name in course.against if (looks := _looks_after(name, book))]
    if not known:
        return None
    longest = max(known, key=lambda looks: looks.on_days[-1])
    words = " ".join(dict.fromkeys(looks.words for looks in known))
    sources = tuple(dict.fromkeys(key for looks in known for key in looks.sources))
    return longest.model_copy(update={"words": words, "sources": sources})


def _looks_after(name: str, book: Knowledge) -> LooksAfter | None:
    infection = book.infection(name)
    if infection is None or infection.course is None:
        return None
    if infection.course.looks_after is None and infection.course.like:
        return _looks_after(infection.course.like, book)
    return infection.course.looks_after


def _looks(course: Course, book: Knowledge) -> _Looks:
    """The order's own time to look again, but never sooner than something catching asks for."""
    known = looks_of(course, book)
    ordered = _days(course)
    if known is not None:
        on_days = [*known.on_days[:-1], max(known.on_days[-1], ordered or 0)]
        return _Looks(tuple(on_days), known.words, known.sources)
    key = "course_look_again_days" if is_catching(course, book) else "course_recheck_days"
    if ordered is not None:
        return _Looks((ordered,), LOOK_FOR_SIGNS, ())
    return _Looks((int(book.number(key)),), LOOK_FOR_SIGNS, book.thresholds[key].sources)


def is_catching(course: Course, book: Knowledge) -> bool:
    """Whether any of what it is against passes to other animals; one not known may."""
    infections = [book.infection(name) for name in course.against]
    return any(one is None or one.catching.animals != "no" for one in infections)


def _days(course: Course) -> int | None:
    if course.recheck is None:
        return None
    in_days = course.recheck.unit is Unit.DAYS
    return course.recheck.amount if in_days else -(-course.recheck.amount // 24)


def _after(last: datetime, course: Course, zone: tzinfo, book: Knowledge) -> Ended:
    looks = _looks(course, book)
    made = sorted((one for one in course.looked_again if one.at > last), key=lambda one: one.at)
    if made and made[-1].clear is False:
        return Ended(Phase.NOT_CLEAR, _next_look(looks, day_of(last, zone), (), zone))
    counted = _since_last_doubt(made)
    next_look = _next_look(looks, day_of(last, zone), counted, zone)
    if next_look is None:
        return Ended(Phase.FINISHED)
    return Ended(Phase.TO_LOOK_AGAIN, next_look)


def _since_last_doubt(made: list[LookedAgain]) -> tuple[LookedAgain, ...]:
    """The clear looks after the last one that was not: all are needed in a row."""
    row: list[LookedAgain] = []
    for one in made:
        row = [*row, one] if one.clear else []
    return tuple(row)


def _next_look(
    looks: _Looks, last: date, row: tuple[LookedAgain, ...], zone: tzinfo
) -> LookAgain | None:
    """The look still owed, or None when all were made on or after their days."""
    which, due_on, before = 0, last + timedelta(days=looks.on_days[0]), 0
    for one in row:
        day = day_of(one.at, zone)
        if which < len(looks.on_days) and day >= due_on:
            before = looks.on_days[which]
            which += 1
            if which < len(looks.on_days):
                apart = timedelta(days=looks.on_days[which] - before)
                due_on = max(last + timedelta(days=looks.on_days[which]), day + apart)
    if which >= len(looks.on_days):
        return None
    return LookAgain(
        on=due_on,
        which=which + 1,
        of=len(looks.on_days),
        words=looks.words,
        sources=looks.sources,
    )
