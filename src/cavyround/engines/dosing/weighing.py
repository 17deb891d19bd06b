"""Whether a weighing can be dosed by: sound, fresh enough, and the animal not changing too fast."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

from cavyround.engines.dosing.given import KnownWeight
from cavyround.engines.dosing.said import Findings, Reason, WeightUsed
from cavyround.facts.animal import DAYS_PER_MONTH, AnimalFacts
from cavyround.facts.saying_amounts import number_words
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.medicines import Medicine

WEIGH = "Weigh it again now."
A_DAY = timedelta(days=1)


def youngest_days(
    animal: AnimalFacts, grams: Decimal | None, *, now: datetime, book: Knowledge
) -> int:
    """The least age in days it may have; a weight no young pup has raises an unknown one."""
    known = animal.born.youngest_days(now.date())
    if known is not None:
        return known
    heavy = grams is not None and grams >= book.number("at_least_a_month_g")
    return int(DAYS_PER_MONTH) if heavy else 0


def may_be_young(animal: AnimalFacts, grams: Decimal, *, now: datetime, book: Knowledge) -> bool:
    """Whether it may be under four months; of unknown age: lighter than a grown animal."""
    days = animal.born.youngest_days(now.date())
    if days is None:
        return grams < book.number("growing_weight_below_g")
    return days < book.number("dose_young_below_months") * DAYS_PER_MONTH


def look_at_weight(
    weight: KnownWeight,
    animal: AnimalFacts,
    medicine: Medicine | None,
    *,
    now: datetime,
    book: Knowledge,
) -> Findings:
    """Every reason not to dose by this weight."""
    found = Findings()
    if weight.grams is None or weight.at is None:
        found.reasons.append(_reason("no_weight", "It has not been weighed.", "Weigh it first."))
        return found
    grams, at = weight.grams, weight.at
    if doubt := _doubt(weight, grams, animal, now=now, book=book):
        found.reasons.append(_reason("weight_doubtful", f"The weight is doubtful: {doubt}.", WEIGH))
    if at > now:
        words = "The weighing lies in the future: a clock was wrong."
        found.reasons.append(_reason("weight_in_future", words, WEIGH))
        return found
    young = may_be_young(animal, grams, now=now, book=book)
    most = _most_days(medicine, young=young, book=book)
    age = _days_old(at, now)
    if age > most:
        words = f"The weighing is {age_words(now - at)} old; {_for_whom(most, young=young)}."
        found.reasons.append(_of_weighing("weight_too_old", words, grams, at, age))
    change = weight.change_pct_week
    fast = not young and change is not None and abs(change) >= book.number("dose_changing_pct_week")
    if fast and change is not None and age > book.number("dose_weight_days_changing"):
        words = f"Its weight is changing fast ({change_words(change)}): an old weighing misleads."
        found.reasons.append(_of_weighing("weight_changing", words, grams, at, age))
    _second_person(weight, grams, found, book)
    return found


def _most_days(medicine: Medicine | None, *, young: bool, book: Knowledge) -> int:
    usual = int(book.number("dose_weight_days"))
    drugs = medicine.weight_within_days if medicine else None
    most = drugs if drugs is not None else usual
    return min(most, int(book.number("dose_weight_days_young"))) if young else most


def _for_whom(most: int, *, young: bool) -> str:
    days = "a day" if most == 1 else f"{most} days"
    return f"for {'a young animal' if young else 'this medicine'} it may be at most {days} old"


def _days_old(at: datetime, now: datetime) -> int:
    """In days of the calendar: weighed on Monday morning it is a week old all next Monday."""
    return (now.date() - at.astimezone(now.tzinfo).date()).days


def _doubt(
    weight: KnownWeight, grams: Decimal, animal: AnimalFacts, *, now: datetime, book: Knowledge
) -> str:
    plausible = book.span("plausible_g")
    if not plausible.low <= grams <= plausible.high:
        return f"no guinea pig weighs {grams:f} g"
    youngest = animal.born.youngest_days(now.date())
    grown = book.number("grown_from_months") * DAYS_PER_MONTH
    least = book.number("doubtful_grown_weight_below_g")
    if youngest is not None and youngest > grown and grams < least:
        return f"{number_words(grams)} g is less than a grown animal weighs"
    return weight.doubt


def _second_person(weight: KnownWeight, grams: Decimal, found: Findings, book: Knowledge) -> None:
    before = weight.at_last_dose_g
    if before is None:
        return
    change = abs(grams - before) / before * 100
    if change > book.number("dose_second_weight_change_pct"):
        found.second.append(f"its weight has changed by {change:.0f} % since the last dose")


def used(weight: KnownWeight, now: datetime) -> WeightUsed | None:
    """The weighing a dose rests on, in words."""
    if weight.grams is None or weight.at is None:
        return None
    words = f"{number_words(weight.grams)} g, weighed {_ago(now - weight.at)}"
    if weight.change_pct_week is None:
        words += ", no trend known"
    else:
        words += f", {change_words(weight.change_pct_week)}"
    return WeightUsed(grams=weight.grams, at=weight.at, words=words)


def change_words(change: Decimal) -> str:
    """``gaining 1.2 % a week``, ``losing 6 % a week``, ``holding its weight``."""
    size = abs(change).quantize(Decimal("0.1"))
    if not size:
        return "holding its weight"
    return f"{'gaining' if change > 0 else 'losing'} {number_words(size)} % a week"


def age_words(age: timedelta) -> str:
    """``5 hours``, ``1 day``, ``9 days``."""
    days = age // A_DAY
    if not days:
        hours = age // timedelta(hours=1)
        return "less than an hour" if not hours else f"{hours} hour{'' if hours == 1 else 's'}"
    return f"{days} day{'' if days == 1 else 's'}"


def _ago(age: timedelta) -> str:
    return "just now" if age < timedelta(hours=1) else f"{age_words(age)} ago"


def _of_weighing(code: str, words: str, grams: Decimal, at: datetime, days: int) -> Reason:
    """A reason of this one weighing, and no older than it is today: that is what a vet decides."""
    which = f"{at.astimezone(UTC):%Y-%m-%d %H:%M} {number_words(grams)} g"
    return Reason(
        code=code, words=words, do=WEIGH, may="vet", of=which, at=Decimal(days), worse="more"
    )


def _reason(code: str, words: str, do: str) -> Reason:
    return Reason(code=code, words=words, do=do, may="nobody")
