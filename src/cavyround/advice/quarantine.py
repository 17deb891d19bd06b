"""Who is in quarantine, and where each clock stands."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from uuid import UUID

from django.db.models import Q
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.latest import latest_advice
from cavyround.advice.outbreaks_today import last_contacts
from cavyround.advice.quarantine_looks import looked_over, treatments
from cavyround.advice.quarantine_spells import Spell, Spells, spells_now
from cavyround.engines.contagion.newcomers import Meetings, Met
from cavyround.engines.contagion.quarantine import (
    Began,
    Clock,
    HowLong,
    InQuarantine,
    Restart,
    clock_of,
    how_long,
)
from cavyround.engines.contagion.together import Beside, held_by
from cavyround.facts.places import PenKind
from cavyround.record.models import AdviceGiven, Animal, FollowUp, Observed, QuarantineSet
from cavyround.record.models.animals import ArrivalSource

# Where one in quarantine may stand without carrying anything to those that are clear.
APART_PENS = (PenKind.QUARANTINE, PenKind.ISOLATION, PenKind.FOSTER)


@dataclass(frozen=True, slots=True, kw_only=True)
class Quarantined:
    """One animal in quarantine: its clock, how long and why, and what was set for it.

    ``via`` is the animal whose pen it shared, where it has no quarantine of its own.
    """

    animal: Animal
    clock: Clock
    proposed: HowLong
    set_by: QuarantineSet | None
    since: date
    via: Animal | None = None

    @property
    def stands_in_quarantine(self) -> bool:
        """Whether it stands in a pen of quarantine."""
        return self.animal.pen is not None and self.animal.pen.kind == PenKind.QUARANTINE

    @property
    def is_among_others(self) -> bool:
        """Whether it stands where those that are clear live, or nobody knows where."""
        pen = self.animal.pen
        return pen is None or pen.kind not in APART_PENS


def in_quarantine(now: datetime) -> list[Quarantined]:
    """Everybody here whose quarantine runs, wherever it stands, until somebody ends it."""
    spells = spells_now(now)
    if not spells.running:
        return []
    return sorted(
        _Asked(now, spells).told(),
        key=lambda one: (one.clock.ends_on, one.animal.name, str(one.animal.pk)),
    )


def quarantine_of(animal: Animal, now: datetime) -> Quarantined | None:
    """The quarantine of one animal; None where it is in none."""
    return next((one for one in in_quarantine(now) if one.animal.pk == animal.pk), None)


class _Asked:
    """What is asked of all in quarantine at once."""

    def __init__(self, now: datetime, spells: Spells) -> None:
        self.now, self.today, self.known = now, timezone.localdate(now), spells
        self.spells = {spell.animal.pk: spell for spell in spells.running}
        self.meetings = Meetings(spells.stays)
        ids = list(self.spells)
        first = min(spell.since for spell in spells.running)
        self.advice = latest_advice(Animal.objects.filter(pk__in=ids))
        self.contacts = last_contacts(now)
        self.checks = looked_over(ids, first)
        self.isolating: dict[UUID, list[datetime]] = defaultdict(list)
        told = AdviceGiven.objects.filter(animal__in=ids, isolate=True, made_at__gte=first)
        for animal, at in told.order_by("made_at").values_list("animal", "made_at"):
            self.isolating[animal].append(at)
        self.ill = _ill(first, now)
        self.overdue: dict[UUID, int] = defaultdict(int)
        promises = FollowUp.objects.filter(animal__in=ids, outcomes=None, due_at__lt=now)
        for animal in promises.order_by().values_list("animal", flat=True):
            self.overdue[animal] += 1
        itchy = Observed.objects.filter(
            animal__in=ids, at__gte=first, finding__in=book().contagion.skin.itchy
        ).exclude(status="absent")
        self.itchy = set(itchy.values_list("animal", flat=True))
        self.treated = treatments(ids, now)

    def told(self) -> list[Quarantined]:
        """Each by itself first; then nobody ends before those whose pen or air it shares."""
        alone = {key: self._clock(spell, None) for key, spell in self.spells.items()}
        ends = {str(key): clock.ends_on for key, clock in alone.items()}
        held = {UUID(key): one for key, one in held_by(ends, self._beside()).items()}
        return [
            Quarantined(
                animal=spell.animal,
                clock=self._clock(spell, self._named(held[key])) if key in held else alone[key],
                proposed=self._proposed(spell),
                set_by=spell.set_by,
                since=timezone.localdate(spell.since),
                via=spell.via,
            )
            for key, spell in self.spells.items()
        ]

    def _beside(self) -> dict[str, list[str]]:
        """By animal: whose pen it shares now, and whose air where that counts."""
        beside: dict[str, list[str]] = {}
        for key, spell in self.spells.items():
            pen = spell.animal.pen
            air = spell.set_by.air_counts if spell.set_by else True
            beside[str(key)] = [
                str(other)
                for other, theirs in self.spells.items()
                if other != key
                # Who has it only through another is clear when that one is, and holds nobody.
                and theirs.via is None
                and pen is not None
                and theirs.animal.pen is not None
                and (
                    theirs.animal.pen_id == pen.pk
                    or (air and theirs.animal.pen.room_id == pen.room_id)
                )
            ]
        return beside

    def _named(self, held: Beside) -> Beside:
        return Beside(other=self.known.names.get(held.other, "another"), ends_on=held.ends_on)

    def _clock(self, spell: Spell, held: Beside | None) -> Clock:
        needs = {one.code: one.days for one in book().contagion.quarantine_ends}
        said, proposed = spell.set_by, self._proposed(spell)
        since = timezone.localdate(spell.since)
        facts = InQuarantine(
            animal=str(spell.animal.pk),
            began=tuple(self._began(spell)),
            days=said.days if said else proposed.days,
            second_look_days=said.second_look_days if said else needs["second_skin_look"] or 0,
            last_check_days=said.last_check_days if said else needs["last_check"] or 0,
            checks=tuple(one for one in self.checks.get(spell.animal.pk, ()) if one.on >= since),
            keep_apart=self._keep_apart(spell),
            overdue=self.overdue[spell.animal.pk],
            treatments=tuple(self.treated.get(spell.animal.pk, ())),
            held=held,
        )
        return clock_of(facts, today=self.today, book=book())

    def _keep_apart(self, spell: Spell) -> bool | None:
        given = self.advice.get(spell.animal.pk)
        return None if given is None else given.isolate

    def _proposed(self, spell: Spell) -> HowLong:
        """By what it may have; else the shorter time only for a home known to be well."""
        if spell.set_by is not None and spell.set_by.suspected:
            kind = book().contagion.kind(spell.set_by.suspected)
            if kind is not None:
                return how_long(kind.quarantine, book())
        whose = spell.via.pk if spell.via else spell.animal.pk
        arrival = self.known.arrivals.get(whose)
        known_home = arrival is not None and arrival.source == ArrivalSource.HOME
        calm = known_home and not {whose, spell.animal.pk} & self.itchy
        return how_long("new_arrival" if calm else "unknown_source", book())

    def _began(self, spell: Spell) -> list[Began]:
        days = list(self._beginnings(spell))
        days += self._meetings(spell)
        for at in self.isolating[spell.animal.pk]:
            if at > spell.since:
                words = "a check found something that may be catching"
                days.append(Began(on=timezone.localdate(at), why=Restart.NEW_SIGN, words=words))
        days += self._signs_beside(spell)
        contact = self.contacts.get(str(spell.animal.pk))
        if contact is not None and contact[0] > spell.since:
            words = f"last contact with a case of {contact[1]}"
            on = timezone.localdate(contact[0])
            days.append(Began(on=on, why=Restart.CONTACT, words=words))
        return days

    def _beginnings(self, spell: Spell) -> Sequence[Began]:
        if spell.set_by is not None:
            words, why = spell.set_by.why, Restart.CAME
        elif spell.via is not None:
            words, why = f"shared a pen or air with {spell.via}, in quarantine", Restart.MET
        else:
            words, why = "came", Restart.CAME
        later = "came into quarantine"
        return [
            Began(on=timezone.localdate(at), why=why, words=later if number else words)
            for number, at in enumerate(spell.began)
        ]

    def _meetings(self, spell: Spell) -> list[Began]:
        air = spell.set_by.air_counts if spell.set_by else True
        key = str(spell.animal.pk)
        return [
            Began(
                on=timezone.localdate(self._counts_from(met)),
                why=met.how,
                words=f"{self.known.names.get(met.other, 'another')} came into {PLACES[met.how]}",
            )
            for met in self.meetings.since(key, spell.since, air_counts=air)
            if met.at <= self.now
        ]

    def _signs_beside(self, spell: Spell) -> list[Began]:
        """A sign in one whose pen or counted air it shares counts from its last hour beside it.

        Until a later check of that one says that it need not be kept apart any more.
        """
        if not self.ill:
            return []
        air = spell.set_by.air_counts if spell.set_by else True
        found = []
        for met in self.meetings.beside(str(spell.animal.pk), spell.since, air_counts=air):
            for seen, cleared in self.ill.get(UUID(met.other), ()):
                last = min(met.until or self.now, cleared or self.now, self.now)
                # Whoever left before the sign was seen may have had it already.
                if spell.since < last and met.at <= last:
                    name = self.known.names.get(met.other, "another")
                    words = f"{name}, beside it, may have had something catching ({_short(seen)})"
                    on = timezone.localdate(last)
                    found.append(Began(on=on, why=Restart.NEW_SIGN, words=words))
        return found

    def _counts_from(self, met: Met) -> datetime:
        """Its beginning; its end where the other went on without having been cleared."""
        ended = self.known.ended.get(UUID(met.other))
        other = self.spells.get(UUID(met.other))
        running = other is not None and other.via is None
        cleared = ended is not None and ended >= met.at
        over = met.until is not None and met.until <= self.now
        return met.until if met.until and over and running and not cleared else met.at


def _ill(since: datetime, now: datetime) -> dict[UUID, list[tuple[datetime, datetime | None]]]:
    """By animal, of all: from when to when the latest advice said to keep it apart."""
    there = Animal.objects.filter(Q(left_on=None) | Q(left_on__gte=timezone.localdate(since)))
    told = AdviceGiven.objects.filter(
        animal__in=there.order_by().values("pk"), made_at__gte=since, made_at__lte=now
    )
    found: dict[UUID, list[tuple[datetime, datetime | None]]] = defaultdict(list)
    for animal, at, isolate in told.order_by("made_at", "id").values_list(
        "animal", "made_at", "isolate"
    ):
        last = found[animal][-1] if found[animal] else None
        if isolate and (last is None or last[1] is not None):
            found[animal].append((at, None))
        elif not isolate and last is not None and last[1] is None:
            found[animal][-1] = (last[0], at)
    return {animal: spans for animal, spans in found.items() if spans}


def _short(moment: datetime) -> str:
    day = timezone.localdate(moment)
    return f"{day.day} {day:%B}"


PLACES: Mapping[Restart, str] = {
    Restart.NEWCOMER_PEN: "its pen",
    Restart.NEWCOMER_AIR: "the air of its room",
}
