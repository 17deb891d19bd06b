"""The weights of the herd: those to worry about first, as rows or in one picture."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
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
from cavyround.web.templatetags.words import ounces
from cavyround.web.weights.kept import Standing, kept_readings, kind_of, spots_kept, standings_of
from cavyround.web.weights.measures import plain_grams
from cavyround.web.weights.overview import Ranked, specification
from cavyround.web.weights.rendering import as_svg
from cavyround.web.weights.rows import rows_of
from cavyround.web.weights.saying import said_of, trend_arrow, trend_short

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


def _is_of(one: Standing, kind: str, now: datetime) -> bool:
    """Whether an animal belongs to a kind of the filter."""
    if kind == TO_WEIGH:
        return _is_due(one, now)
    if kind == ANY_ALARM:
        return bool(one.kind)
    return one.kind == ("" if kind == NO_ALARM else kind)


def _is_due(one: Standing, now: datetime) -> bool:
    """Whether it should be weighed today; one never weighed should."""
    return one.due_at is None or timezone.localdate(one.due_at) <= timezone.localdate(now)


def _counts(herd: Sequence[Standing], now: datetime) -> list[tuple[str, str, int]]:
    """How many of each kind, for the strip on top."""
    kinds = Counter(one.kind for one in herd)
    found = [(kind.value, KINDS[kind], kinds[kind.value]) for kind in Kind if kinds[kind.value]]
    due = sum(_is_due(one, now) for one in herd)
    return [*found, (TO_WEIGH, KINDS[TO_WEIGH], due), (NO_ALARM, KINDS[NO_ALARM], kinds[""])]


def _living_in(pen: str) -> QuerySet[Animal]:
    here = Animal.objects.filter(left_on=None)
    if pen == NO_PEN:
        return here.filter(pen=None)
    if pen.startswith(OF_A_KIND):
        return here.filter(pen__kind=pen.removeprefix(OF_A_KIND))
    return here.filter(pen=int(pen)) if pen else here


def animals_in_order(ids: Sequence[UUID]) -> list[Animal]:
    """The animals of a page of the herd with what a row shows, in the order given."""
    found = Animal.objects.select_related("pen__room", "face").in_bulk(list(ids))
    return [found[one] for one in ids]


@for_readers
def herd_weights(request: HttpRequest) -> HttpResponseBase:
    """One page of the herd, a row each."""
    sought, now = Sought.read(request.GET), timezone.now()
    herd = standings_of(_living_in(sought.pen), now)
    fitting = [one for one in herd if not sought.kind or _is_of(one, sought.kind, now)]
    shown = fitting[(sought.page - 1) * ON_A_PAGE : sought.page * ON_A_PAGE]
    ids = [one.id for one in shown]
    animals, readings = animals_in_order(ids), kept_readings(ids, now)
    felt = last_felt(animals, now)
    page = _frame(request, sought, herd, now) | {
        "rows": rows_of(animals, readings, spots_kept(shown, now), now, felt=felt),
        **_pages(request, sought, len(fitting), ON_A_PAGE),
    }
    template = "web/weights/herd_rows.html" if wants_part(request) else "web/weights/herd.html"
    return show(request, template, page)


@for_readers
def herd_overview(request: HttpRequest) -> HttpResponseBase:
    """The trends of the herd in one picture, and as a table."""
    sought, now = Sought.read(request.GET), timezone.now()
    herd = standings_of(_living_in(sought.pen), now)
    fitting = [one for one in herd if not sought.kind or _is_of(one, sought.kind, now)]
    readings = kept_readings([one.id for one in fitting], now)
    known = [one for one in fitting if trend_short(readings[one.id])]
    known.sort(key=lambda one: _losing_first(readings[one.id]))
    shown = known[(sought.page - 1) * IN_ONE_PICTURE : sought.page * IN_ONE_PICTURE]
    ranked = tuple(_ranked(one.name, readings[one.id]) for one in shown)
    page = _frame(request, sought, herd, now) | {
        "picture": picture(ranked, PHONE_PX) if ranked else "",
        "wide_picture": picture(ranked, DESK_PX) if ranked else "",
        "lines": [
            _line(animal, readings[animal.pk], now)
            for animal in animals_in_order([one.id for one in shown])
        ],
        "without": [one for one in fitting if not trend_short(readings[one.id])],
        **_pages(request, sought, len(known), IN_ONE_PICTURE),
    }
    template = "overview_rows" if wants_part(request) else "overview"
    return show(request, f"web/weights/{template}.html", page)


def _line(animal: Animal, reading: Reading, now: datetime) -> dict[str, Any]:
    said = said_of(reading, now)
    trend = "" if said.stale else f"{trend_arrow(reading)} {trend_short(reading)}"
    last = reading.last_g or Decimal(0)  # one with a trend was weighed
    weight = {"grams": plain_grams(last), "ounces": ounces(last)}
    return {"animal": animal, "said": said, "trend": trend, **weight}


def _losing_first(reading: Reading) -> tuple[bool, float]:
    """Those with an alarm as they are ranked, the calm ones from losing to gaining."""
    calm = not kind_of(reading)
    return (calm, reading.trend_pct.mid if calm and reading.trend_pct else 0.0)


def _frame(
    request: HttpRequest, sought: Sought, herd: Sequence[Standing], now: datetime
) -> dict[str, Any]:
    return {
        "here": "weights",
        "sought": sought,
        "kinds": list(KINDS.items()),
        "counts": _counts(herd, now),
        "pens": Pen.objects.select_related("room"),
        "pen_kinds": [(f"{OF_A_KIND}{code}", words) for code, words in PenKind.choices],
        "query": _query(request, page=None),
        "any": bool(herd) or Animal.objects.filter(left_on=None).exists(),
    }


def _pages(request: HttpRequest, sought: Sought, found: int, size: int) -> dict[str, str | int]:
    """The addresses of the pages before and after, and which of how many are shown."""
    begin = (sought.page - 1) * size
    return {
        "first": begin + 1,
        "last": min(begin + size, found),
        "found": found,
        "earlier": _query(request, page=sought.page - 1) if sought.page > 1 else "",
        "later": _query(request, page=sought.page + 1) if sought.page * size < found else "",
    }


def _query(request: HttpRequest, *, page: int | None) -> str:
    asked = request.GET.copy()
    asked.pop("page", None)
    if page is not None:
        asked["page"] = str(page)
    return f"?{asked.urlencode()}" if asked else ""


def _ranked(name: str, reading: Reading) -> Ranked:
    trend = reading.trend_pct
    if trend is None:
        msg = f"{name} has no trend to draw"
        raise ValueError(msg)
    return Ranked(name, trend.low, trend.mid, trend.high, kind_of(reading))


@lru_cache(maxsize=32)
def picture(ranked: tuple[Ranked, ...], width: int) -> SafeString:
    """The ranked picture; the same herd is drawn once."""
    words = f"Trend of {len(ranked)} animals, per cent a week; the table below says the same"
    return as_svg(specification(ranked, width), words, css="plot overview")
