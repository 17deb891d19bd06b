"""Read from the record what hands felt of the body condition, and set it beside the weights."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from uuid import UUID

from cavyround.advice.book import book
from cavyround.engines.weight.condition import (
    SCORES,
    ConditionSaid,
    Felt,
    Look,
    condition_beside,
    look_of,
)
from cavyround.engines.weight.said import Reading
from cavyround.record.building import facts_of
from cavyround.record.models import Animal, Observed, StepState

STEP = "condition"
SCORE, THIN, FAT = "body_condition", "thin", "overweight"
STRONG = ("marked", "worse")
# Older feels than this are shown in the history and compared with nothing.
LOOKED_BACK = timedelta(days=400)


def felt_of(
    animals: Sequence[Animal], now: datetime, back: timedelta = LOOKED_BACK
) -> Mapping[UUID, tuple[Felt, ...]]:
    """What was felt of each animal, oldest first, in two questions however many they are.

    A finding of a check outweighs the plain "as it should be" of the same check.
    """
    ids = [animal.pk for animal in animals]
    within = {"at__gte": now - back, "at__lte": now}
    felt: dict[UUID, dict[UUID, Felt]] = defaultdict(dict)
    normal = StepState.objects.filter(animal__in=ids, step=STEP, state="normal", **within)
    for state in normal.only("id", "animal_id", "check_in_id", "at"):
        feel = Felt(at=state.at, look=Look.IDEAL, id=str(state.pk))
        felt[state.animal_id][state.check_in_id] = feel
    seen = Observed.objects.filter(animal__in=ids, finding__in=(THIN, FAT, SCORE), **within)
    # The score comes last in each check: it says most.
    for row in sorted(seen.exclude(status="absent"), key=lambda one: one.finding == SCORE):
        if (one := _felt(row)) is not None:
            felt[row.animal_id][row.check_in_id] = one
    return {key: tuple(sorted(felt[key].values(), key=lambda one: one.at)) for key in ids}


def _felt(row: Observed) -> Felt | None:
    if row.finding == SCORE:
        if row.value is None or not SCORES[0] <= row.value <= SCORES[1]:
            return None
        return Felt(at=row.at, look=look_of(row.value, book()), score=row.value, id=str(row.pk))
    look = Look.BONY if row.finding == THIN else Look.ROUND
    return Felt(at=row.at, look=look, marked=row.grade in STRONG, id=str(row.pk))


def condition_of(animal: Animal, reading: Reading, now: datetime) -> ConditionSaid:
    """The body condition of one animal beside what its weights say."""
    felt = felt_of([animal], now)[animal.pk]
    return condition_beside(felt, reading, facts_of(animal, now), now=now, book=book())


def last_felt(animals: Sequence[Animal], now: datetime) -> Mapping[UUID, Felt]:
    """What was last felt of each animal, as far as it still speaks for it."""
    good = timedelta(days=int(book().number("condition_good_days")))
    return {key: felt[-1] for key, felt in felt_of(animals, now, good).items() if felt}
