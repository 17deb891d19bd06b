"""Who is in quarantine, and where each clock stands."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.latest import latest_advice
from cavyround.advice.outbreaks_today import last_contacts
from cavyround.advice.quarantine_looks import looked_over, treatments
from cavyround.engines.contagion.newcomers import met_since
from cavyround.engines.contagion.quarantine import (
    Began,
    Clock,
    HowLong,
    InQuarantine,
    Restart,
    clock_of,
    how_long,
)
from cavyround.facts.stays import Stay
from cavyround.record.models import (
    AdviceGiven,
    Animal,
    Arrival,
    FollowUp,
    Observed,
    Pen,
    PenKind,
    QuarantineEnd,
    QuarantineSet,
)
from cavyround.record.stays import stays_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Quarantined:
    """One animal in quarantine: its clock, how long and why, and what was set for it."""

    animal: Animal
    clock: Clock
    proposed: HowLong
    set_by: QuarantineSet | None
    since: date


@dataclass(frozen=True, slots=True)
class _Spell:
    """A quarantine that is under way: from when, and as it was set, if anybody set it."""

    animal: Animal
    since: datetime
    set_by: QuarantineSet | None


def in_quarantine(now: datetime) -> list[Quarantined]:
    """Everybody here in a pen of quarantine, or whose quarantine was set and did not end."""
    spells = _spells()
    ids = [spell.animal.pk for spell in spells]
    if not ids:
        return []
    asked = _Asked(now, spells)
    return sorted(
        (asked.told(spell) for spell in spells),
        key=lambda one: (one.clock.ends_on, one.animal.name),
    )


def quarantine_of(animal: Animal, now: datetime) -> Quarantined | None:
    """The quarantine of one animal; None where it is in none."""
    return next((one for one in in_quarantine(now) if one.animal.pk == animal.pk), None)


def _spells() -> list[_Spell]:
    here = Animal.objects.filter(left_on=None).select_related("pen__room", "face")
    last_set: dict[UUID, QuarantineSet] = {}
    for row in QuarantineSet.objects.filter(animal__left_on=None).order_by("made_at", "id"):
        last_set[row.animal_id] = row
    last_end: dict[UUID, QuarantineEnd] = {}
    for end in QuarantineEnd.objects.filter(animal__left_on=None).order_by("made_at", "id"):
        last_end[end.animal_id] = end
    standing = here.filter(pk__in=last_set) | here.filter(pen__kind=PenKind.QUARANTINE)
    animals = {animal.pk: animal for animal in standing}
    kinds = dict(Pen.objects.values_list("pk", "kind"))
    stays: dict[UUID, list[Stay]] = defaultdict(list)
    for stay in stays_of(set(animals)):
        stays[UUID(stay.animal)].append(stay)
    found = []
    for key, animal in animals.items():
        ended, said = last_end.get(key), last_set.get(key)
        if said is not None and ended is not None and ended.made_at >= said.made_at:
            said = None
        since = _entered(stays[key], kinds)
        if said is not None:
            midnight = timezone.make_aware(datetime.combine(said.began_on, datetime.min.time()))
            found.append(_Spell(animal, midnight, said))
        elif since is not None and (ended is None or ended.made_at < since):
            found.append(_Spell(animal, since, None))
    return found


def _entered(stays: Sequence[Stay], kinds: Mapping[int, str]) -> datetime | None:
    """When it came into quarantine for the last time; None where it stands elsewhere."""
    since = None
    for stay in sorted(stays, key=lambda one: one.began_at):
        kind = kinds.get(int(stay.pen)) if stay.pen else None
        if kind != PenKind.QUARANTINE:
            since = None
        elif since is None:
            since = stay.began_at
    return since


class _Asked:
    """What is asked of all in quarantine at once."""

    def __init__(self, now: datetime, spells: Sequence[_Spell]) -> None:
        self.now, self.today = now, timezone.localdate(now)
        ids = [spell.animal.pk for spell in spells]
        first = min(spell.since for spell in spells)
        animals = Animal.objects.filter(pk__in=ids)
        there = Animal.objects.filter(left_on=None) | Animal.objects.filter(
            left_on__gte=timezone.localdate(first)
        )
        self.names = {str(pk): name for pk, name in there.values_list("pk", "name")}
        self.stays = stays_of({UUID(key) for key in self.names})
        self.advice = latest_advice(animals)
        self.contacts = last_contacts(now)
        self.checks = looked_over(ids, first)
        self.isolating: dict[UUID, list[datetime]] = defaultdict(list)
        told = AdviceGiven.objects.filter(animal__in=ids, isolate=True, made_at__gte=first)
        for animal, at in told.order_by("made_at").values_list("animal", "made_at"):
            self.isolating[animal].append(at)
        self.overdue: dict[UUID, int] = defaultdict(int)
        promises = FollowUp.objects.filter(animal__in=ids, outcomes=None, due_at__lt=now)
        for animal in promises.order_by().values_list("animal", flat=True):
            self.overdue[animal] += 1
        self.arrivals = {
            row.animal_id: row
            for row in Arrival.objects.filter(animal__in=ids).order_by("made_at", "id")
        }
        itchy = Observed.objects.filter(
            animal__in=ids, at__gte=first, finding__in=book().contagion.skin.itchy
        ).exclude(status="absent")
        self.itchy = set(itchy.values_list("animal", flat=True))
        self.treated = treatments(ids, now)

    def told(self, spell: _Spell) -> Quarantined:
        proposed = self._proposed(spell)
        needs = {one.code: one.days for one in book().contagion.quarantine_ends}
        said = spell.set_by
        facts = InQuarantine(
            animal=str(spell.animal.pk),
            began=tuple(self._began(spell)),
            days=said.days if said else proposed.days,
            second_look_days=said.second_look_days if said else needs["second_skin_look"] or 0,
            last_check_days=said.last_check_days if said else needs["last_check"] or 0,
            checks=tuple(
                one
                for one in self.checks.get(spell.animal.pk, ())
                if one.on >= timezone.localdate(spell.since)
            ),
            keep_apart=self._keep_apart(spell),
            overdue=self.overdue[spell.animal.pk],
            treatments=tuple(self.treated.get(spell.animal.pk, ())),
        )
        return Quarantined(
            animal=spell.animal,
            clock=clock_of(facts, today=self.today, book=book()),
            proposed=proposed,
            set_by=said,
            since=timezone.localdate(spell.since),
        )

    def _keep_apart(self, spell: _Spell) -> bool | None:
        given = self.advice.get(spell.animal.pk)
        return None if given is None else given.isolate

    def _proposed(self, spell: _Spell) -> HowLong:
        """By what it may have; else the longer time for itchy ones and unknown sources."""
        if spell.set_by is not None and spell.set_by.suspected:
            kind = book().contagion.kind(spell.set_by.suspected)
            if kind is not None:
                return how_long(kind.quarantine, book())
        arrival = self.arrivals.get(spell.animal.pk)
        unknown = arrival is None or arrival.how == "found" or not arrival.came_from
        longer = unknown or spell.animal.pk in self.itchy
        return how_long("unknown_source" if longer else "new_arrival", book())

    def _began(self, spell: _Spell) -> list[Began]:
        since, key = spell.since, str(spell.animal.pk)
        words = spell.set_by.why if spell.set_by else "came into quarantine"
        days = [Began(on=timezone.localdate(since), why=Restart.CAME, words=words)]
        air = spell.set_by.air_counts if spell.set_by else True
        for met in met_since(key, self.stays, since, air_counts=air):
            if met.at > self.now:
                continue
            where = "its pen" if met.how is Restart.NEWCOMER_PEN else "the air of its room"
            who = self.names.get(met.other, "another")
            days.append(
                Began(on=timezone.localdate(met.at), why=met.how, words=f"{who} came into {where}")
            )
        for at in self.isolating[spell.animal.pk]:
            if at > since:
                words = "a check found something that may be catching"
                days.append(Began(on=timezone.localdate(at), why=Restart.NEW_SIGN, words=words))
        contact = self.contacts.get(key)
        if contact is not None and contact[0] > since:
            words = f"last contact with a case of {contact[1]}"
            on = timezone.localdate(contact[0])
            days.append(Began(on=on, why=Restart.CONTACT, words=words))
        return days
