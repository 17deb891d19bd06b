"""Say what the weights say: numbers with their units, in words a carer uses."""

from collections.abc import Sequence
from datetime import timedelta

from cavyround.engines.weight.said import Alarm, Band, Kind
from cavyround.knowledge.book import Knowledge

OUNCE_G = 28.349523125
HARDLY = 0.01
FEW = ("", "one weighing", "two weighings")


def grams(value: float) -> str:
    """Grams with ounces beside: ``54 g (1.9 oz)``."""
    return f"{value:.0f} g ({value / OUNCE_G:.1f} oz)"


def percent(value: float) -> str:
    """A share of one as per cent; never quite 0 or 100, for nothing here is certain."""
    if value < HARDLY:
        return "under 1 %"
    return "over 99 %" if value > 1 - HARDLY else f"{value * 100:.0f} %"


def why(
    kind: Kind, now: Band, normal: Band, trend: Band, p_loss: Sequence[float], count: int
) -> tuple[str, ...]:
    """The sentences behind an alarm. ``p_loss`` is for 3, 5 and 10 per cent."""
    few = (f"Said from {FEW[count]} only.",) if count < len(FEW) else ()
    return (*few, *BY_KIND[kind](now, normal, trend, p_loss))


def _loss(now: Band, normal: Band, trend: Band, p_loss: Sequence[float]) -> tuple[str, ...]:
    off = normal.mid - now.mid
    return (
        f"About {grams(off)} below its own normal of {normal.mid:.0f} g: "
        f"{off / normal.mid * 100:.1f} %.",
        f"Probability that it has truly lost more than 5 %: {percent(p_loss[1])}, "
        f"more than 10 %: {percent(p_loss[2])}.",
        _per_week(trend),
    )


def _growth(now: Band, normal: Band, trend: Band, _p_loss: Sequence[float]) -> tuple[str, ...]:
    off = normal.mid - now.mid
    return (
        f"About {grams(off)} below the {normal.mid:.0f} g it should have grown to: "
        f"{off / normal.mid * 100:.1f} %.",
        _per_week(trend),
    )


def _pregnancy(now: Band, normal: Band, trend: Band, p_loss: Sequence[float]) -> tuple[str, ...]:
    off = normal.mid - now.mid
    return (
        f"About {grams(off)} below the {normal.mid:.0f} g expected of her as she is pregnant.",
        f"Probability that she is more than 3 % behind: {percent(p_loss[0])}.",
        _per_week(trend),
    )


def _gain(now: Band, normal: Band, trend: Band, _p_loss: Sequence[float]) -> tuple[str, ...]:
    off = now.mid - normal.mid
    return (
        f"About {grams(off)} above its own normal of {normal.mid:.0f} g: "
        f"{off / normal.mid * 100:.1f} %.",
        _per_week(trend),
    )


def _per_week(trend: Band) -> str:
    between = f"between {trend.low:+.0f} and {trend.high:+.0f} g"
    if round(trend.mid) == 0:
        return f"Holding now ({between} a week)."
    verb = "Losing" if trend.mid < 0 else "Gaining"
    return f"{verb} about {abs(trend.mid):.0f} g a week ({between})."


BY_KIND = {
    Kind.LOSS: _loss,
    Kind.GROWTH: _growth,
    Kind.PREGNANCY: _pregnancy,
    Kind.GAIN: _gain,
}


def in_days(gap: timedelta) -> str:
    """A gap in whole days, in words."""
    days = round(gap / timedelta(days=1))
    return "today" if days <= 0 else "tomorrow" if days == 1 else f"in {days} days"


def headline(alarm: Alarm, book: Knowledge) -> str:
    """What an alarm says in one line; nothing where there is none."""
    for one in book.weight_signs:
        if one.sign == alarm.sign:
            return one.words[0].upper() + one.words[1:] + "."
    return ""
