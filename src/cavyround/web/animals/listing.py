"""All animals: search by name, microchip or marks; filter by here or left, and by pen."""

from dataclasses import dataclass
from typing import Any

from django.db.models import OuterRef, Q, QuerySet, Subquery
from django.http import HttpRequest, HttpResponseBase, QueryDict

from cavyround.record.models import AdviceGiven, Animal, Pen
from cavyround.web.animals.parts import show, wants_part
from cavyround.web.gate import for_readers

ON_A_PAGE = 50
# No pen has a number this long; the database would not take it.
LONGEST_PEN = 9
FILLERS = str.maketrans("", "", " .-\u00a0")
WHERE = (("here", "Here"), ("left", "Left"), ("all", "All"))
NO_PEN = "none"


@dataclass(frozen=True, slots=True)
class Sought:
    """What is looked for, as the address says it."""

    words: str
    where: str
    pen: str
    page: int

    @classmethod
    def read(cls, asked: QueryDict) -> "Sought":
        """Anything odd in the address means the plain list."""
        where, page = asked.get("where", "here"), asked.get("page", "1")
        pen = asked.get("pen", "")
        return cls(
            words=asked.get("q", "").strip()[:60],
            where=where if where in dict(WHERE) else "here",
            pen=pen if pen == NO_PEN or is_pen_number(pen) else "",
            page=int(page) if page.isdecimal() and 0 < int(page) < ON_A_PAGE**4 else 1,
        )


def is_pen_number(text: str) -> bool:
    """Whether a text from an address can be the number of a pen."""
    return text.isdecimal() and len(text) <= LONGEST_PEN


def _fitting(sought: Sought) -> QuerySet[Animal]:
    found = Animal.objects.all()
    if sought.where != "all":
        found = found.filter(left_on__isnull=sought.where == "here")
    if sought.pen == NO_PEN:
        found = found.filter(pen=None)
    elif sought.pen:
        found = found.filter(pen=int(sought.pen))
    if sought.words:
        says = Q(name__icontains=sought.words) | Q(identity_marks__icontains=sought.words)
        digits = sought.words.translate(FILLERS)
        if digits.isdecimal():
            says |= Q(microchip__contains=digits)
        found = found.filter(says | Q(colour__icontains=sought.words))
    return found


def _page_of(found: QuerySet[Animal], page: int) -> list[Any]:
    """A page of the animals found, and one more where there is a next page.

    First which, then what their rows show: else that is put together for all, to sort them.
    """
    start = (page - 1) * ON_A_PAGE
    ids = list(found.order_by("name", "pk").values_list("pk", flat=True)[start:][: ON_A_PAGE + 1])
    latest = AdviceGiven.objects.filter(animal=OuterRef("pk")).order_by("-made_at")
    rows = Animal.objects.filter(pk__in=ids).select_related("pen__room", "face")
    shown = rows.annotate(last_advice=Subquery(latest.values("urgency")[:1]))
    return list(shown.order_by("name", "pk"))


@for_readers
def animals(request: HttpRequest) -> HttpResponseBase:
    """The list, one page of it; as a fragment where only the rows are asked for."""
    sought = Sought.read(request.GET)
    rows = _page_of(_fitting(sought), sought.page)
    page = {
        "here": "animals",
        "sought": sought,
        "where": WHERE,
        "pens": Pen.objects.select_related("room"),
        "rows": rows[:ON_A_PAGE],
        "earlier": _address(request, sought.page - 1) if sought.page > 1 else "",
        "later": _address(request, sought.page + 1) if len(rows) > ON_A_PAGE else "",
        "any": bool(rows) or Animal.objects.exists(),
    }
    template = "web/animals/rows.html" if wants_part(request) else "web/animals/list.html"
    return show(request, template, page)


def _address(request: HttpRequest, page: int) -> str:
    asked = request.GET.copy()
    asked["page"] = str(page)
    return f"?{asked.urlencode()}"
