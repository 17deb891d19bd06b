"""Contacts treated together: who of a group is missing, and who is out of step.

What passes from animal to animal comes back from the one that was not treated.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, tzinfo

from cavyround.engines.courses.clock import day_of
from cavyround.engines.courses.due import due
from cavyround.engines.courses.ending import is_catching
from cavyround.engines.courses.slots import CourseDue, Phase
from cavyround.facts.courses import Course
from cavyround.knowledge.book import Knowledge

OVER = frozenset({Phase.STOPPED, Phase.FINISHED})


@dataclass(frozen=True, slots=True, kw_only=True)
class Treated:
    """One animal of the group: its course, the day its next dose is due, the last it was given."""

    animal: str
    course: str
    phase: Phase
    next_on: date | None
    last_given_on: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class TreatedTogether:
    """The animals treated by one order, and their contacts.

    ``missing`` are contacts without a running course against the same. ``out_of_step``
    are animals whose next dose lies on another day than that of most. ``must``: it is
    something that passes on, so a missing contact brings it back. ``around`` is what
    else is done on the day of a dose.
    """

    order: str
    what: str
    against: tuple[str, ...]
    members: tuple[Treated, ...]
    missing: tuple[str, ...]
    out_of_step: tuple[str, ...]
    must: bool
    around: tuple[str, ...] = ()

    @property
    def words(self) -> tuple[str, ...]:
        """What is not as it should be, without names; the page names the animals."""
        lines = []
        if self.missing and self.must:
            lines.append(
                f"{_animals(len(self.missing))} of the group not treated: ask the vet to treat "
                "all on the same day, or it comes back."
            )
        if self.out_of_step and self.must:
            lines.append(
                f"{_animals(len(self.out_of_step))} treated on another day than the others: "
                "ask the vet for one day."
            )
        return tuple(lines)


def _animals(count: int) -> str:
    return "1 animal is" if count == 1 else f"{count} animals are"


def treated_together(
    courses: Iterable[Course],
    contacts: Mapping[str, Collection[str]],
    *,
    now: datetime,
    zone: tzinfo,
    book: Knowledge,
    days_off: Collection[date] = (),
) -> tuple[TreatedTogether, ...]:
    """The running courses grouped by order, each with its animals' contacts.

    ``contacts`` names for each animal those that live with it; one that is treated by
    another order against the same is not missing.
    """
    standing = [due(one, now=now, zone=zone, book=book, days_off=days_off) for one in courses]
    running = [one for one in standing if one.phase not in OVER]
    by_order: dict[str, list[CourseDue]] = defaultdict(list)
    for one in running:
        by_order[one.course.order].append(one)
    return tuple(
        _group(order, members, running, contacts, zone, book)
        for order, members in sorted(by_order.items())
    )


def _group(
    order: str,
    members: list[CourseDue],
    running: list[CourseDue],
    contacts: Mapping[str, Collection[str]],
    zone: tzinfo,
    book: Knowledge,
) -> TreatedTogether:
    first = members[0].course
    inside = {one.course.animal for one in members}
    same = inside | {one.course.animal for one in running if _is_same(one.course, first)}
    met = {other for animal in inside for other in contacts.get(animal, ())}
    treated = tuple(sorted((_treated(one, zone) for one in members), key=lambda one: one.animal))
    return TreatedTogether(
        order=order,
        what=first.what,
        against=first.against,
        members=treated,
        missing=tuple(sorted(met - same)),
        out_of_step=_out_of_step(treated),
        must=any(is_catching(one.course, book) for one in members),
        around=_around(first, book),
    )


def _is_same(one: Course, other: Course) -> bool:
    """Whether both are against all the other is against."""
    return bool(other.against) and set(other.against) <= set(one.against)


def _treated(one: CourseDue, zone: tzinfo) -> Treated:
    given = [slot.given_at for slot in one.slots if slot.given_at is not None]
    return Treated(
        animal=one.course.animal,
        course=one.course.id,
        phase=one.phase,
        next_on=one.next.day if one.next is not None else None,
        last_given_on=day_of(max(given), zone) if given else None,
    )


def _out_of_step(treated: Iterable[Treated]) -> tuple[str, ...]:
    """The animals whose next dose is on another day than most; of two equal halves the later."""
    by_day: dict[date, list[str]] = defaultdict(list)
    for one in treated:
        if one.next_on is not None:
            by_day[one.next_on].append(one.animal)
    if len(by_day) <= 1:
        return ()
    most = max(by_day, key=lambda day: (len(by_day[day]), -day.toordinal()))
    return tuple(sorted(animal for day, names in by_day.items() if day != most for animal in names))


def _around(course: Course, book: Knowledge) -> tuple[str, ...]:
    lines = []
    for name in course.against:
        infection = book.infection(name)
        known = infection.course if infection is not None else None
        if known is not None and not known.around and known.like:
            other = book.infection(known.like)
            known = other.course if other is not None else None
        if known is not None and known.around:
            lines.append(known.around)
    return tuple(dict.fromkeys(lines))
