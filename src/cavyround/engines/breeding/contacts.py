"""Who was with whom when it could have led to pups: stays in one pen, cut to fertile days."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta, tzinfo
from itertools import combinations

from cavyround.engines.breeding.fertile import Fertile, as_dam, as_sire
from cavyround.facts.breeding import Breeder, MetBefore
from cavyround.facts.stays import Stay
from cavyround.knowledge.book import Knowledge

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Days on which a sow was with one that may sire. ``until`` None: they still are together.

    ``sire`` is empty and ``since`` None for company that was only told of.
    """

    dam: str
    sire: str
    since: date | None
    until: date | None
    why: str
    pen: str = ""

    def last_day(self, today: date) -> date:
        """The last day they were together."""
        return today if self.until is None else self.until


def contacts_of_all(
    animals: Sequence[Breeder],
    stays: Iterable[Stay],
    *,
    now: datetime,
    zone: tzinfo,
    book: Knowledge,
    meetings: Iterable[Stay] = (),
) -> Mapping[str, tuple[Contact, ...]]:
    """For each animal that may conceive, all contacts with those that may sire.

    A stay that ends before it begins counts for both its days: a slip hides no risk.
    ``meetings`` are times outside a pen, in a run or while they are introduced, as stays at
    that place: they count where two were there at the same moment, not on the same day.
    """
    sires = {one.id: known for one in animals if (known := as_sire(one, book)) is not None}
    dams = {one.id: known for one in animals if (known := as_dam(one, book)) is not None}
    by_pen: dict[str, list[_Days]] = defaultdict(list)
    today = now.astimezone(zone).date()
    for stay in stays:
        if not stay.pen:  # nobody knows whom it met: a fault that is shown, and no contact
            continue
        by_pen[stay.pen].append(_days(stay, now, zone))
    found: dict[str, list[Contact]] = defaultdict(list)
    for pen, inside in by_pen.items():
        for dam in (one for one in inside if one.animal in dams):
            for sire in (one for one in inside if one.animal in sires):
                contact = _met(dam, sire, dams[dam.animal], sires[sire.animal], pen, today)
                if contact is not None:
                    found[dam.animal].append(contact)
    for contact in _outside(meetings, dams, sires, now, zone):
        found[contact.dam].append(contact)
    for animal in animals:
        if animal.id in dams:
            found[animal.id] += _told(animal)
    return {animal: tuple(_joined(contacts)) for animal, contacts in found.items() if contacts}


def _outside(
    meetings: Iterable[Stay],
    dams: Mapping[str, Fertile],
    sires: Mapping[str, Fertile],
    now: datetime,
    zone: tzinfo,
) -> Iterator[Contact]:
    """The contacts outside pens, each with where it was."""
    today = now.astimezone(zone).date()
    for place, one, other in _met_outside(meetings):
        for she, he in ((one, other), (other, one)):
            if she.animal not in dams or he.animal not in sires:
                continue
            days = _days(she, now, zone), _days(he, now, zone)
            contact = _met(*days, dams[she.animal], sires[he.animal], place, today)
            if contact is not None:
                yield replace(contact, why=f"{contact.why}; {place}")


def _met_outside(meetings: Iterable[Stay]) -> Iterator[tuple[str, Stay, Stay]]:
    """Each two that were at one place at the same moment, with that time and no more."""
    by_place: dict[str, list[Stay]] = defaultdict(list)
    for one in meetings:
        by_place[one.pen].append(_forwards(one))
    for place, inside in by_place.items():
        for one, other in combinations(inside, 2):
            both = one.shared(other)
            if both is not None and one.animal != other.animal:
                began, ended = both
                yield (
                    place,
                    replace(one, began_at=began, ended_at=ended),
                    replace(other, began_at=began, ended_at=ended),
                )


def _forwards(stay: Stay) -> Stay:
    if not stay.runs_backwards or stay.ended_at is None:
        return stay
    return replace(stay, began_at=stay.ended_at, ended_at=stay.began_at)


@dataclass(frozen=True, slots=True)
class _Days:
    animal: str
    first: date
    last: date | None


def _days(stay: Stay, now: datetime, zone: tzinfo) -> _Days:
    first = stay.began_at.astimezone(zone).date()
    ended = stay.ended_at
    if ended is None or ended > now:
        return _Days(stay.animal, first, None)
    last = ended.astimezone(zone).date()
    return _Days(stay.animal, min(first, last), max(first, last))


def _met(
    dam: _Days, sire: _Days, she: Fertile, he: Fertile, pen: str, today: date
) -> Contact | None:
    if dam.animal == sire.animal:
        return None
    starts = [dam.first, sire.first, *(day for day in (she.since, he.since) if day is not None)]
    since = max(starts)
    ends = [day for day in (dam.last, sire.last) if day is not None]
    if he.until is not None and he.until <= today:
        ends.append(he.until - ONE_DAY)
    until = min(ends) if ends else None
    if since > today or (until is not None and until < since):
        return None
    return Contact(dam=dam.animal, sire=sire.animal, since=since, until=until, why=he.why, pen=pen)


def _told(animal: Breeder) -> Iterator[Contact]:
    for met in animal.met:
        yield Contact(
            dam=animal.id,
            sire="",
            since=met.since,
            until=met.until,
            why=_as_told(met),
        )


def _as_told(met: MetBefore) -> str:
    """What somebody told, with its day: it speaks of that day and not of today."""
    if not met.note:
        return "lived with the other sex, as told"
    return f"said on {met.until.day} {met.until:%B %Y}: “{met.note}”"


def _joined(contacts: Iterable[Contact]) -> Iterator[Contact]:
    """Contacts of one pair that touch become one."""
    by_sire: dict[str, list[Contact]] = defaultdict(list)
    for contact in contacts:
        by_sire[contact.sire].append(contact)
    for sire in sorted(by_sire):
        own = sorted(by_sire[sire], key=lambda one: (one.since or date.min, one.pen))
        held = own[0]
        for contact in own[1:]:
            if sire and _touch(held, contact):
                held = _both(held, contact)
            else:
                yield held
                held = contact
        yield held


def _touch(one: Contact, other: Contact) -> bool:
    if one.until is None or other.since is None:
        return True
    return other.since <= one.until + ONE_DAY


def _both(one: Contact, other: Contact) -> Contact:
    until = None if one.until is None or other.until is None else max(one.until, other.until)
    return Contact(
        dam=one.dam, sire=one.sire, since=one.since, until=until, why=one.why, pen=other.pen
    )
