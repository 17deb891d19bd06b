"""Keep what the weights say, and what the herd has taught: sums of the weighings, never more."""

from collections.abc import Iterable, Mapping
from datetime import date
from uuid import UUID

from cavyround.record.models import HerdTaught, WeightSaid

KEPT = ("last_at", "said_at", "level", "kind", "score", "weigh_next_at", "weigh_why", "said")


def keep_weights_said(rows: Iterable[WeightSaid]) -> None:
    """Keep one row for each animal in the place of what was kept of it before."""
    WeightSaid.objects.bulk_create(
        list(rows), update_conflicts=True, unique_fields=["animal"], update_fields=KEPT
    )


def forget_weights_said(animals: Iterable[UUID]) -> None:
    """What was kept of some animals no longer holds."""
    WeightSaid.objects.filter(animal__in=list(animals)).delete()


def keep_taught(on: date, taught: Mapping[str, object]) -> None:
    """Keep what the herd had taught by a day."""
    HerdTaught.objects.update_or_create(on=on, defaults=dict(taught))
