"""The facts of breeding and of litters, from the rows of the record, for many at once."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta
from uuid import UUID

from django.db.models import Q
from django.utils import timezone

from cavyround.facts.animal import Born, Known, Sex, Weighing
from cavyround.facts.breeding import (
    Away,
    Breeder,
    Felt,
    LitterFacts,
    MetBefore,
    SaidPregnant,
    Sexing,
    Sure,
)
from cavyround.record import models
from cavyround.record.living_standing import standing_rows
from cavyround.record.stays import LEFT

# A sire that left longer ago than this can have begun nothing that still lasts (72 days).
LOOKED_BACK = timedelta(days=100)
WEIGHED_BACK = timedelta(days=140)
COMPANY = ("other_sex_company", "mated", "male_pup_with_sows")
FELT = ("pregnant", "moving_pups")


def animals_that_matter(now: datetime) -> list[models.Animal]:
    """All that are here, and those that left lately."""
    since = timezone.localdate(now) - LOOKED_BACK
    return list(
        models.Animal.objects.filter(Q(left_on=None) | Q(left_on__gte=since)).order_by("name")
    )


def breeders_of(animals: Sequence[models.Animal], now: datetime) -> list[Breeder]:
    """Each animal as far as breeding goes; the number of queries does not grow with them.

    Weighings are read of those only for whom they are asked: sows that may be pregnant,
    and young ones.
    """
    ids = [animal.pk for animal in animals]
    rows = _Rows(ids, now)
    weighings = _weighings([one.pk for one in animals if _is_weighed(one, now)], now)
    return [_breeder(animal, rows, weighings) for animal in animals]


class _Rows:
    """What was said of many animals, by animal."""

    def __init__(self, ids: Collection[UUID], now: datetime) -> None:
        self.sexings: dict[UUID, list[Sexing]] = defaultdict(list)
        looks = standing_rows(models.Sexing).filter(animal__in=ids).select_related("made_by")
        for look in looks.order_by("made_at", "id"):
            self.sexings[look.animal_id].append(_sexing(look))
        self.castrated: dict[UUID, date] = {}
        self.neutered: dict[UUID, date] = {}
        done = standing_rows(models.Castration).filter(animal__in=ids).order_by("made_at")
        for animal, on in done.values_list("animal", "on"):
            self.castrated[animal] = on
        self.said: dict[UUID, list[SaidPregnant]] = defaultdict(list)
        self._statements(ids)
        self.births: dict[UUID, set[date]] = defaultdict(set)
        self.met: dict[UUID, list[MetBefore]] = defaultdict(list)
        self._happened(ids, now)
        for dam, on in (
            standing_rows(models.Litter).filter(dam__in=ids).values_list("dam", "born_on")
        ):
            self.births[dam].add(on)
        self.felt: dict[UUID, list[Felt]] = defaultdict(list)
        self._felt(ids, now)
        self.came: dict[UUID, tuple[date, bool]] = {}
        self.away: dict[UUID, list[Away]] = defaultdict(list)
        self._comings(ids)

    def _comings(self, ids: Collection[UUID]) -> None:
        """The first coming, and each time away between a leaving and the coming after it."""
        left: dict[UUID, list[date]] = defaultdict(list)
        gone = models.Departure.objects.filter(animal__in=ids, how__in=LEFT).order_by("on")
        for animal, on in gone.values_list("animal", "on"):
            left[animal].append(on)
        arrivals = models.Arrival.objects.filter(animal__in=ids).order_by("on", "made_at")
        for animal, on, how in arrivals.values_list("animal", "on", "how"):
            if animal not in self.came:
                self.came[animal] = (on, how == "born_here")
                continue
            since = max((day for day in left[animal] if day <= on), default=None)
            self.away[animal].append(Away(since=since, until=on))

    def _statements(self, ids: Collection[UUID]) -> None:
        """Whether pregnant, and on which day it was first said to be neutered, if not at first."""
        told = models.AnimalStatement.objects.filter(animal__in=ids).order_by("made_at", "id")
        seen: set[UUID] = set()
        for animal, fields, at in told.values_list("animal", "fields", "made_at"):
            on = timezone.localdate(at)
            # A "no" on the first entry was told at the door; nobody had looked or scanned.
            at_the_door = animal not in seen and fields.get("pregnant") == "no"
            if "pregnant" in fields and not at_the_door:
                due = fields.get("due_from")
                self.said[animal].append(
                    SaidPregnant(
                        on=on,
                        pregnant=Known(fields["pregnant"]),
                        due_from=date.fromisoformat(due) if due else None,
                    )
                )
            if fields.get("neutered") == "yes" and animal in seen:
                self.neutered.setdefault(animal, on)
            seen.add(animal)

    def _happened(self, ids: Collection[UUID], now: datetime) -> None:
        wanted = ("gave_birth", *COMPANY)
        told = models.Happened.objects.filter(animal__in=ids, at__lte=now, what__in=wanted)
        for animal, what, on, at, note in told.values_list("animal", "what", "on", "at", "note"):
            day = on or timezone.localdate(at)
            if what == "gave_birth":
                self.births[animal].add(day)
            else:
                self.met[animal].append(MetBefore(until=day, note=note))

    def _felt(self, ids: Collection[UUID], now: datetime) -> None:
        for one in standing_rows(models.PupsFelt).filter(animal__in=ids).order_by("on"):
            self.felt[one.animal_id].append(
                Felt(on=one.on, moving=one.moving, sure=one.sure, pups=one.pups, by=one.said_by)
            )
        seen = models.Observed.objects.filter(animal__in=ids, finding__in=FELT, at__lte=now)
        seen = seen.exclude(status="absent")
        for animal, finding, status, at in seen.values_list("animal", "finding", "status", "at"):
            self.felt[animal].append(
                Felt(
                    on=timezone.localdate(at),
                    moving=finding == "moving_pups",
                    sure=status == "present",
                )
            )


def _sexing(row: models.Sexing) -> Sexing:
    return Sexing(
        sex=Sex(row.sex),
        sure=Sure(row.sure),
        at=timezone.localtime(row.made_at),
        by=_looked(row),
        how=row.how,
        id=str(row.pk),
    )


def _looked(row: models.Sexing) -> str:
    """Who looked: where two agreed, both."""
    if row.sure == "two_people" and row.looked_by:
        return f"{row.made_by} with {row.looked_by}"
    return row.looked_by or str(row.made_by)


def _born(animal: models.Animal) -> Born:
    """When it was born; days that contradict each other tell nothing.

    Its own page says what is wrong with them. Unknown counts as could-be-either here, so the
    animal is watched, and the others' days are still reckoned.
    """
    earliest, latest = animal.born_earliest, animal.born_latest
    if earliest and latest and latest < earliest:
        return Born()
    return Born(earliest=earliest, latest=latest)


def _breeder(
    animal: models.Animal, rows: _Rows, weighings: Mapping[UUID, tuple[Weighing, ...]]
) -> Breeder:
    key = animal.pk
    came, born_here = rows.came.get(key, (animal.arrived_on, False))
    return Breeder(
        id=str(key),
        name=animal.name,
        sex=Sex(animal.sex),
        sure=Sure(animal.sex_sure),
        neutered=Known(animal.neutered),
        castrated_on=rows.castrated.get(key) or rows.neutered.get(key),
        born=_born(animal),
        born_here=born_here,
        first_seen_on=came,
        sexings=tuple(rows.sexings[key]),
        met=tuple(rows.met[key]),
        away=tuple(rows.away[key]),
        births=tuple(sorted(rows.births[key])),
        said=tuple(rows.said[key]),
        felt=tuple(sorted(rows.felt[key], key=lambda one: one.on)),
        weighings=weighings.get(key, ()),
    )


def _is_weighed(animal: models.Animal, now: datetime) -> bool:
    if animal.pregnant in ("yes", "possible"):
        return True
    young = timezone.localdate(now) - timedelta(days=60)
    return animal.born_latest is not None and animal.born_latest >= young


def _weighings(ids: Iterable[UUID], now: datetime) -> dict[UUID, tuple[Weighing, ...]]:
    found: dict[UUID, list[Weighing]] = defaultdict(list)
    rows = models.WeighIn.objects.filter(
        animal__in=list(ids), at__lte=now, at__gte=now - WEIGHED_BACK
    )
    for animal, at, grams, doubted in rows.order_by("at", "id").values_list(
        "animal", "at", "grams", "doubted"
    ):
        found[animal].append(Weighing(at=timezone.localtime(at), grams=grams, doubted=doubted))
    return {animal: tuple(own) for animal, own in found.items()}


def litters_since(born_after: date) -> list[LitterFacts]:
    """The litters born since a day, the latest first, with those of their pups that have a page."""
    rows = (
        standing_rows(models.Litter)
        .filter(born_on__gte=born_after)
        .order_by("-born_on", "-made_at")
    )
    pups: dict[UUID, list[str]] = defaultdict(list)
    of = models.LitterPup.objects.filter(litter__in=rows).order_by("made_at", "id")
    for litter, animal in of.values_list("litter", "animal"):
        pups[litter].append(str(animal))
    return [
        LitterFacts(
            id=str(row.pk),
            dam=str(row.dam_id),
            born_on=row.born_on,
            born_alive=row.born_alive,
            born_dead=row.born_dead,
            pups=tuple(pups[row.pk]),
        )
        for row in rows
    ]
