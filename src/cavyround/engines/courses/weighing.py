"""Which weight a dose may be worked out from, or why the animal is weighed first."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from decimal import Decimal
from enum import StrEnum

from cavyround.engines.courses.clock import day_of, later
from cavyround.facts.animal import DAYS_PER_MONTH, AnimalFacts, Weighing
from cavyround.facts.courses import Course
from cavyround.facts.lengths import Length, Unit, days
from cavyround.knowledge.book import Knowledge

HUNDRED = Decimal(100)
WEEK = timedelta(days=7)


class Weight(StrEnum):
    """How the weight for a dose stands."""

    NOT_NEEDED = "not_needed"
    CURRENT = "current"
    TOO_OLD = "too_old"
    DOUBTED = "doubted"
    NONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseWeight:
    """The weight for the next dose.

    ``grams`` and ``weighed_at`` are those of the last sound weighing, also where it is too
    old. ``oldest`` is how old it may be, ``said_by`` who says so. ``change_pct`` compares
    with the weight of the last dose. ``check_again``: it changed so much that a second
    person checks the new amount.
    """

    standing: Weight
    grams: Decimal | None = None
    weighed_at: datetime | None = None
    oldest: Length | None = None
    said_by: str = ""
    change_pct: Decimal | None = None
    check_again: bool = False
    words: str = ""

    @property
    def asks_to_weigh(self) -> bool:
        """Whether it is weighed before anything is worked out."""
        return self.standing in (Weight.TOO_OLD, Weight.DOUBTED, Weight.NONE)


def weight_for(
    course: Course,
    animal: AnimalFacts,
    *,
    now: datetime,
    zone: tzinfo,
    book: Knowledge,
) -> DoseWeight:
    """The weight a dose of this course would be worked out from at ``now``.

    Every dose asks anew: the newest weighing counts, a doubted one only asks to weigh
    again. How old it may be is the order's or the formulary's word, else the knowledge's:
    shorter for the young and for an animal whose weight changes fast.
    """
    if not course.by_weight:
        return DoseWeight(standing=Weight.NOT_NEEDED)
    known = sorted((one for one in animal.weighings if one.at <= now), key=lambda one: one.at)
    sound = [one for one in known if not one.doubted]
    oldest, said_by = _oldest(course, animal, sound, day_of(now, zone), book)
    if not sound:
        standing = Weight.DOUBTED if known else Weight.NONE
        words = "weighed, but with a doubt: weigh again" if known else "not weighed yet: weigh it"
        return DoseWeight(standing=standing, oldest=oldest, said_by=said_by, words=words)
    last = sound[-1]
    standing, words = _stands(last, known[-1], oldest, now, zone)
    change = _change(course, last)
    much = change is not None and abs(change) >= book.number("dose_second_weight_change_pct")
    return DoseWeight(
        standing=standing,
        grams=last.grams,
        weighed_at=last.at,
        oldest=oldest,
        said_by=said_by,
        change_pct=change,
        check_again=much,
        words=words,
    )


def _oldest(
    course: Course, animal: AnimalFacts, sound: list[Weighing], today: date, book: Knowledge
) -> tuple[Length, str]:
    """How old the weight may be, and who says so."""
    if course.weight_age is not None:
        return course.weight_age, "the order"
    limits = [("dose_weight_days", "usual")]
    if _may_be_young(animal, sound, today, book):
        limits.append(("dose_weight_days_young", "it may be young"))
    if sound and _changes_fast(sound, book):
        limits.append(("dose_weight_days_changing", "its weight changes fast"))
    shortest, why = min((book.number(key), why) for key, why in limits)
    return days(int(shortest)), why


def _may_be_young(animal: AnimalFacts, sound: list[Weighing], today: date, book: Knowledge) -> bool:
    """Known to be perhaps so young; or of an age nobody knows, and no heavier than the young."""
    youngest = animal.born.youngest_days(today)
    if youngest is not None:
        return youngest < book.number("dose_young_below_months") * DAYS_PER_MONTH
    return bool(sound) and sound[-1].grams < book.number("growing_weight_below_g")


def _changes_fast(sound: list[Weighing], book: Knowledge) -> bool:
    last = sound[-1]
    week = [one for one in sound[:-1] if last.at - one.at <= WEEK]
    most = max((abs(last.grams - one.grams) * HUNDRED / one.grams for one in week), default=0)
    return most >= book.number("dose_changing_pct_week")


def _stands(
    last: Weighing, newest: Weighing, oldest: Length, now: datetime, zone: tzinfo
) -> tuple[Weight, str]:
    if newest.doubted:
        return Weight.DOUBTED, "last weighed with a doubt: weigh again"
    if oldest.unit is Unit.HOURS:
        too_old = later(last.at, oldest, zone) < now
    else:
        too_old = (day_of(now, zone) - day_of(last.at, zone)).days > oldest.amount
    if too_old:
        return Weight.TOO_OLD, f"the weight may be {oldest.words} old at most: weigh it first"
    return Weight.CURRENT, ""


def _change(course: Course, last: Weighing) -> Decimal | None:
    """Per cent against the weight the last dose was worked out from; None where none was."""
    used = [one.weight_g for one in course.tries if one.weight_g is not None]
    if not used:
        return None
    return round((last.grams - used[-1]) * HUNDRED / used[-1], 1)
