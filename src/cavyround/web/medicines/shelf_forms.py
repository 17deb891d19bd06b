"""The forms of the shelf: products as their labels say, lots, and what comes and goes."""

from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.medicines.shelf import drug_is_controlled, is_controlled
from cavyround.facts.reading_amounts import (
    NotRead,
    read_drop_size,
    read_number,
    read_strength,
)
from cavyround.record.models import Lot, Person, Product
from cavyround.record.models.shelf import MovementKind, ProductKind
from cavyround.web.animals.fields import choose_field, day_field, line_field
from cavyround.web.animals.once import OnceForm
from cavyround.web.medicines.order_fields import number_field, tick

UNITS = [("mL", "mL"), ("g", "g"), ("pieces", "pieces")]
MOST = Decimal(1_000_000)


class AmountField(forms.CharField):
    """A plain decimal number, strictly read: a comma is never guessed at."""

    def __init__(self, label: str, *, required: bool = False, nought: bool = False, hint: str = ""):
        """``nought``: nothing left is an answer."""
        self.nought = nought
        super().__init__(
            label=label,
            required=required,
            help_text=hint,
            max_length=16,
            widget=forms.TextInput(attrs={"inputmode": "decimal"}),
            error_messages={"required": "Say how much: what nobody knows is not counted as none."},
        )

    def clean(self, value: Any) -> Decimal | None:
        """The number, or None where nothing was said."""
        text = super().clean(value).strip()
        if not text:
            return None
        if self.nought and text in ("0", "0.0"):
            return Decimal(0)
        read = read_number(text)
        if isinstance(read, NotRead):
            msg = f"{read.words[:1].upper()}{read.words[1:]}."
            raise forms.ValidationError(msg)
        if read > MOST:
            msg = "This is more than a shelf holds. Look at the number again."
            raise forms.ValidationError(msg)
        return read


def second_field(hint: str) -> Any:
    """Who else saw it; who may be chosen is offered by ``offer_second``."""
    return forms.ModelChoiceField(
        label="Second person",
        queryset=Person.objects.none(),
        required=False,
        empty_label="Nobody",
        help_text=hint,
    )


def offer_second(form: forms.Form, person: Person) -> None:
    """Anybody but oneself may be the second person."""
    field = form.fields["second"]
    assert isinstance(field, forms.ModelChoiceField)  # noqa: S101 - narrows the type
    field.queryset = Person.objects.filter(is_active=True).exclude(pk=person.pk)


class ProductForm(OnceForm):
    """A product as its label says."""

    name = line_field("Name on the shelf", 80, missing="Give it a name.")
    kind = choose_field("What it is", ProductKind.choices, missing="Choose one.")
    drug = line_field(
        "Active substance", 80, hint="For a medicine: as the label names it, not the brand."
    )
    strength = line_field("Strength on the label", 60, hint="10 mg/mL, 1 % w/v, 18.7 mg/g")
    contains = line_field(
        "Every active part, where there are several", 200, hint="With commas between."
    )
    counted_as = choose_field("The strength counts", [], listed=True)
    unit = choose_field("Counted in", UNITS, missing="Choose what it is counted in.")
    drop = line_field("Size of its drops", 40, hint="As the dropper's label says: 30 drops/mL")
    use_within_days = number_field("Once opened it keeps for (days)", most=400)
    controlled = tick("A controlled medicine", "Counted by two people, each with a name.")
    low_at = AmountField("Say so when so little is left")
    keep = line_field("How it is kept", 120)
    syringe = choose_field(
        "A syringe of this kind", [], listed=True, hint="Look at the marks on the one in your hand."
    )
    holds_ml = AmountField("Or its own: holds (mL)")
    mark_ml = AmountField("One mark is (mL)")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the syringes and ways of counting that are known."""
        super().__init__(*args, **kwargs)
        known = book().medicines
        kinds = [
            (code, f"{one.words} (as remembered)" if one.sure == "memory" else one.words)
            for code, one in known.syringes.items()
        ]
        counted = sorted({way for one in known.formulary for way in one.counted_as})
        for name, choices in (
            ("syringe", [("", "No syringe"), *kinds]),
            ("counted_as", [("", "Nobody said"), *((way, way) for way in counted)]),
        ):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)  # noqa: S101 - narrows the type
            field.choices = choices
        self.fields["drug"].widget.attrs |= {"list": "medicines", "autocomplete": "off"}

    def clean(self) -> dict[str, Any]:
        """What is on the label can be read, and a medicine says what it holds."""
        said = super().clean() or self.cleaned_data
        if said.get("kind") == ProductKind.MEDICINE and not said.get("drug"):
            self.blame("drug", "Say the active substance: orders are held against it.")
        for name, read in (("strength", read_strength), ("drop", read_drop_size)):
            if said.get(name):
                found = read(said[name])
                if isinstance(found, NotRead):
                    self.blame(name, f"{found.words[:1].upper()}{found.words[1:]}.")
        self._look_at_marks(said)
        return said

    def _look_at_marks(self, said: dict[str, Any]) -> None:
        holds: Decimal | None = said.get("holds_ml")
        mark: Decimal | None = said.get("mark_ml")
        if holds is None and mark is None:
            return
        if holds is None or mark is None:
            missing = "mark_ml" if mark is None else "holds_ml"
            self.blame(missing, "A syringe needs both: what it holds, and what one mark is.")
        elif holds % mark:
            self.blame("mark_ml", "These marks do not end where the syringe does. Look again.")
        elif said.get("syringe"):
            self.blame("syringe", "Either a known kind, or its own marks; not both.")

    @property
    def details(self) -> dict[str, Any]:
        """The product as the record's writer takes it."""
        said = self.cleaned_data
        parts = [part.strip() for part in said["contains"].split(",")]
        details = {name: said[name] for name in PRODUCT_NAMES}
        details |= {"contains": [part for part in parts if part]}
        # What the formulary knows to be controlled is so whatever was ticked.
        controlled = details["controlled"] or drug_is_controlled(details, book())
        return details | {"controlled": controlled}


PRODUCT_NAMES = (
    *("name", "kind", "drug", "strength", "counted_as", "unit", "drop", "use_within_days"),
    *("controlled", "low_at", "keep", "syringe", "holds_ml", "mark_ml"),
)


def product_initial(product: Product) -> dict[str, Any]:
    """A product as the form shows it."""
    said: dict[str, Any] = {name: getattr(product, name) for name in PRODUCT_NAMES}
    for name in ("low_at", "holds_ml", "mark_ml"):
        said[name] = plain(said[name])
    return said | {"contains": ", ".join(product.contains)}


def plain(value: Decimal | None) -> str:
    """A number without noughts at its end."""
    return "" if value is None else f"{value.normalize():f}"


class LotForm(OnceForm):
    """A bottle or box that came."""

    number = line_field("Lot number", 40)
    expires_on = day_field("Expires on", hint="As printed; a month alone ends with its last day.")
    opened_on = day_field("Opened on", hint="Empty: not opened yet, or nobody knows.")
    strength = line_field(
        "Strength on this very label", 60, hint="Only where it differs from the product's."
    )
    came = AmountField("How much came", hint="In what the product is counted in.")
    second = second_field("Two say how much came of a controlled medicine.")

    def __init__(self, *args: Any, product: Product, person: Person, **kwargs: Any) -> None:
        """The unit stands in the label."""
        super().__init__(*args, **kwargs)
        offer_second(self, person)
        if not is_controlled(product, book()):
            del self.fields["second"]
        self.fields["came"].label = f"How much came ({product.unit})"

    def clean(self) -> dict[str, Any]:
        """A label that can be read; nothing opened tomorrow."""
        said = super().clean() or self.cleaned_data
        if said.get("strength"):
            found = read_strength(said["strength"])
            if isinstance(found, NotRead):
                self.blame("strength", f"{found.words[:1].upper()}{found.words[1:]}.")
        opened: date | None = said.get("opened_on")
        if opened and opened > timezone.localdate():
            self.blame("opened_on", "This day is still to come.")
        return said

    @property
    def details(self) -> dict[str, Any]:
        """The lot as the record's writer takes it."""
        return {n: self.cleaned_data[n] for n in ("number", "expires_on", "opened_on", "strength")}


class LotChangeForm(LotForm):
    """Opened, gone, or a date put right, and why."""

    gone_on = day_field("Gone from the shelf on", hint="Empty or thrown away.")
    second = second_field("Two say that a controlled medicine is gone.")
    why = line_field("Why", 200, missing="Say why: opened, empty, read again.")

    def __init__(self, *args: Any, product: Product, person: Person, **kwargs: Any) -> None:
        """How much came was said when it came."""
        super().__init__(*args, product=product, person=person, **kwargs)
        del self.fields["came"]

    @property
    def details(self) -> dict[str, Any]:
        """The lot as the record's writer takes it."""
        return super().details | {"gone_on": self.cleaned_data["gone_on"]}


class MoveForm(OnceForm):
    """Something came, was used, was thrown away, or was counted."""

    kind = choose_field("What happened", MovementKind.choices, missing="Choose what happened.")
    amount = AmountField("How much", required=True, nought=True)
    why = line_field("Why", 200, hint="Needed when something is thrown away.")
    second = second_field("A controlled medicine comes, goes and is counted by two.")

    def __init__(self, *args: Any, lot: Lot, person: Person, **kwargs: Any) -> None:
        """Anybody but oneself may be the second person."""
        super().__init__(*args, **kwargs)
        self.fields["amount"].label = f"How much ({lot.product.unit})"
        offer_second(self, person)
        if not is_controlled(lot.product, book()):
            del self.fields["second"]
