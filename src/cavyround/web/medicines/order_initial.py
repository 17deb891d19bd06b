"""An order as the form shows it, to be changed: what it says, in the words it was typed in."""

from typing import Any

from django.utils import timezone

from cavyround.facts.lengths import Length, Unit
from cavyround.record.models import Order
from cavyround.record.orders import limits_of, schedule_of


def initial_of(order: Order) -> dict[str, Any]:
    """The fields of the form as the order has them; the day it was ordered is today's again."""
    schedule, limits, today = schedule_of(order), limits_of(order), timezone.localdate()
    first = timezone.localtime(schedule.first_at) if schedule.first_at else None
    times = [f"{first:%H:%M}"] if first else [f"{at:%H:%M}" for at in schedule.at]
    said: dict[str, Any] = {
        "kind": "care" if order.care else "medicine",
        "ordered_on": today,
        "first_on": today,
        "often": _often(schedule.every),
        "times": " ".join(times),
        "doses": None if schedule.every is None else schedule.ends.doses,
        "last_day": schedule.ends.last_day,
        "until_vet_says": schedule.every is not None and schedule.ends.is_open,
        "if_late": schedule.if_late,
        "if_missed": schedule.if_missed,
        "if_partly": schedule.if_partly,
        "day_off": schedule.day_off,
        "move_days": schedule.move_days or None,
        "kills_eggs": {True: "yes", False: "no"}.get(order.kills_eggs, ""),  # type: ignore[arg-type]
        "animals": [
            str(one) for one in order.courses.filter(stops=None).values_list("animal", flat=True)
        ],
    }
    for name in ("early", "late", "missed_after", "least_apart"):
        length = getattr(schedule, name)
        said[name] = length.words if length else ""
    if schedule.rest is not None:
        said |= {"pause_after": schedule.rest.after_days, "pause_days": schedule.rest.days}
    for name in ("not_under_g", "not_over_g", "not_under_days", "not_over_days"):
        value = getattr(limits, name)
        said[name] = None if value is None else int(value)
    for name in ("not_pregnant", "not_nursing"):
        said[name] = getattr(limits, name)
    for name in (
        *("drug", "care", "vet", "word", "why", "dose", "route", "strength", "counted_as"),
        *("diluent", "withdrawal_days", "weight_within_days", "recheck_days", "against"),
        *("lasts_days", "second_check", "standing", "note", "product"),
    ):
        said[name] = getattr(order, name)
    return said


def _often(every: Length | None) -> str:
    if every is None:
        return "once"
    return f"every {every.amount} {'hours' if every.unit is Unit.HOURS else 'days'}"
