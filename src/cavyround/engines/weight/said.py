"""What the weight engine says: bands, probabilities, an alarm with its words, a doubt with its."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from decimal import Decimal
from enum import StrEnum

from cavyround.knowledge.urgency import Urgency


class Kind(StrEnum):
    """What an alarm is about."""

    LOSS = "loss"
    GROWTH = "growth"
    PREGNANCY = "pregnancy"
    GAIN = "gain"
    WEIGH_AGAIN = "weigh_again"


@dataclass(frozen=True, slots=True)
class Band:
    """A value with the interval it lies in with 95 % probability. ``unit`` is g, g/week or %/week.

    ``mid`` is the most likely value.
    """

    low: float
    mid: float
    high: float
    unit: str = "g"


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """Why a weight should be read again before it is believed.

    ``reason`` is one of far, ounces, swapped_digits, missing_digit, extra_digit,
    wrong_digit, carrier, neighbour; ``meant_g`` is the weight it would then have
    been, where one fits; ``fits`` the id of the pen-mate it fits better.
    """

    reason: str
    words: str
    meant_g: Decimal | None = None
    fits: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What the next weighing of one animal should show at a moment, before it is weighed.

    ``likely`` holds nineteen weighings in twenty; outside ``plausible`` a weighing
    is doubted. ``known`` is False where no earlier weighing speaks for it.
    """

    likely: Band
    plausible: Band
    known: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Alarm:
    """What the weights say on one day.

    ``level`` NORMAL says nothing; ``score`` rises with concern and is 0 where an
    alarm begins; ``sign`` is what rules may ask for. That a sow gains as a pregnant one
    does is said too, and is no worry: the score stays below 0.
    """

    level: Urgency = Urgency.NORMAL
    kind: Kind | None = None
    score: float = 0.0
    sign: str = ""
    why: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class WeighIn:
    """One weighing as it was on its day, knowing only what was known then.

    ``expected`` is what it should have shown; ``level``, ``own_normal``, the trends and
    ``p_loss`` are what was believed once it was known, as in ``Reading``. ``doubt``
    says that it is rather a slip than this animal's weight, or was left in doubt.
    """

    at: datetime
    grams: Decimal
    id: str | None = None
    expected: Expected | None = None
    level: Band | None = None
    own_normal: Band | None = None
    doubt: Doubt | None = None
    alarm: Alarm = field(default_factory=Alarm)
    trend_g: Band | None = None
    trend_pct: Band | None = None
    p_loss: Mapping[int, float] = field(default_factory=dict)
    sure: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What the weights of one animal say at ``at``.

    ``own_normal`` is the weight the animal has held lately, moved on by the growth
    it should show. ``p_loss`` maps 3, 5 and 10 per cent to the probability that it
    has truly lost more than that against it. ``sure`` is False with one or two
    weighings: then nothing is said with confidence. ``weigh_again_in`` is how long
    the next weighing may wait, counted from the last, with ``weigh_why``;
    ``expected`` is what a weighing at ``at`` should show; ``best`` the most it was
    believed to weigh within about a year, not counting pregnancy. Bands are None where
    nothing was weighed.
    """

    at: datetime
    weighings: int = 0
    last_at: datetime | None = None
    last_g: Decimal | None = None
    now: Band | None = None
    week_ahead: Band | None = None
    own_normal: Band | None = None
    trend_g: Band | None = None
    trend_pct: Band | None = None
    p_loss: Mapping[int, float] = field(default_factory=dict)
    alarm: Alarm = field(default_factory=Alarm)
    sure: bool = False
    weigh_again_in: timedelta | None = None
    weigh_why: str = ""
    expected: Expected | None = None
    best: Band | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """What is expected on one coming day if nothing changes."""

    at: datetime
    level: Band


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """All weighings of one animal, each as it was on its day, and what they say now."""

    weighings: tuple[WeighIn, ...]
    reading: Reading
    ahead: tuple[Ahead, ...] = ()
