"""The house as the planner sees it, who may live with whom, and the order of the round."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from uuid import UUID

from django.db.models import OuterRef, Subquery
from django.utils import timezone

from cavyround.advice.alone import Alone, alone_of
from cavyround.advice.book import book
from cavyround.advice.breeding import BreedingNow
from cavyround.advice.keeping_apart import KeptApart, apart_now
from cavyround.advice.latest import Advised, latest_advice
from cavyround.advice.open_cases import open_cases
from cavyround.engines.housing import (
    House,
    IntroductionFacts,
    IntroductionState,
    introduction_state,
)
from cavyround.facts.animal import Weighing
from cavyround.facts.housing import Health, Lodger
from cavyround.facts.places import PenFacts, PenKind
from cavyround.knowledge.urgency import Urgency
from cavyround.record.living_standing import taken_back_of
from cavyround.record.models import (
    Animal,
    Introduced,
    Introduction,
    Litter,
    LitterPup,
    Pen,
    WeighIn,
)
from cavyround.record.ties import ties_among

INTRODUCED_BACK = timedelta(days=60)


def house_now(now: datetime, breeding: BreedingNow | None = None) -> House:
    """All animals here, all pens, and what is known between them."""
    known = breeding or BreedingNow(now)
    rows = [row for row in known.rows if row.is_here]
    lodgers = _lodgers(rows, known, now)
    ties = ties_among([row.pk for row in rows])
    return House(lodgers, pens_now(), ties, timezone.localdate(now), book())


def pens_now() -> tuple[PenFacts, ...]:
    """All pens in the order of the house."""
    return tuple(
        PenFacts(
            id=str(pen.pk),
            name=pen.name,
            room=str(pen.room_id),
            kind=PenKind(pen.kind),
            area_cm2=pen.area_cm2,
            levels=pen.levels,
            position=pen.position,
        )
        for pen in Pen.objects.select_related("room")
    )


def _lodgers(rows: Sequence[Animal], known: BreedingNow, now: datetime) -> tuple[Lodger, ...]:
    advised = latest_advice(Animal.objects.filter(pk__in=[row.pk for row in rows]))
    kinds = dict(Pen.objects.values_list("pk", "kind"))
    grams, caught, dams = _grams(rows), _caught(now), _dams(rows)
    until = {
        one.animal: one.possible.last or timezone.localdate(now) + timedelta(days=1)
        for one in known.expecting
        if not one.history_unknown
    }
    breeders = {one.id: one for one in known.breeders}
    apart, alone = apart_now(now), alone_of([row.pk for row in rows])
    lodgers = []
    for row in rows:
        key = str(row.pk)
        dam = dams.get(row.pk, "")
        kind = kinds.get(row.pen_id) if row.pen_id else None
        kept = apart.of(key)
        health = _health(row, kind, advised.get(row.pk), caught.get(key), kept, now)
        said = alone.get(row.pk, Alone())
        lodgers.append(
            Lodger(
                breeder=breeders[key],
                pen=str(row.pen_id) if row.pen_id else "",
                grams=grams.get(row.pk),
                health=health,
                cohort=_cohort(row, health),
                apart_because=kept.because if kept and kept.health is health else "",
                infections=frozenset(caught.get(key, ())),
                expecting_until=until.get(key),
                dam=dam,
                sucks_from=dam if dam and _sucks(row, now) else "",
                alone_because=said.excuse(health),
                keeps_alone=said.keeps,
                alone_told=said.told,
            )
        )
    return tuple(lodgers)


def _health(
    row: Animal,
    kind: str | None,
    advised: Advised | None,
    caught: set[str] | None,
    kept: KeptApart | None,
    now: datetime,
) -> Health:
    """Where it must live: what is catching first, then who is kept apart, then the sick bay."""
    isolate = advised is not None and advised.isolate and advised.urgency > Urgency.NORMAL
    if kind == PenKind.ISOLATION or caught or isolate:
        return Health.ISOLATED
    if kept is not None:
        return kept.health
    new = timedelta(days=int(book().number("quarantine_new_days")))
    arrived = row.arrived_on
    if kind is None and arrived is not None and timezone.localdate(now) - arrived < new:
        return Health.QUARANTINE
    return Health.SICK if kind == PenKind.SICK_BAY else Health.WELL


def _cohort(row: Animal, health: Health) -> str:
    """Those kept apart in one pen are one group; newcomers in none, if they came on one day."""
    if health not in (Health.QUARANTINE, Health.WATCHED):
        return ""
    if row.pen_id:
        return f"pen {row.pen_id}"
    return f"came {row.arrived_on}" if health is Health.QUARANTINE else ""


def _grams(rows: Sequence[Animal]) -> dict[UUID, Decimal]:
    last = WeighIn.objects.filter(animal=OuterRef("pk"), doubted=False).order_by("-at")
    asked = Animal.objects.filter(pk__in=[row.pk for row in rows]).order_by()
    told = asked.annotate(last=Subquery(last.values("grams")[:1])).values_list("pk", "last")
    return {key: grams for key, grams in told if grams is not None}


def _caught(now: datetime) -> dict[str, set[str]]:
    """What each is a case of, until somebody says that it is over or never was."""
    found: dict[str, set[str]] = defaultdict(set)
    for case in open_cases(now):
        found[str(case.animal)].add(case.outbreak.kind)
    return found


def _dams(rows: Sequence[Animal]) -> dict[UUID, str]:
    of = LitterPup.objects.filter(animal__in=[row.pk for row in rows])
    of = of.exclude(litter__in=taken_back_of(Litter)).order_by("made_at")
    return {pup: str(dam) for pup, dam in of.values_list("animal", "litter__dam")}


def _sucks(row: Animal, now: datetime) -> bool:
    """Until the day the sexes are parted a pup stays with its mother."""
    days = timedelta(days=int(book().number("part_sexes_days")))
    born = row.born_latest
    return born is not None and timezone.localdate(now) - born < days


def introductions_now(now: datetime) -> list[tuple[Introduction, IntroductionState]]:
    """Introductions under way, and those that ended lately, the latest first."""
    begun = Introduction.objects.filter(began_at__gte=now - INTRODUCED_BACK, began_at__lte=now)
    rows = list(begun.prefetch_related("members__animal", "outcomes").order_by("-began_at"))
    animals = Introduced.objects.filter(introduction__in=rows).values("animal")
    weighed: dict[str, list[Weighing]] = defaultdict(list)
    since = now - INTRODUCED_BACK - timedelta(days=30)
    told = WeighIn.objects.filter(animal__in=animals, at__gte=since, at__lte=now)
    for animal, at, grams, doubted in told.order_by("at").values_list(
        "animal", "at", "grams", "doubted"
    ):
        weighed[str(animal)].append(Weighing(at=at, grams=grams, doubted=doubted))
    zone = timezone.get_current_timezone()
    return [
        (row, introduction_state(_told(row), weighed, now=now, zone=zone, book=book()))
        for row in rows
    ]


def _told(row: Introduction) -> IntroductionFacts:
    return IntroductionFacts(
        id=str(row.pk),
        animals=tuple(str(one.animal_id) for one in row.members.all()),
        began_at=row.began_at,
        over=bool(row.outcomes.all()),
    )
