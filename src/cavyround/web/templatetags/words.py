"""Filters and tags that put values into the words of the trade."""

import hashlib
from datetime import date, datetime
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from pathlib import Path
from typing import Any

from django import template
from django.contrib.staticfiles import finders
from django.templatetags.static import static
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString

from cavyround.advice.book import book
from cavyround.facts.animal import Born
from cavyround.knowledge.urgency import Urgency

register = template.Library()

# International avoirdupois ounce, exact (International Yard and Pound Agreement, 1959).
GRAMS_PER_OUNCE = Decimal("28.349523125")
OUNCES_PER_POUND = 16
DAYS_PER_MONTH = 30.4375
MONTHS_PER_YEAR = 12
YOUNG_MONTHS = 24
BARS = 4


@cache
def _digest(path: str) -> str:
    found = finders.find(path)
    if not isinstance(found, str):
        msg = f"no static file {path}"
        raise FileNotFoundError(msg)
    return hashlib.sha256(Path(found).read_bytes()).hexdigest()[:12]


@register.simple_tag
def asset(path: str) -> str:
    """A static file's address with its content's hash, so that browsers may keep it for ever."""
    return f"{static(path)}?{_digest(path)}"


@register.filter
def grams(value: Decimal | float | None) -> str:
    """Grams with pounds and ounces beside: ``1,043 g (2 lb 4.8 oz)``; empty says not weighed."""
    if value is None or value == "":
        return "not weighed"
    amount = Decimal(str(value))
    return f"{amount.quantize(Decimal(1), ROUND_HALF_UP):,} g ({ounces(amount)})"


def ounces(amount: Decimal) -> str:
    """Pounds and ounces for grams, to a tenth of an ounce."""
    tenths = (amount / GRAMS_PER_OUNCE).quantize(Decimal("0.1"), ROUND_HALF_UP)
    pounds, rest = divmod(tenths, OUNCES_PER_POUND)
    return f"{int(pounds)} lb {rest} oz" if pounds else f"{rest} oz"


@register.filter
def day(value: date | datetime | None) -> str:
    """A day in words that cannot be misread: ``3 March 2026``."""
    if value is None:
        return "not known"
    if isinstance(value, datetime):
        value = timezone.localtime(value).date()
    return f"{value.day} {value:%B %Y}"


@register.filter
def moment(value: datetime | None) -> str:
    """A day and time in the rescue's zone: ``3 March 2026, 09:12``."""
    if value is None:
        return "not known"
    local = timezone.localtime(value)
    return f"{day(local)}, {local:%H:%M}"


@register.filter
def age(animal: Any) -> str:
    """An animal's age in words, with how sure."""
    return age_on(animal, timezone.localdate())


def age_on(animal: Any, today: date) -> str:
    """Its age on a day."""
    born = Born(earliest=animal.born_earliest, latest=animal.born_latest)
    young, old = born.youngest_days(today), born.oldest_days(today)
    if young is None and old is None:
        return "age not known"
    if young is None or old is None or young == old:
        prefix = "" if born.is_exact else ("at most " if young is None else "at least ")
        return prefix + _span(old if young is None else young)
    low, high = _span(young), _span(old)
    return low if low == high else f"{low} to {high}"


def _span(days: int | None) -> str:
    days = days or 0
    months = int(days / DAYS_PER_MONTH)
    if months < 1:
        return f"{days} day{'' if days == 1 else 's'}"
    if months < YOUNG_MONTHS:
        return f"{months} month{'' if months == 1 else 's'}"
    years, rest = divmod(months, MONTHS_PER_YEAR)
    half = "½" if rest >= MONTHS_PER_YEAR // 2 else ""
    return f"{years}{half} years"


@register.simple_tag
def urgency(level: str | int | Urgency) -> SafeString:
    """The badge that says how urgent: words, bars and depth of hue."""
    one = Urgency.from_code(level) if isinstance(level, str) else Urgency(level)
    bars = SafeString("<i></i>" * BARS)
    return format_html(
        '<span class="urgency" data-level="{}"><span class="bars" aria-hidden="true">{}</span>{}'
        "</span>",
        int(one),
        bars,
        book().urgency_words(one),
    )


@register.filter
def finding_words(code: str) -> str:
    """A finding's words."""
    return book().finding_words(code)


@register.filter
def region_words(code: str) -> str:
    """A region's words."""
    return book().region_words(code)


@register.filter
def side_words(code: str) -> str:
    """A side's words; nothing where no side was said."""
    return "" if code == "N" else book().vocabulary.sides[code]


@register.filter
def step_words(code: str) -> str:
    """A step's words."""
    return book().step(code).words


@register.filter
def care_words(code: str) -> str:
    """A care item's words."""
    return book().vocabulary.care[code].words


@register.filter
def event_words(code: str) -> str:
    """What happened, in words."""
    return book().vocabulary.events[code]


@register.filter
def observed(row: Any) -> str:
    """A finding row in one line: ``left eye: discharge (yellow), marked``."""
    return book().observation_words(row)
