"""What is possible for an animal: sex, age, pregnancy. Unknown counts as possible."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal
from functools import cached_property

from cavyround.facts.animal import DAYS_PER_MONTH, AnimalFacts, Known, Place, Sex
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.conditions import AnimalIs
from cavyround.knowledge.vocabulary import Fits

PREGNANCY_FINDINGS = frozenset({"pregnant", "moving_pups", "straining_birth"})


@dataclass(frozen=True, slots=True)
class Doubts:
    """For what an unknown counts as fitting: to be old, to be young, pregnant, late pregnant."""

    old: bool
    young: bool
    pregnant: bool
    late: bool


# An urgency is never lowered by what nobody knows.
FOR_URGENCY = Doubts(old=True, young=True, pregnant=True, late=True)
# A problem is not named on the mere chance of a pup or a pregnancy; the urgency stays.
FOR_NAMING = Doubts(old=True, young=False, pregnant=False, late=False)
# Not knowing leaves no step of a check out, but a sow who may be pregnant is not pressed.
FOR_PLANNING = Doubts(old=False, young=False, pregnant=True, late=False)


@dataclass(frozen=True)
class Signalment:
    """The animal's sex, age, pregnancy and place, asked as "may it be …?"."""

    facts: AnimalFacts
    now: datetime
    book: Knowledge
    doubts: Doubts = FOR_URGENCY

    @property
    def today(self) -> date:
        """The day of ``now``."""
        return self.now.date()

    @cached_property
    def youngest_months(self) -> Decimal:
        """The least age it may have; a weight no young pup has raises it."""
        days = self.facts.born.youngest_days(self.today)
        if days is not None:
            return Decimal(days) / DAYS_PER_MONTH
        sound = [w.grams for w in self.facts.weighings if not w.doubted]
        heavy = sound and sound[-1] >= self.book.number("at_least_a_month_g")
        return Decimal(1) if heavy else Decimal(0)

    @cached_property
    def oldest_months(self) -> Decimal | None:
        """The greatest age it may have; None where there is no bound."""
        days = self.facts.born.oldest_days(self.today)
        return None if days is None else Decimal(days) / DAYS_PER_MONTH

    def may_be_from(self, months: Decimal) -> bool:
        """Whether it may be at least so old."""
        if self.oldest_months is None:
            return self.doubts.old
        return self.oldest_months >= months

    def may_be_below(self, months: Decimal) -> bool:
        """Whether it may be younger than that."""
        if not self.doubts.young and self.facts.born.latest is None:
            return False
        return self.youngest_months < months

    def may_be_sex(self, sex: str) -> bool:
        """Whether it may be of this sex."""
        return self.facts.sex in (Sex.UNKNOWN, sex)

    @cached_property
    def seems_pregnant(self) -> bool:
        """Known or recorded as possible, or a day to come or something found says so."""
        if self.facts.pregnant in (Known.YES, Known.POSSIBLE):
            return True
        if self.facts.due_from is not None and self.facts.pregnant is Known.UNKNOWN:
            return True
        return any(o.finding in PREGNANCY_FINDINGS and o.is_there for o in self.facts.known_now)

    @cached_property
    def may_be_pregnant(self) -> bool:
        """An entire sow of breeding age of whom nobody knows counts too."""
        if not self.may_be_sex(Sex.SOW):
            return False
        if self.seems_pregnant:
            return True
        if not self.doubts.pregnant or self.facts.pregnant is Known.NO:
            return False
        if self._here_past_any_term:
            return False
        breeding = self.book.number("breeding_age_sow_months")
        return self.facts.neutered is not Known.YES and self.may_be_from(breeding)

    @property
    def _here_past_any_term(self) -> bool:
        """Here longer than the longest gestation, and never known to have met a boar since.

        Without this every resident sow of whom nobody wrote "no" would count as pregnant
        for ever, and a quiet one as an emergency.
        """
        arrived = self.facts.arrived_on
        if arrived is None:
            return False
        met = {"mated", "other_sex_company"} & {event.what for event in self.facts.events}
        longest = int(self.book.number("pregnancy_watch_days"))
        return not met and (self.today - arrived).days > longest

    @cached_property
    def may_be_late_pregnant(self) -> bool:
        """Within the last weeks, or how far on is not known."""
        if not self.may_be_pregnant:
            return False
        if not (self.doubts.late or self.seems_pregnant):
            return False
        if self.facts.due_from is None:
            return True
        last_weeks = timedelta(days=int(self.book.number("late_pregnancy_last_days")))
        return self.today >= self.facts.due_from - last_weeks

    def gave_birth_within(self, days: int) -> bool:
        """Whether a birth is known within so many days; a birth of unknown day counts."""
        births = [e for e in self.facts.events if e.what == "gave_birth"]
        return any(e.on is None or (self.today - e.on).days <= days for e in births)

    def fits(self, wanted: AnimalIs) -> bool:
        """Whether the animal fits every key given."""
        return (
            (wanted.sex is None or self.may_be_sex(wanted.sex))
            and (wanted.neutered is None or self._may_be_neutered(neutered=wanted.neutered))
            and (not wanted.pregnant or self.may_be_pregnant)
            and (not wanted.pregnant_known or self.seems_pregnant)
            and (not wanted.late_pregnant or self.may_be_late_pregnant)
            and (wanted.after_birth_days is None or self.gave_birth_within(wanted.after_birth_days))
            and (wanted.from_months is None or self.may_be_from(wanted.from_months))
            and (wanted.below_months is None or self.may_be_below(wanted.below_months))
            and (not wanted.coat or bool(self.facts.coat & set(wanted.coat)))
            and (not wanted.place or self._is_in(wanted.place))
        )

    def _may_be_neutered(self, *, neutered: bool) -> bool:
        against = Known.NO if neutered else Known.YES
        return self.facts.neutered is not against

    def _is_in(self, places: tuple[str, ...]) -> bool:
        if self.facts.place is None:
            return False
        if self.facts.place is Place.NEW_ARRIVAL:
            return "new_arrival" in places
        return self.facts.place in places

    def may_have(self, fits: Fits) -> bool:
        """Whether a problem can happen to this animal at all."""
        return all(
            (
                fits.sex is None or self.may_be_sex(fits.sex),
                fits.from_months is None
                or self.oldest_months is None
                or self.oldest_months >= fits.from_months,
                fits.below_months is None or self.youngest_months < fits.below_months,
                fits.neutered is None or self._may_be_neutered(neutered=fits.neutered),
            )
        )
