"""How a course ends, and the days without between its blocks."""

from dataclasses import dataclass
from datetime import date

from cavyround.facts.lengths import LONGEST_DAYS, days

MOST_DOSES = 1000


def day_words(day: date) -> str:
    """``3 March 2026``."""
    return f"{day.day} {day:%B %Y}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rest:
    """Days without between blocks: after ``after_days`` days of doses, ``days`` days of none."""

    after_days: int
    days: int

    def __post_init__(self) -> None:
        """Refuse a block or a pause of no length."""
        if not (1 <= self.after_days <= LONGEST_DAYS and 1 <= self.days <= LONGEST_DAYS):
            msg = "a pause needs at least one day of doses before it and one day without"
            raise ValueError(msg)

    @property
    def words(self) -> str:
        """How it is said after the interval."""
        given = "1 day" if self.after_days == 1 else f"{self.after_days} days"
        return f"{given} of doses, then {days(self.days).words} without"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ending:
    """How it ends: after so many doses in all, with a last day, or when the vet says.

    ``doses`` counts every dose from the first. Both None: until the vet says.
    """

    doses: int | None = None
    last_day: date | None = None

    def __post_init__(self) -> None:
        """Refuse two ends at once and a number of doses that makes no sense."""
        if self.doses is not None and self.last_day is not None:
            msg = "a course ends after so many doses or with a last day, not both"
            raise ValueError(msg)
        if self.doses is not None and not 1 <= self.doses <= MOST_DOSES:
            msg = f"{self.doses} doses is not between 1 and {MOST_DOSES}"
            raise ValueError(msg)

    @property
    def is_open(self) -> bool:
        """Whether only the vet can end it."""
        return self.doses is None and self.last_day is None

    @property
    def words(self) -> str:
        """``4 doses in all``, ``to 3 March 2026``, ``until the vet says``."""
        if self.doses is not None:
            return "1 dose in all" if self.doses == 1 else f"{self.doses} doses in all"
        if self.last_day is not None:
            return f"to {day_words(self.last_day)}"
        return "until the vet says"


UNTIL_VET_SAYS = Ending()
