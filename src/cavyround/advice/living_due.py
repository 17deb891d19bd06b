"""What breeding and living together put on today's list: day 21, days of birth, introductions."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from uuid import UUID

from cavyround.advice.book import book
from cavyround.advice.breeding import BreedingNow
from cavyround.advice.housing import house_now, introductions_now
from cavyround.engines.breeding import Expecting, State
from cavyround.engines.housing import parts_them
from cavyround.record.models.checks import CheckKind


@dataclass(frozen=True, slots=True, kw_only=True)
class LivingDue:
    """One thing due for an animal here, since a day."""

    animal: UUID
    words: str
    on: date
    kind: str


def living_due(now: datetime) -> Iterator[LivingDue]:
    """All of it."""
    breeding = BreedingNow(now)
    yield from _births(breeding, now)
    yield from _litters(breeding)
    yield from _introductions(breeding, now)


def _births(breeding: BreedingNow, now: datetime) -> Iterator[LivingDue]:
    for one in breeding.expecting:
        row = breeding.by_id[one.animal]
        told = _of_birth(one, breeding, now.date())
        if told is not None:
            words, on = told
            yield LivingDue(animal=row.pk, words=words, on=on, kind=CheckKind.RECHECK)


def _of_birth(one: Expecting, breeding: BreedingNow, today: date) -> tuple[str, date] | None:
    if one.state is State.WITH_BOAR:
        names = ", ".join(breeding.by_id[sire].name for sire in one.with_now)
        since = min((c.since for c in one.contacts if c.until is None and c.since), default=today)
        return f"part now from {names}: pups can come of it", since
    if one.history_unknown:
        return None
    if one.state is State.PAST_TERM and one.possible.last is not None:
        return "past the last day she should have given birth: ring the vet", one.possible.last
    if one.state is State.AT_RISK and any(days.open_start for days in one.conceived):
        return None  # the days are too wide to stand on the list; she is weighed every few days
    last = one.likely.last
    lead = int(book().number("gestation_mean_days")) - int(book().number("birth_watch_from_day"))
    words = f"may give birth from {one.likely.first:%d %B}"
    words += f" to {last:%d %B}" if last is not None else ""
    watched_from = one.likely.first - timedelta(days=lead)
    # Looked at every day from then on, and never overdue for not having given birth.
    return words, max(today, watched_from)


def _litters(breeding: BreedingNow) -> Iterator[LivingDue]:
    for litter in breeding.litters:
        for pup in litter.pups:
            row = breeding.by_id.get(pup.animal)
            if row is None or not row.is_here or pup.part_by is None:
                continue
            what = "out of the litter" if pup.sex == "boar" else "sex it, or part it from both,"
            words = f"{what} by {pup.part_by:%d %B}, day 21"
            kind = CheckKind.RECHECK
            yield LivingDue(
                animal=row.pk, words=words, on=pup.part_by - timedelta(days=1), kind=kind
            )


def _introductions(breeding: BreedingNow, now: datetime) -> Iterator[LivingDue]:
    for row, state in introductions_now(now):
        if row.outcomes.all():
            continue
        names = {str(one.animal_id): one.animal for one in row.members.all()}
        due = [day for day in state.days if day.is_due and day.not_weighed]
        # A meeting that the rules forbid is to be ended, not weighed through.
        parted = parts_them(house_now(now, breeding), list(names)) if due else ()
        for day in due[-1:]:
            for animal in day.not_weighed:
                others = ", ".join(n.name for key, n in names.items() if key != animal)
                words = f"weigh: day {day.day.day} of meeting {others}"
                if parted:
                    words = f"part from {others}: {parted[0].words}"
                kind = CheckKind.WEIGH_IN
                yield LivingDue(animal=names[animal].pk, words=words, on=day.on, kind=kind)
