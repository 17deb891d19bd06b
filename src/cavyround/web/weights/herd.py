"""The weights of the herd: those to worry about first, as rows or in one picture."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any
from uuid import UUID

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponseBase, QueryDict
from django.utils import timezone
from django.utils.safestring import SafeString

from cavyround.advice.condition import last_felt
from cavyround.engines.weight.said import Kind, Reading
from cavyround.record.models import Animal, Pen, PenKind
from cavyround.web.animals.listing import NO_PEN, is_pen_number
from cavyround.web.animals.parts import show, wants_part
from cavyround.web.gate import for_readers
from cavyround.web.weights.kept import KeptHerd, kept_of, spots_kept
from cavyround.web.weights.overview import Ranked, specification
from cavyround.web.weights.rendering import as_svg
from cavyround.web.weights.rows import kind_of, rows_of, worry_first
from cavyround.web.weights.saying import due_at, said_of, trend_short

ON_A_PAGE = 25
IN_ONE_PICTURE = 40
OF_A_KIND = "kind-"
ANY_ALARM, NO_ALARM, TO_WEIGH = "alarm", "calm", "due"
KINDS = {
    ANY_ALARM: "Any alarm",
    Kind.LOSS: "Losing",
    Kind.GROWTH: "Not growing",
    Kind.PREGNANCY: "Pregnancy",
    Kind.GAIN: "Gaining",
    Kind.WEIGH_AGAIN: "Weigh again",
    TO_WEIGH: "Weigh-in due",
    NO_ALARM: "No alarm",
}
HIGHEST_PAGE = 9999
PHONE_PX, DESK_PX = 215, 560


@dataclass(frozen=True, slots=True)
class Sought:
    """What is looked for, as the address says it."""

    pen: str
    kind: str
    page: int

    @classmethod
    def read(cls, asked: QueryDict) -> "Sought":
        """Anything odd in the address means the plain list."""
        pen, kind, page = asked.get("pen", ""), asked.get("kind", ""), asked.get("page", "1")
        known = pen == NO_PEN or is_pen_number(pen) or pen.removeprefix(OF_A_KIND) in PenKind.values
        return cls(
            pen=pen if known else "",
            kind=kind if kind in KINDS else "",
            page=int(page) if page.isdecimal() and 0 < int(page[:9]) <= HIGHEST_PAGE else 1,
        )


@dataclass(frozen=True, slots=True)
class _Herd:
    """The animals of the pens asked for, each with its reading, those to worry about first."""

    now: datetime
    kept: KeptHerd
    ranked: list[Animal]

    @property
    def readings(self) -> Mapping[UUID, Reading]:
        return self.kept.readings

    def of_kind(self, kind: str) -> list[Animal]:
        return [one for one in self.ranked if not kind or self.is_of(one, kind)]

    def is_of(self, animal: Animal, kind: str) -> bool:
        reading = self.readings[animal.pk]
        if kind == TO_WEIGH:
            return _is_due(reading, self.now)
        alarm = kind_of(reading)
        return bool(alarm) if kind == ANY_ALARM else alarm == ("" if kind == NO_ALARM else kind)

    def losing_first(self, animal: Animal) -> tuple[bool, float]:
        """Those with an alarm as they are ranked, the calm ones from losing to gaining."""
        reading = self.readings[animal.pk]
        calm = not kind_of(reading)
        return (calm, reading.trend_pct.mid if calm and reading.trend_pct else 0.0)

    def counts(self) -> list[tuple[str, str, int]]:
        """How many of each kind, for the strip on top."""
        kinds = Counter(kind_of(self.readings[one.pk]) for one in self.ranked)
        found = [(kind.value, KINDS[kind], kinds[kind.value]) for kind in Kind]
        due = sum(_is_due(self.readings[one.pk], self.now) for one in self.ranked)
        shown = [one for one in found if one[2]]
        return [*shown, (TO_WEIGH, KINDS[TO_WEIGH], due), (NO_ALARM, KINDS[NO_ALARM], kinds[""])]


def _is_due(reading: Reading, now: datetime) -> bool:
    """Whether it should be weighed today; one never weighed should."""
    due = due_at(reading)
    return due is None or timezone.localdate(due) <= timezone.localdate(now)


def _herd(sought: Sought, now: datetime) -> _Herd:
    animals = list(_living_in(sought.pen))
    kept = kept_of(animals, now)
    return _Herd(now, kept, worry_first(animals, kept.readings))


def _living_in(pen: str) -> QuerySet[Animal]:
    here = Animal.objects.filter(left_on=None).select_related("pen__room", "face")
    if pen == NO_PEN:
        return here.filter(pen=None)
    if pen.startswith(OF_A_KIND):
        return here.filter(pen__kind=pen.removeprefix(OF_A_KIND))
    return here.filter(pen=int(pen)) if pen else here


@for_readers
def herd_weights(request: HttpRequest) -> HttpResponseBase:
    """One page of the herd, a row each."""
    sought = Sought.read(request.GET)
    herd = _herd(sought, timezone.now())
    fitting = herd.of_kind(sought.kind)
    shown = _on_page(fitting, sought.page, ON_A_PAGE)
    spots = spots_kept(shown, herd.kept, herd.now)
    felt = last_felt(shown, herd.now)
    page = _frame(request, sought, herd) | {
        "rows": rows_of(shown, herd.readings, spots, herd.now, felt=felt),
        "found": len(fitting),
        **_pages(request, sought, len(fitting), ON_A_PAGE),
    }
    template = "web/weights/herd_rows.html" if wants_part(request) else "web/weights/herd.html"
    return show(request, template, page)


@for_readers
def herd_overview(request: HttpRequest) -> HttpResponseBase:
    """The trends of the herd in one picture, and as a table."""
    sought = Sought.read(request.GET)
    herd = _herd(sought, timezone.now())
    fitting = herd.of_kind(sought.kind)
    with_trend = sorted(
        (one for one in fitting if trend_short(herd.readings[one.pk])), key=herd.losing_first
    )
    shown = _on_page(with_trend, sought.page, IN_ONE_PICTURE)
    ranked = tuple(_ranked(one, herd.readings[one.pk]) for one in shown)
    page = _frame(request, sought, herd) | {
        "picture": picture(ranked, PHONE_PX) if ranked else "",
        "wide_picture": picture(ranked, DESK_PX) if ranked else "",
        "lines": [_line(one, herd.readings[one.pk], herd.now) for one in shown],
        "without": [one for one in fitting if one not in with_trend],
        "found": len(fitting),
        **_pages(request, sought, len(with_trend), IN_ONE_PICTURE),
    }
    template = "overview_rows" if wants_part(request) else "overview"
    return show(request, f"web/weights/{template}.html", page)


def _frame(request: HttpRequest, sought: Sought, herd: _Herd) -> dict[str, Any]:
    return {
        "here": "weights",
        "sought": sought,
        "kinds": list(KINDS.items()),
        "counts": herd.counts(),
        "pens": Pen.objects.select_related("room"),
        "pen_kinds": [(f"{OF_A_KIND}{code}", words) for code, words in PenKind.choices],
        "query": _query(request, page=None),
        "any": bool(herd.ranked) or Animal.objects.filter(left_on=None).exists(),
    }


def _on_page(animals: list[Animal], page: int, size: int) -> list[Animal]:
    return animals[(page - 1) * size : page * size]


def _pages(request: HttpRequest, sought: Sought, found: int, size: int) -> dict[str, str]:
    return {
        "earlier": _query(request, page=sought.page - 1) if sought.page > 1 else "",
        "later": _query(request, page=sought.page + 1) if sought.page * size < found else "",
    }


def _query(request: HttpRequest, *, page: int | None) -> str:
    asked = request.GET.copy()
    asked.pop("page", None)
    if page is not None:
        asked["page"] = str(page)
    return f"?{asked.urlencode()}" if asked else ""


def _ranked(animal: Animal, reading: Reading) -> Ranked:
    trend = reading.trend_pct
    if trend is None:
        msg = f"{animal} has no trend to draw"
        raise ValueError(msg)
    return Ranked(animal.name, trend.low, trend.mid, trend.high, kind_of(reading))


def _line(animal: Animal, reading: Reading, now: datetime) -> dict[str, Any]:
    return {"animal": animal, "reading": reading, "said": said_of(reading, now)}


@lru_cache(maxsize=32)
def picture(ranked: tuple[Ranked, ...], width: int) -> SafeString:
    """The ranked picture; the same herd is drawn once."""
    words = f"Trend of {len(ranked)} animals, per cent a week; the table below says the same"
    return as_svg(specification(ranked, width), words, css="plot overview")
