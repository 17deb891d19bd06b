"""The fields the animals' forms share, each with faults that say what to do."""

from datetime import date
from typing import Any

from django import forms
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.facts.days import why_no_day

DAY_FORMATS = ["%Y-%m-%d", "%d/%m/%Y", "%d %B %Y"]
NOT_SAID = ("N", "side not said")


def possible_day(day: date) -> None:
    """Refuse a day whose year is a slip of the finger."""
    if why := why_no_day(day, timezone.localdate()):
        raise forms.ValidationError(why)


def day_field(label: str, *, required: bool = False, hint: str = "") -> forms.DateField:
    """A day; typed by hand it may be 3 March 2026, 03/03/2026 or 2026-03-03."""
    return forms.DateField(
        label=label,
        required=required,
        help_text=hint,
        input_formats=DAY_FORMATS,
        validators=[possible_day],
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
        error_messages={
            "required": "The day is missing: the story hangs on it. Choose a day.",
            "invalid": "This is no day of the calendar. Write it like 3 March 2026.",
        },
    )


def line_field(label: str, longest: int, *, missing: str = "", hint: str = "") -> forms.CharField:
    """One line of words; ``missing`` is what is said when it may not be empty and is."""
    return forms.CharField(
        label=label,
        max_length=longest,
        required=bool(missing),
        help_text=hint,
        error_messages={
            "required": missing,
            "max_length": "This is too long: at most %(limit_value)d characters. "
            "Nothing was cut; shorten it.",
        },
    )


def words_field(label: str, *, missing: str = "", hint: str = "") -> forms.CharField:
    """Several lines of words."""
    return forms.CharField(
        label=label,
        required=bool(missing),
        help_text=hint,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={
            "required": missing,
            "max_length": "This is too long: at most %(limit_value)d characters. Shorten it.",
        },
    )


def choose_field(
    label: str, choices: Any, *, hint: str = "", missing: str = "", listed: bool = False
) -> forms.ChoiceField:
    """One of a few: buttons to tap, or a list where ``listed``."""
    return forms.ChoiceField(
        label=label,
        choices=choices,
        required=bool(missing),
        help_text=hint,
        widget=forms.Select if listed else forms.RadioSelect,
        error_messages={
            "required": missing,
            "invalid_choice": "This is not one of the choices. Choose again.",
        },
    )


def region_choices() -> list[tuple[str, str]]:
    """The places of the body, in the order of the round."""
    return [(code, one.words) for code, one in book().vocabulary.regions.items()]


def finding_choices() -> list[tuple[str, str]]:
    """What can be found, in the words the carer sees, by the alphabet."""
    coded = [(code, one.words) for code, one in book().vocabulary.findings.items()]
    return sorted(coded, key=lambda pair: pair[1].lower())


def care_choices() -> list[tuple[str, str]]:
    """Small care at the table."""
    return [(code, one.words) for code, one in book().vocabulary.care.items()]


def side_choices() -> list[tuple[str, str]]:
    """The animal's own sides."""
    sides = book().vocabulary.sides
    return [NOT_SAID, *((code, words) for code, words in sides.items() if code != NOT_SAID[0])]
