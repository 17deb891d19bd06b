"""Since when, and how long ago, by the words of a told case."""

import re
from datetime import date, timedelta
from decimal import Decimal

from cavyround.engines.spoken.numbers import number_at
from cavyround.engines.spoken.tokens import Token, tokens_of
from cavyround.knowledge.book import Knowledge

HOURS = {
    "minute": Decimal("0.0167"),
    "hour": Decimal(1),
    "day": Decimal(24),
    "night": Decimal(24),
    "week": Decimal(168),
    "fortnight": Decimal(336),
    "month": Decimal(730),
    "year": Decimal(8766),
}
SAID_HOURS = {
    "yesterday": Decimal(24),
    "overnight": Decimal(10),
    "last night": Decimal(14),
    "this morning": Decimal(5),
    "today": Decimal(8),
    "just now": Decimal("0.5"),
    "months": Decimal(2000),
    "weeks": Decimal(400),
    "years": Decimal(9000),
    "always": Decimal(9000),
    "days": Decimal(72),
}
FEW = {
    "few": Decimal(3),
    "couple": Decimal(2),
    "several": Decimal(4),
    "a": Decimal(1),
    "an": Decimal(1),
}
MONTHS = (
    *("january", "february", "march", "april", "may", "june", "july", "august"),
    *("september", "october", "november", "december"),
)
# "twelve days back", "ten days post op"; "off his food for two days" is no time of what happened.
AGO = frozenset({"ago", "back", "previously", "post", "after", "on", "since", "earlier"})
SAID_DAYS = (
    (re.compile(r"\b(yesterday|last night)\b"), 1),
    (re.compile(r"\b(today|tonight|just now|this (morning|afternoon|evening|lunchtime))\b"), 0),
    (re.compile(r"\blast week\b"), 7),
)
OF_MONTH = re.compile(r"\bon (?:the )?(\d{1,2})(?:st|nd|rd|th)\b")
IN_MONTH = re.compile(rf"\b(?:in|last|back in) ({'|'.join(MONTHS)})\b")
LAST_MONTH = 12


def hours_in(text: str, book: Knowledge) -> Decimal | None:
    """How long something has been so; None where the words do not say."""
    low = text.lower()
    tokens = tokens_of(text)
    for at, token in enumerate(tokens):
        unit = token.word.rstrip("s")
        if unit not in HOURS or token.kind != "word":
            continue
        count = _count_before(tokens, at, book)
        if count is not None:
            return (count * HOURS[unit]).quantize(Decimal("0.01"))
    for words, hours in SAID_HOURS.items():
        if re.search(rf"\b{words}\b", low):
            return hours
    return None


def days_ago_in(text: str, book: Knowledge, today: date | None) -> int | None:
    """How many days ago something happened; None where the words do not say.

    A day of the month is the last one of that number, a month its last day: never longer ago than
    it can have been.
    """
    tokens = tokens_of(text)
    for at, token in enumerate(tokens[:-1]):
        unit = token.word.rstrip("s")
        if unit not in HOURS or tokens[at + 1].word not in AGO:
            continue
        count = _count_before(tokens, at, book)
        if count is not None:
            return int(count * HOURS[unit] // 24)
    low = text.lower()
    if today is not None and (day := _day_said(low, today)) is not None:
        return (today - day).days
    return next((days for words, days in SAID_DAYS if words.search(low)), None)


def _day_said(low: str, today: date) -> date | None:
    if said := OF_MONTH.search(low):
        for back in range(62):
            day = today - timedelta(days=back)
            if day.day == int(said.group(1)):
                return day
    if said := IN_MONTH.search(low):
        month = MONTHS.index(said.group(1)) + 1
        year = today.year - (month > today.month)
        if month == LAST_MONTH:
            return min(today, date(year, 12, 31))
        return min(today, date(year, month + 1, 1) - timedelta(days=1))
    return None


def _count_before(tokens: tuple[Token, ...], at: int, book: Knowledge) -> Decimal | None:
    for start in range(max(0, at - 4), at):
        number = number_at(tokens, start, book.words.numbers)
        if number is not None and number.end == at:
            return number.value
    before = tokens[at - 1].word if at else ""
    if before in ("a", "an") and at > 1 and tokens[at - 2].word == "half":
        return Decimal("0.5")
    if before == "of" and at > 1:
        before = tokens[at - 2].word
    return FEW.get(before)
