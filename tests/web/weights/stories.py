"""Stories of weighings by hand, as the engine would tell them."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from cavyround.engines.weight.said import (
    Ahead,
    Alarm,
    Band,
    Doubt,
    Expected,
    Kind,
    Reading,
    Story,
    WeighIn,
)
from cavyround.knowledge.urgency import Urgency
from tests.builders import NOW

LOSING = Alarm(
    level=Urgency.VET_DAYS,
    kind=Kind.LOSS,
    score=3.0,
    sign="weight_lost_5",
    why=("It has very likely lost more than 5 % of its own normal.", "About 80 g below."),
)


def band(mid: float, half: float = 12, unit: str = "g") -> Band:
    return Band(mid - half, mid, mid + half, unit)


def a_weighing(grams: float, days_ago: float, normal: float = 1000, **said: Any) -> WeighIn:
    """One weighing believed as it was read, beside an own normal."""
    return WeighIn(
        **{
            "at": NOW - timedelta(days=days_ago),
            "grams": Decimal(str(grams)),
            "id": f"w{days_ago}",
            "expected": Expected(likely=band(normal, 25), plausible=band(normal, 90), known=True),
            "level": band(grams),
            "own_normal": band(normal, 15),
            **said,
        }
    )


def a_doubted(grams: float, days_ago: float, words: str = "a digit too many") -> WeighIn:
    doubt = Doubt(reason="extra_digit", words=words)
    return a_weighing(grams, days_ago, doubt=doubt, level=band(1000))


def a_reading(trend: float = 0.0, half: float = 6.0, **said: Any) -> Reading:
    """Weighed often, now about 1000 g, changing by ``trend`` g a week."""
    return Reading(
        **{
            "at": NOW,
            "weighings": 12,
            "last_at": NOW - timedelta(days=1),
            "last_g": Decimal(1000),
            "now": band(1000),
            "week_ahead": band(1000 + trend, 25),
            "own_normal": band(1000, 15),
            "trend_g": band(trend, half, "g/week"),
            "trend_pct": band(trend / 10, half / 10, "%/week"),
            "p_loss": {3: 0.001, 5: 0.0, 10: 0.0},
            "sure": True,
            "weigh_again_in": timedelta(days=7),
            "weigh_why": "it keeps to its own normal",
            **said,
        }
    )


def a_loss(**said: Any) -> Reading:
    return a_reading(
        -30,
        10,
        **{
            "now": band(920),
            "last_g": Decimal(918),
            "p_loss": {3: 0.999, 5: 0.93, 10: 0.02},
            "alarm": LOSING,
            "weigh_again_in": timedelta(days=1),
            "weigh_why": "its weights gave an alarm",
            **said,
        },
    )


def a_story(
    weighings: Sequence[WeighIn], reading: Reading | None = None, *, ahead_days: int = 28
) -> Story:
    reading = reading or a_reading()
    level = reading.now or band(1000)
    ahead = [
        Ahead(at=_at(reading.at, days), level=Band(level.low - days, level.mid, level.high + days))
        for days in range(0, ahead_days + 1, 7)
    ]
    return Story(weighings=tuple(weighings), reading=reading, ahead=tuple(ahead))


def _at(begin: datetime, days: int) -> datetime:
    return begin + timedelta(days=days)


def a_fall() -> Story:
    """Steady at 1000 g for two months, then three weighings of loss."""
    steady = [a_weighing(1000 + (days % 3), days) for days in range(70, 14, -7)]
    falling = [a_weighing(g, d, alarm=LOSING) for g, d in ((960, 10), (940, 5), (918, 1))]
    return a_story([*steady, *falling], a_loss())
