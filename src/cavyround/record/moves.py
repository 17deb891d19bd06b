"""Moves as they stand: with what was said of them afterwards, those withdrawn left out."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import QuerySet

from cavyround.record.models import Move, MoveCorrected


@dataclass(frozen=True, slots=True)
class StandingMove:
    """A move with the moment that stands for it."""

    row: Move
    at: datetime


def standing_moves(moves: QuerySet[Move], known_at: datetime | None = None) -> list[StandingMove]:
    """The moves that stand, in the order they happened; as known at ``known_at`` where given."""
    if known_at is not None:
        moves = moves.filter(made_at__lte=known_at)
    rows = list(moves.select_related("pen", "made_by"))
    last = _last_corrections([row.pk for row in rows], known_at)
    standing = [
        StandingMove(row, _moment(row, last.get(row.pk)))
        for row in rows
        if not (row.pk in last and last[row.pk].withdrawn)
    ]
    return sorted(standing, key=lambda one: (one.at, one.row.pk))


def _moment(row: Move, correction: MoveCorrected | None) -> datetime:
    return row.at if correction is None or correction.at is None else correction.at


def _last_corrections(
    moves: Iterable[UUID], known_at: datetime | None
) -> dict[UUID, MoveCorrected]:
    said = MoveCorrected.objects.filter(move__in=list(moves)).order_by("made_at", "id")
    if known_at is not None:
        said = said.filter(made_at__lte=known_at)
    return {one.move_id: one for one in said}
