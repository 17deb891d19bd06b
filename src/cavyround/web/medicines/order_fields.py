"""What is asked when an order is entered, in words; ``order_form`` reads what was typed."""

from typing import Any

from django import forms

from cavyround.advice.book import book
from cavyround.facts.deviations import (
    WORDS_IF_LATE,
    WORDS_IF_MISSED,
    WORDS_IF_PARTLY,
    DayOff,
)
from cavyround.record.models import Animal, Order, Product
from cavyround.record.models.orders import OrderWord
from cavyround.record.models.shelf import ProductKind
from cavyround.web.animals.fields import choose_field, day_field, line_field, words_field
from cavyround.web.animals.once import OnceForm

KINDS = [("medicine", "A medicine"), ("care", "Care that is no medicine")]
LATELY = 200
EGGS = [("", "Nobody said"), ("yes", "Yes, eggs too"), ("no", "No, not the eggs")]
DAYS_OFF = [
    (DayOff.KEEP, "Keep the day"),
    (DayOff.EARLIER, "May be given earlier"),
    (DayOff.LATER, "May be given later"),
]
GROUPS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("What", "", ("kind", "drug", "care", "dose", "route", "strength", "product", "note")),
    ("Who ordered it", "", ("vet", "word", "ordered_on", "why")),
    ("How often", "", ("often", "first_on", "times", "doses", "last_day", "until_vet_says")),
    (
        "Which animals it is not for",
        "Limits, as the vet said them",
        (
            *("not_under_g", "not_over_g", "not_under_days", "not_over_days"),
            *("not_pregnant", "not_nursing"),
        ),
    ),
    (
        "If a dose is late, missed or not all taken",
        "What the vet says of doses that do not go as planned",
        (
            *("if_late", "if_missed", "if_partly", "early", "late", "missed_after"),
            *("least_apart", "day_off", "move_days"),
        ),
    ),
    (
        "Parasites, eggs, withdrawal and other details",
        "More that the vet may have said",
        (
            *("against", "kills_eggs", "lasts_days", "recheck_days", "withdrawal_days"),
            *("weight_within_days", "second_check", "counted_as", "diluent"),
            *("pause_after", "pause_days"),
        ),
    ),
)


def number_field(label: str, *, hint: str = "", most: int = 5000) -> forms.IntegerField:
    """A whole number, or nothing where the vet did not say."""
    return forms.IntegerField(
        label=label,
        required=False,
        help_text=hint,
        min_value=1,
        max_value=most,
        widget=forms.TextInput(attrs={"inputmode": "numeric"}),
        error_messages={
            "invalid": "This is no whole number. Write it in plain digits, or leave it out.",
            "min_value": "It must be at least 1; leave it out where the vet did not say.",
            "max_value": "This is more than makes sense here (at most %(limit_value)s).",
        },
    )


def tick(label: str, hint: str = "") -> forms.BooleanField:
    """Said or not said."""
    return forms.BooleanField(label=label, required=False, help_text=hint)


class OrderFields(OnceForm):
    """Every field of an order."""

    kind = choose_field("What is ordered", KINDS, missing="Choose one.")
    drug = line_field("Medicine", 80, hint="The active substance, as on the label.")
    care = choose_field("Care", [], listed=True, hint="Only for care that is no medicine.")
    dose = line_field(
        "Dose",
        60,
        hint="With its unit, per kg or per animal: 0.4 mg/kg, 25 mcg per animal, "
        "or a wash as 100 mL of 0.2 % w/v.",
    )
    route = choose_field("How it is given", [], listed=True)
    strength = line_field(
        "Strength the vet named", 60, hint="10 mg/mL, 1 % w/v, 18.7 mg/g. The label must agree."
    )
    product = forms.ModelChoiceField(
        label="Product on the shelf",
        queryset=Product.objects.none(),
        required=False,
        empty_label="The one that fits, when there is only one",
    )
    note = words_field("In words", hint="What whoever gives it should know; for care, how much.")
    vet = line_field("Vet", 80, hint="Who ordered it.")
    word = choose_field(
        "How the word came", OrderWord.choices, missing="Choose how the vet said it."
    )
    ordered_on = day_field("Ordered on", required=True)
    why = line_field("What it is for", 200, missing="Say what it is for: it is asked again later.")
    often = line_field(
        "How often",
        40,
        missing="Say how often, as every 10 days, or once.",
        hint="every 10 days, every 12 hours, weekly, once",
    )
    first_on = day_field("First on", required=True)
    times = line_field(
        "At what time",
        60,
        hint="For doses counted in hours the first one, as 08:00. For days leave it empty "
        "(any time that day), or give each time of day: 08:00 20:00.",
    )
    doses = number_field("How many doses in all", hint="Counted from the first.", most=1000)
    last_day = day_field("Or its last day")
    until_vet_says = tick("Or until the vet says")
    not_under_g = number_field("Not under (grams)")
    not_over_g = number_field("Not over (grams)")
    not_under_days = number_field("Not under (days of age)")
    not_over_days = number_field("Not over (days of age)")
    not_pregnant = tick("Not when pregnant")
    not_nursing = tick("Not while suckling pups")
    if_late = choose_field("A late dose", list(WORDS_IF_LATE.items()), listed=True)
    if_missed = choose_field("A missed dose", list(WORDS_IF_MISSED.items()), listed=True)
    if_partly = choose_field("A dose not all taken", list(WORDS_IF_PARTLY.items()), listed=True)
    early = line_field("May be early by", 20, hint="2 hours, 1 day. Empty: the usual.")
    late = line_field("On time until so long after", 20, hint="Empty: the usual.")
    missed_after = line_field("Missed so long after", 20, hint="Empty: the usual.")
    least_apart = line_field("Never closer together than", 20, hint="Empty: the usual.")
    day_off = choose_field("On a day when nobody is there", DAYS_OFF, listed=True)
    move_days = number_field("Moved by at most (days)", most=30)
    against = forms.MultipleChoiceField(
        label="Against",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="So that the repeats are held against the parasite's cycle.",
    )
    kills_eggs = choose_field("Does it kill the eggs too?", EGGS, listed=True)
    lasts_days = number_field("Goes on working for (days)", most=400)
    recheck_days = number_field("Look again so many days after the last dose", most=400)
    withdrawal_days = number_field("No adoption for so many days after the last dose", most=400)
    weight_within_days = number_field("The weight may be so many days old at most", most=60)
    second_check = tick("A second person works out every dose")
    counted_as = choose_field(
        "The dose counts", [], listed=True, hint="For combined products: the whole, or one part."
    )
    diluent = line_field("May be thinned with", 60, hint="Only what the vet named.")
    pause_after = number_field("Pause after so many days of doses", most=400)
    pause_days = number_field("Pause of so many days", most=400)
    animals = forms.ModelMultipleChoiceField(
        label="Animals",
        queryset=Animal.objects.none(),
        required=False,
        error_messages={"invalid_choice": "One of these is no longer here. Choose again."},
    )
    standing = tick(
        "A standing order for newcomers",
        "It proposes the course for each newcomer; a person confirms it.",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer what the knowledge, the shelf and the house have."""
        super().__init__(*args, **kwargs)
        known = book()
        ways = [(code, one.words) for code, one in known.medicines.routes.items()]
        counted = sorted({way for one in known.medicines.formulary for way in one.counted_as})
        self._offer("route", [("", "Choose …"), *ways])
        self._offer("care", [("", "Choose …"), *((o.id, o.words) for o in known.care_courses)])
        self._offer("counted_as", [("", "Nobody said"), *((way, way) for way in counted)])
        self._offer("against", [(one.id, one.name) for one in known.infections])
        shelf = Product.objects.filter(kind__in=(ProductKind.MEDICINE, ProductKind.CARE))
        self._query("product", shelf)
        here = Animal.objects.filter(left_on=None).select_related("pen__room")
        self._query("animals", here.order_by("name"))
        self.fields["drug"].widget.attrs |= {"list": "medicines", "autocomplete": "off"}
        self.fields["vet"].widget.attrs |= {"list": "vets", "autocomplete": "off"}

    def _offer(self, name: str, choices: list[tuple[str, str]]) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101 - narrows the type
        field.choices = choices

    def _query(self, name: str, rows: Any) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ModelChoiceField)  # noqa: S101 - narrows the type
        field.queryset = rows


def medicine_names() -> list[str]:
    """The names of the formulary, to be offered while typing."""
    return sorted(one.name for one in book().medicines.formulary)


def vet_names() -> list[str]:
    """Vets who ordered lately."""
    named = Order.objects.order_by("-ordered_at").values_list("vet", flat=True)[:LATELY]
    return sorted({name for name in named if name})
