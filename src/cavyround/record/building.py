"""Build the facts of animals from the rows of the record, for one or for many at once."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta, tzinfo
from uuid import UUID

from django.db.models import Exists, OuterRef, Q, QuerySet, Subquery
from django.utils import timezone

from cavyround.facts.animal import AnimalFacts, Born, Known, Sex
from cavyround.facts.observation import Observation, sides_agree
from cavyround.record import models
from cavyround.record.clocks import ONCE_RAN_AHEAD
from cavyround.record.living_standing import standing_rows
from cavyround.record.values import (
    Arrived,
    as_events,
    as_mark,
    as_open_follow_up,
    as_weighing,
    latest_by_place,
    place_of,
)
from cavyround.record.weighings import LOOKED_AT

# What was found within this time still speaks of the animal as it is now, whoever found it:
# two people may check one animal at the same time. Common practice, no source.
STILL_NOW = timedelta(hours=12)
LOOKED_BACK = timedelta(days=400)


@dataclass(frozen=True, slots=True)
class _Moment:
    """What is asked about: now, or a check with all that it says."""

    now: datetime
    check: models.Check | None = None
    # The rescue's own zone, looked up once and not for every row.
    zone: tzinfo = field(default_factory=timezone.get_current_timezone)

    @property
    def today(self) -> date:
        """The day in the rescue's zone."""
        return timezone.localdate(self.now, self.zone)

    @property
    def pivot(self) -> datetime:
        """The moment that parts the past from the present."""
        return self.check.started_at if self.check else self.now

    @property
    def known_until(self) -> datetime:
        """After a check all it says counts, also from a phone whose clock ran ahead of ours."""
        return self.now + ONCE_RAN_AHEAD if self.check else self.now

    def is_current(self, row: models.Observed) -> bool:
        if self.check is not None and row.check_in_id == self.check.id:
            return True
        return row.at >= self.pivot - STILL_NOW


@dataclass(slots=True)
class _Rows:
    """The rows of one animal that say something of it; ``over`` are no longer so by now."""

    observed: list[models.Observed] = field(default_factory=list)
    happened: list[models.Happened] = field(default_factory=list)
    weighed: list[models.WeighIn] = field(default_factory=list)
    marks: list[models.StandingMark] = field(default_factory=list)
    promises: list[models.FollowUp] = field(default_factory=list)
    arrived: Arrived | None = None
    was_checked: bool = False
    births: list[date] = field(default_factory=list)
    over: set[UUID] = field(default_factory=set)


def facts_of(
    animal: models.Animal, now: datetime, *, check: models.Check | None = None
) -> AnimalFacts:
    """All that is known of an animal at ``now``.

    With ``check``, its findings count as current however long ago it was; the
    rest of the past is what lay before it.
    """
    moment = _Moment(now, check)
    weighed = models.WeighIn.objects.filter(animal=animal, at__lte=moment.known_until)
    recent = list(weighed.order_by("-at")[:LOOKED_AT])
    rows = _gather([animal.id], moment, reversed(recent))
    return _facts(animal, rows[animal.id], moment)


def facts_of_all(animals: Sequence[models.Animal], now: datetime) -> Mapping[UUID, AnimalFacts]:
    """What is known now of each of many animals; of their weighings only the last.

    The number of queries does not grow with them.
    """
    ids = [animal.id for animal in animals]
    moment = _Moment(now)
    weighed = models.WeighIn.objects.filter(animal=OuterRef("pk"), at__lte=now).order_by("-at")
    known = models.Animal.objects.filter(pk__in=ids).order_by()
    last = known.values(last=Subquery(weighed.values("pk")[:1]))
    rows = _gather(ids, moment, models.WeighIn.objects.filter(pk__in=last))
    return {animal.id: _facts(animal, rows[animal.id], moment) for animal in animals}


def _gather(
    ids: Sequence[UUID], moment: _Moment, weighed: Iterable[models.WeighIn]
) -> dict[UUID, _Rows]:
    rows: dict[UUID, _Rows] = defaultdict(_Rows)
    until = moment.known_until
    seen = _still_told(models.Observed.objects.filter(animal__in=ids), moment)
    for observed in seen.annotate(over=_found_normal(at__lte=until)).order_by("at"):
        rows[observed.animal_id].observed.append(observed)
        if observed.over:
            rows[observed.animal_id].over.add(observed.id)
    for happened in models.Happened.objects.filter(animal__in=ids, at__lte=until):
        rows[happened.animal_id].happened.append(happened)
    for weigh_in in weighed:
        rows[weigh_in.animal_id].weighed.append(weigh_in)
    for mark in models.StandingMark.objects.filter(animal__in=ids, ends=None):
        rows[mark.animal_id].marks.append(mark)
    open_ones = Q(outcomes=None)
    if moment.check is not None:
        # What this very check settled was still open when the check was made.
        open_ones |= Q(outcomes__check_in=moment.check)
    for promise in models.FollowUp.objects.filter(open_ones, animal__in=ids).distinct():
        rows[promise.animal_id].promises.append(promise)
    _gather_lives(ids, moment, rows)
    return rows


def _gather_lives(ids: Sequence[UUID], moment: _Moment, rows: Mapping[UUID, _Rows]) -> None:
    """What was written down of its life outside its checks, and whether there were any."""
    for animal_id, arrived in _arrived(ids):
        rows[animal_id].arrived = arrived
    for dam, on in _births(ids, moment):
        rows[dam].births.append(on)
    for animal_id in _checked_before(ids, moment):
        rows[animal_id].was_checked = True


def _arrived(ids: Sequence[UUID]) -> Iterator[tuple[UUID, Arrived]]:
    """How each came; the last arrival of an animal comes last."""
    arrivals = models.Arrival.objects.filter(animal__in=ids).order_by("on")
    for animal_id, on, sexed_as in arrivals.values_list("animal", "on", "sexed_as"):
        yield animal_id, Arrived(on, sexed_as)


def _checked_before(ids: Sequence[UUID], moment: _Moment) -> Iterable[UUID]:
    states = models.StepState.objects.filter(animal=OuterRef("pk"), at__lt=moment.pivot)
    checked = models.Animal.objects.filter(Exists(states), pk__in=ids).order_by()
    return checked.values_list("pk", flat=True)


def _births(ids: Sequence[UUID], moment: _Moment) -> Iterable[tuple[UUID, date]]:
    litters = standing_rows(models.Litter).filter(dam__in=ids, born_on__lte=moment.today)
    return litters.order_by("born_on").values_list("dam", "born_on")


def _still_told(found: QuerySet[models.Observed], moment: _Moment) -> QuerySet[models.Observed]:
    """What was found now, or before and was not over by then.

    Left to the database: of a long stay most is over, and need not be read.
    """
    told = ~Q(_found_normal(at__lt=moment.pivot - STILL_NOW))
    if moment.check is not None:
        told |= Q(check_in=moment.check)
    return found.filter(told, at__lte=moment.known_until, at__gte=moment.pivot - LOOKED_BACK)


def _found_normal(**when: datetime) -> Exists:
    """Whether a step was as it should be after something was found there: that is over."""
    after = models.StepState.objects.filter(
        animal=OuterRef("animal"), state="normal", step=OuterRef("step"), at__gt=OuterRef("at")
    )
    return Exists(after.filter(**when))


def _facts(animal: models.Animal, rows: _Rows, moment: _Moment) -> AnimalFacts:
    now_seen = latest_by_place(row for row in rows.observed if moment.is_current(row))
    past = [row for row in rows.observed if not moment.is_current(row)]
    return AnimalFacts(
        id=str(animal.id),
        name=animal.name,
        sex=Sex(animal.sex),
        neutered=Known(animal.neutered),
        born=Born(earliest=animal.born_earliest, latest=animal.born_latest),
        pregnant=Known(animal.pregnant),
        due_from=animal.due_from,
        coat=frozenset(animal.coat),
        dark_skin=animal.dark_skin,
        place=place_of(animal, moment.today),
        arrived_on=animal.arrived_on,
        observations=now_seen,
        still_open=_still_open(past, rows, now_seen),
        before=latest_by_place(past),
        checked_before=rows.was_checked,
        weighings=tuple(as_weighing(row, moment.zone) for row in rows.weighed),
        events=as_events(animal, rows.happened, rows.arrived, rows.births),
        marks=tuple(as_mark(row) for row in rows.marks),
        follow_ups=tuple(as_open_follow_up(row) for row in rows.promises),
    )


def _still_open(
    past: Iterable[models.Observed], rows: _Rows, now_seen: Iterable[Observation]
) -> tuple[Observation, ...]:
    """What was found earlier, is not over, and was not looked at again now."""
    looked_at = [(seen.region, seen.finding, seen.side) for seen in now_seen]
    return tuple(
        was
        for was in latest_by_place(row for row in past if row.id not in rows.over)
        if was.is_there
        and not any(
            (region, finding) == (was.region, was.finding) and sides_agree(side, was.side)
            for region, finding, side in looked_at
        )
    )
