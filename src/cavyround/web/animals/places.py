"""Places on the outline of the body: those marked at checks, and standing marks that hold."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from string import ascii_uppercase
from uuid import UUID

from cavyround.record.models import Animal, BodyPlace, Observed, StandingMark
from cavyround.web.animals.sittings import observed_words

# How long a mark on the outline is drawn strong though a later check marked nothing: a choice of
# drawing alone, nothing is reckoned with it.
DRAWN_STRONG = timedelta(days=14)
PLACES_SHOWN = 24
VIEWS = ("above", "below")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One sign on the outline, with the words the list beside it says."""

    sign: str
    view: str
    x: int
    y: int
    words: str
    at: datetime
    held: bool = False
    faint: bool = False


@dataclass(frozen=True, slots=True)
class Outline:
    """The body from one side with its signs; ``said`` tells a screen reader what is drawn."""

    view: str
    spots: tuple[Spot, ...]

    @property
    def said(self) -> str:
        """What is drawn, short; the list beside says it in full."""
        signs = ", ".join(spot.sign for spot in self.spots) or "no marks"
        return f"The body seen from {self.view}, nose up: {signs}"


def outlines_of(animal: Animal, held: Sequence[StandingMark], now: datetime) -> tuple[Outline, ...]:
    """The outlines from above and below; empty where nothing was ever marked."""
    spots = (*_standing(held), *_marked(animal, now))
    if not spots:
        return ()
    return tuple(Outline(v, tuple(spot for spot in spots if spot.view == v)) for v in VIEWS)


def _standing(held: Sequence[StandingMark]) -> list[Spot]:
    placed = [mark for mark in held if mark.view and mark.x is not None and mark.y is not None]
    return [
        Spot(
            sign=ascii_uppercase[number % len(ascii_uppercase)],
            view=mark.view,
            x=mark.x or 0,
            y=mark.y or 0,
            words=mark.words,
            at=mark.made_at,
            held=True,
        )
        for number, mark in enumerate(placed)
    ]


def _marked(animal: Animal, now: datetime) -> list[Spot]:
    rows = list(BodyPlace.objects.filter(animal=animal).order_by("-at", "-id")[:PLACES_SHOWN])
    wanted = [row.observation_id for row in rows if row.observation_id]
    seen = {row.pk: row for row in Observed.objects.filter(pk__in=wanted)}
    newest = rows[0].check_in_id if rows else None
    by_view = sorted(rows, key=lambda row: VIEWS.index(row.view))
    return [
        Spot(
            sign=str(number),
            view=row.view,
            x=row.x,
            y=row.y,
            words=_words(row, seen),
            at=row.at,
            faint=row.check_in_id != newest and row.at < now - DRAWN_STRONG,
        )
        for number, row in enumerate(by_view, start=1)
    ]


def _words(row: BodyPlace, seen: Mapping[UUID, Observed]) -> str:
    """The finding that is marked, the size measured on the outline, and the words said there."""
    found = seen.get(row.observation_id) if row.observation_id else None
    said = [observed_words(found)] if found else []
    if row.size_mm is not None and not (found and found.unit == "mm"):
        said.append(f"{row.size_mm.normalize():f} mm")
    said += [row.words] if row.words else []
    return ", ".join(said) or "marked without words"
