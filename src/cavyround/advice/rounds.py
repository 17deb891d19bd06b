"""Today's list split over the people present, with the time each animal takes."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta

from django.db.models import Max

from cavyround.advice.book import book
from cavyround.advice.due import here_today
from cavyround.engines.housing import Stop, Stretch, minutes_per_animal, split_round
from cavyround.record.models import Check

TIMED_BACK = timedelta(days=60)


def round_of(people: Sequence[str], now: datetime) -> tuple[Stretch, ...]:
    """Today's list by pen in the order of the round, split over the people present."""
    stops: dict[tuple[str, str], list[str]] = {}
    rooms: dict[tuple[str, str], str] = {}
    for due in here_today(now).due:
        key = (due.group, str(due.pen.pk) if due.pen else "")
        stops.setdefault(key, []).append(str(due.animal.pk))
        rooms[key] = str(due.pen.room_id) if due.pen else ""
    asked = [
        Stop(group=group, pen=pen, animals=tuple(animals), room=rooms[(group, pen)])
        for (group, pen), animals in stops.items()
    ]
    everybody = [animal for stop in asked for animal in stop.animals]
    minutes = minutes_per_animal(timed_checks(now), everybody, book())
    return split_round(asked, people, minutes, book=book())


def timed_checks(now: datetime) -> Mapping[str, list[float]]:
    """How many minutes the whole checks of each animal took lately, from first touch to last."""
    checks = Check.objects.filter(
        kind__in=("full", "arrival"), finished_at__gte=now - TIMED_BACK, finished_at__lte=now
    )
    found: dict[str, list[float]] = defaultdict(list)
    spans = checks.order_by().values_list("animal", "started_at").annotate(end=Max("finished_at"))
    for animal, began, ended in spans:
        found[str(animal)].append((ended - began).total_seconds() / 60)
    return found
