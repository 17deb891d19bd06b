"""A picture of the syringe with its own marks, drawn up to the dose, and the mark in words.

The whole barrel, and below it the part around the mark enlarged where the marks are fine.
The marks are those of the syringe on the shelf; none is assumed.
"""

from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal

from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

from cavyround.engines.dosing import Syringe
from cavyround.facts.saying_amounts import number_words

LEFT, LONG = 60, 500
TOP, HIGH = 60, 54
ENLARGED_TOP = 218
BELOW = 27
# More marks than this cannot be counted on the small picture.
FINE = 25
WINDOW = 20
TEN, FIVE = 10, 5


@dataclass(frozen=True, slots=True)
class Scale:
    """A stretch of a barrel: from which mark to which, and where it lies on the picture."""

    first: int
    last: int
    top: int

    def x(self, marks: Decimal | int) -> float:
        """Where a number of marks lies."""
        part = (Decimal(marks) - self.first) / (self.last - self.first)
        return round(LEFT + float(part) * LONG, 1)


def mark_words(syringe: Syringe, to: Decimal) -> str:
    """``3 marks of 0.01 mL from nought``, ``0.2 mL and 6 marks of 0.01 mL``."""
    marks = to / syringe.mark_ml
    tens = (marks / TEN).quantize(Decimal(1), ROUND_FLOOR) * TEN
    rest = marks - tens
    small = f"{number_words(syringe.mark_ml)} mL"
    if not tens:
        return f"{number_words(rest)} mark{'' if rest == 1 else 's'} of {small} from nought"
    base = f"{number_words(tens * syringe.mark_ml)} mL"
    if not rest:
        return f"exactly at the {base} line"
    return f"the {base} line and {number_words(rest)} mark{'' if rest == 1 else 's'} of {small}"


def picture(syringe: Syringe, to: Decimal) -> SafeString:
    """The syringe drawn up to ``to`` mL."""
    count = int(syringe.holds_ml / syringe.mark_ml)
    whole = Scale(0, count, TOP)
    marks = to / syringe.mark_ml
    fine = count > FINE
    parts = [_barrel(whole, marks, syringe, whole=True)]
    if fine:
        first = max(0, min(int(marks) - WINDOW // 2, count - WINDOW))
        near = Scale(first, first + WINDOW, ENLARGED_TOP)
        parts.append(_cone(whole, near))
        parts.append(_barrel(near, marks, syringe, whole=False))
    words = f"{syringe.words}, drawn up to {number_words(to)} mL: {mark_words(syringe, to)}"
    return format_html(
        '<svg class="syringe" viewBox="0 0 640 {}" role="img" aria-label="{}">{}</svg>',
        306 if fine else 150,
        words,
        format_html_join("", "{}", ((part,) for part in parts)),
    )


def _barrel(scale: Scale, marks: Decimal, syringe: Syringe, *, whole: bool) -> SafeString:
    top, at = scale.top, scale.x(marks)
    begins = LEFT if whole else LEFT - 6
    ends = LEFT + LONG
    nozzle = (
        format_html(
            '<path class="glass" d="M{} {}h-26v-8h-18v-8h18v-8h26"/>', LEFT, top + HIGH / 2 + 12
        )
        if whole
        else ""
    )
    rod = format_html(
        '<rect class="rod" x="{}" y="{}" width="{}" height="14"/>',
        at + 16,
        top + HIGH / 2 - 7,
        max(0.0, (620 if whole else ends) - at - 16),
    )
    thumb = (
        format_html('<rect class="rod" x="616" y="{}" width="10" height="40"/>', top + 7)
        if whole
        else ""
    )
    return format_html(
        '{}<rect class="fluid" x="{}" y="{}" width="{}" height="{}"/>{}{}'
        '<rect class="stopper" x="{}" y="{}" width="16" height="{}"/>'
        '<rect class="glass" x="{}" y="{}" width="{}" height="{}"/>{}{}',
        nozzle,
        begins,
        top,
        max(0.0, at - begins),
        HIGH,
        rod,
        thumb,
        at,
        top + 1,
        HIGH - 2,
        begins,
        top,
        ends - begins,
        HIGH,
        _ticks(scale, syringe, fine=whole and scale.last > FINE),
        _arrow(at, top, marks, syringe),
    )


def _ticks(scale: Scale, syringe: Syringe, *, fine: bool) -> SafeString:
    """Every mark, longer at fives and tens, with numbers at the tens (enlarged: at the fives)."""
    numbered = TEN if fine else FIVE
    ticks, numbers = [], []
    for mark in range(scale.first, scale.last + 1):
        long = 26 if mark % TEN == 0 else 19 if mark % FIVE == 0 else 11
        ticks.append((scale.x(mark), scale.top, long))
        if mark % numbered == 0:
            numbers.append((scale.x(mark), scale.top + HIGH + BELOW, _number(syringe, mark)))
    return format_html(
        '<g class="ticks">{}</g><g class="numbers">{}</g>',
        format_html_join("", '<path d="M{} {}v{}"/>', ticks),
        format_html_join("", '<text x="{}" y="{}">{}</text>', numbers),
    )


def _number(syringe: Syringe, mark: int) -> str:
    if syringe.marked_in == "units":
        return str(mark)
    return number_words(mark * syringe.mark_ml)


def _arrow(at: float, top: int, marks: Decimal, syringe: Syringe) -> SafeString:
    ml = f"{number_words(marks * syringe.mark_ml)} mL"
    words = f"{number_words(marks)} units ({ml})" if syringe.marked_in == "units" else ml
    anchor = "start" if at < LEFT + 80 else "end" if at > LEFT + LONG - 80 else "middle"
    return format_html(
        '<path class="arrow" d="M{} {}l-8 -13h16z"/>'
        '<text class="drawn" x="{}" y="{}" text-anchor="{}">{}</text>',
        at,
        top - 3,
        at - 9 if anchor == "start" else at + 9 if anchor == "end" else at,
        top - 21,
        anchor,
        words,
    )


def _cone(whole: Scale, near: Scale) -> SafeString:
    """Lines from the small picture to the enlarged part."""
    return format_html(
        '<path class="cone" d="M{} {}L{} {}M{} {}L{} {}"/>',
        whole.x(near.first),
        TOP + HIGH + 34,
        LEFT,
        ENLARGED_TOP - 4,
        whole.x(near.last),
        TOP + HIGH + 34,
        LEFT + LONG,
        ENLARGED_TOP - 4,
    )
