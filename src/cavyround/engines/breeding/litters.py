"""A litter: possible sires, who must be parted by when, the mother's risk, growth side by side."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from decimal import Decimal
from statistics import median

from cavyround.engines.breeding.contacts import contacts_of_all
from cavyround.engines.breeding.reasons import Reason, from_number, to_do
from cavyround.engines.breeding.sexing import sex_of
from cavyround.engines.breeding.window import Window
from cavyround.facts.animal import Sex, Weighing
from cavyround.facts.breeding import Breeder, LitterFacts
from cavyround.facts.stays import Stay
from cavyround.knowledge.book import Knowledge

AT_LEAST_TWO = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class PupState:
    """One pup: its sex as it counts, when it must be out, its weight beside its litter mates.

    ``part_by`` None: it may stay. ``beside_pct`` is how far it is above (or below, negative)
    the middle of the others on the same day; None where fewer than two were weighed.
    """

    animal: str
    sex: Sex
    part_by: date | None
    part_why: tuple[Reason, ...]
    with_dam: bool
    last: Weighing | None
    beside_pct: Decimal | None
    behind: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LitterState:
    """One litter as it stands."""

    litter: LitterFacts
    age_days: int
    sires: tuple[str, ...]
    sire_told: bool
    pups: tuple[PupState, ...]
    part_by: date
    part_now: tuple[str, ...]
    unsexed: tuple[str, ...]
    unnamed: int
    mother_emergency: Window
    do: tuple[Reason, ...]


def litter_state(
    litter: LitterFacts,
    animals: Mapping[str, Breeder],
    stays: Sequence[Stay],
    *,
    now: datetime,
    zone: tzinfo,
    book: Knowledge,
    meetings: Sequence[Stay] = (),
) -> LitterState:
    """Everything about one litter; pups that are not among ``animals`` are left out."""
    today = now.astimezone(zone).date()
    part_by = litter.born_on + timedelta(days=int(book.number("part_sexes_days")))
    where = {stay.animal: stay.pen for stay in stays if stay.holds_at(now)}
    known = [animals[pup] for pup in litter.pups if pup in animals]
    pups = tuple(_pup(pup, litter, known, where, part_by, book) for pup in known)
    sires, told = _sires(litter, animals, (stays, meetings), now, zone, book)
    after = timedelta(days=int(book.number("after_birth_watch_days")))
    unsexed = tuple(pup.animal for pup in pups if pup.sex is Sex.UNKNOWN)
    part_now = tuple(p.animal for p in pups if p.part_by is not None and p.part_by <= today)
    return LitterState(
        litter=litter,
        age_days=(today - litter.born_on).days,
        sires=sires,
        sire_told=told,
        pups=pups,
        part_by=part_by,
        part_now=part_now,
        unsexed=unsexed,
        unnamed=max(0, (litter.born_alive or 0) - len(known)),
        mother_emergency=Window(first=litter.born_on, last=litter.born_on + after),
        do=tuple(_do(pups, unsexed, today, litter, book)),
    )


def _sires(
    litter: LitterFacts,
    animals: Mapping[str, Breeder],
    where: tuple[Sequence[Stay], Sequence[Stay]],
    now: datetime,
    zone: tzinfo,
    book: Knowledge,
) -> tuple[tuple[str, ...], bool]:
    """Whom she met between the longest and the shortest gestation before the birth."""
    span = book.span("gestation_days")
    first = litter.born_on - timedelta(days=int(span.high))
    last = litter.born_on - timedelta(days=int(span.low))
    stays, meetings = where
    met = contacts_of_all(
        list(animals.values()), stays, now=now, zone=zone, book=book, meetings=meetings
    )
    found = [
        one
        for one in met.get(litter.dam, ())
        if (one.since is None or one.since <= last) and (one.until is None or one.until >= first)
    ]
    dam = animals.get(litter.dam)
    came = dam.first_seen_on if dam is not None else None
    unseen = came is not None and came > first
    if dam is not None:
        unseen = unseen or any(
            one.until >= first and (one.since is None or one.since <= last) for one in dam.away
        )
    return tuple(one.sire for one in found if one.sire), unseen or any(not c.sire for c in found)


def _pup(
    pup: Breeder,
    litter: LitterFacts,
    known: Sequence[Breeder],
    where: Mapping[str, str],
    part_by: date,
    book: Knowledge,
) -> PupState:
    sex = sex_of(pup).sex
    family = [litter.dam, *(one.id for one in known if one.id != pup.id and _parts(one, sex))]
    pen = where.get(pup.id)
    shares = pen is not None and any(where.get(other) == pen for other in family)
    day, why = _part_day(pup, part_by, book)
    beside = beside_litter(pup, known, book)
    limit = book.number("pup_behind_litter_pct")
    sound = [one for one in pup.weighings if not one.doubted]
    parted = sex is Sex.SOW or not shares
    return PupState(
        animal=pup.id,
        sex=sex,
        part_by=None if parted else day,
        part_why=() if parted else why,
        with_dam=pen is not None and where.get(litter.dam) == pen,
        last=sound[-1] if sound else None,
        beside_pct=beside,
        behind=beside is not None and beside <= -limit,
    )


def _parts(one: Breeder, sex: Sex) -> bool:
    """Whether a boar, or one that may be, of the litter must leave this litter mate too."""
    other = sex_of(one).sex
    return other is not Sex.BOAR or sex is Sex.UNKNOWN


def _part_day(pup: Breeder, by_age: date, book: Knowledge) -> tuple[date, tuple[Reason, ...]]:
    """Day 21, or the day it was weighed at 250 g or more if that came first."""
    days, grams = book.number("part_sexes_days"), book.number("part_sexes_g")
    reasons = [from_number(book, "part_sexes_days", f"{days} days old on {by_age:%d %B}")]
    heavy = [w.at.date() for w in pup.weighings if not w.doubted and w.grams >= grams]
    if heavy and min(heavy) < by_age:
        words = f"{grams} g or more on {min(heavy):%d %B}"
        return min(heavy), (from_number(book, "part_sexes_g", words), *reasons)
    return by_age, tuple(reasons)


def beside_litter(pup: Breeder, mates: Iterable[Breeder], book: Knowledge) -> Decimal | None:
    """How far a pup's last weight lies from the middle of its litter mates', in per cent.

    Only weighings at about the same time are compared; at least two others are needed.
    """
    sound = [one for one in pup.weighings if not one.doubted]
    if not sound:
        return None
    last = sound[-1]
    apart = timedelta(hours=int(book.number("litter_weights_apart_hours")))
    others = []
    for mate in mates:
        near = [w for w in mate.weighings if not w.doubted and abs(w.at - last.at) <= apart]
        if mate.id != pup.id and near:
            others.append(min(near, key=lambda w: abs(w.at - last.at)).grams)
    if len(others) < AT_LEAST_TWO:
        return None
    middle = median(others)
    return (last.grams - middle) / middle * 100


def _do(
    pups: Sequence[PupState],
    unsexed: Sequence[str],
    today: date,
    litter: LitterFacts,
    book: Knowledge,
) -> Iterable[Reason]:
    if any(pup.part_by is not None for pup in pups):
        yield to_do(book, "boars_out")
    if unsexed:
        yield to_do(book, "sex_pups")
    if (today - litter.born_on).days <= int(book.number("after_birth_watch_days")):
        yield to_do(book, "sick_emergency")
    if any(pup.behind for pup in pups):
        yield to_do(book, "pup_behind")
    yield to_do(book, "mother_again")
