"""A dose written down afterwards, or an entry put right: when, which, what became of it."""

from dataclasses import replace
from datetime import datetime, time
from typing import Any

from django import forms
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.medicines.drawn import Drawn
from cavyround.advice.medicines.running import RunningCourse
from cavyround.advice.medicines.shelf import drug_is_controlled, is_controlled
from cavyround.record.doses import DoseSaid
from cavyround.record.models import DoseEntry, Lot, Person
from cavyround.record.models.doses import DoseOutcome
from cavyround.web.animals.fields import choose_field, day_field, line_field
from cavyround.web.animals.once import OnceForm
from cavyround.web.medicines.lines import dose_words, slot_words
from cavyround.web.medicines.order_fields import tick
from cavyround.web.medicines.shelf_forms import AmountField, plain

HINT = "What was drawn from the bottle, also where not all went in."


class DoseForm(OnceForm):
    """One try at one dose."""

    on = day_field("Day", required=True)
    at = forms.TimeField(
        label="Time",
        input_formats=["%H:%M"],
        widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
        error_messages={
            "required": "The time is missing: the next dose hangs on it.",
            "invalid": "This is no time of day. Write it as 08:00.",
        },
    )
    number = choose_field("Which dose", [], listed=True)
    outcome = choose_field("What became of it", DoseOutcome.choices, missing="Choose one.")
    why = line_field("Why, or what happened", 200, hint="Needed unless it was simply given.")
    lot = forms.ModelChoiceField(
        label="Bottle",
        queryset=Lot.objects.none(),
        required=False,
        empty_label="Nobody knows",
    )
    amount = AmountField("How much", hint=HINT)
    second = forms.ModelChoiceField(
        label="Second person",
        queryset=Person.objects.none(),
        required=False,
        empty_label="Nobody",
    )

    def __init__(
        self,
        *args: Any,
        running: RunningCourse,
        person: Person,
        drawn: Drawn | None = None,
        **kwargs: Any,
    ) -> None:
        """Offer the doses that have fallen due, the bottles, and everybody else.

        ``drawn`` is what the dose comes to as it is worked out now.
        """
        super().__init__(*args, **kwargs)
        self.order, self.drawn = running.row.order, drawn
        due = [
            (str(slot.number), f"{dose_words(running, slot)}: {slot_words(slot)}")
            for slot in running.due.slots
        ]
        self._fill("number", [("", "Nobody knows"), *due])
        product = running.row.order.product
        lots = Lot.objects.filter(gone_on=None).select_related("product")
        self._query("lot", lots.filter(product=product) if product else lots)
        self._query("second", Person.objects.filter(is_active=True).exclude(pk=person.pk))

    def _fill(self, name: str, choices: list[tuple[str, str]]) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101 - narrows the type
        field.choices = choices

    def _query(self, name: str, rows: Any) -> None:
        field = self.fields[name]
        assert isinstance(field, forms.ModelChoiceField)  # noqa: S101 - narrows the type
        field.queryset = rows

    def clean(self) -> dict[str, Any]:
        """A moment that was, a reason where it is needed, an amount with its bottle."""
        said = super().clean() or self.cleaned_data
        if said.get("on") and said.get("at") and self.moment(said) > timezone.now():
            self.blame("at", "This lies in the future. Write down what has happened.")
        if said.get("outcome") not in (None, "", DoseOutcome.GIVEN) and not said.get("why"):
            self.blame("why", "Say what happened: the vet asks, and the order depends on it.")
        if said.get("outcome") == DoseOutcome.NOT_GIVEN and said.get("amount"):
            self.blame("amount", "Of a dose that was not given nothing was drawn.")
        elif said.get("amount") and not said.get("lot"):
            self.blame("lot", "Say from which bottle it was drawn, or leave the amount out.")
        self._look_at_amount(said)
        self._look_at_second(said)
        return said

    def _look_at_amount(self, said: dict[str, Any]) -> None:
        amount, lot, drawn = said.get("amount"), said.get("lot"), self.drawn
        if not amount or not lot or drawn is None or not drawn.amount or said.get("why"):
            return
        if lot.product.unit != drawn.unit:
            return
        off = abs(amount - drawn.amount) / drawn.amount * 100
        if off > book().number("dose_amount_far_pct"):
            words = f"The order comes to {plain(drawn.amount)} {drawn.unit}: say why it was other."
            self.blame("why", words)

    def _look_at_second(self, said: dict[str, Any]) -> None:
        if said.get("second") or said.get("outcome") in (None, "", DoseOutcome.NOT_GIVEN):
            return
        lot = said.get("lot")
        by_order = drug_is_controlled({"drug": self.order.drug}, book())
        if by_order or (lot is not None and is_controlled(lot.product, book())):
            self.blame("second", "A controlled medicine is given by two, each with a name.")

    def moment(self, said: dict[str, Any]) -> datetime:
        """The day and time in the rescue's zone."""
        at: time = said["at"]
        return timezone.make_aware(datetime.combine(said["on"], at))

    def said(self, running: RunningCourse) -> DoseSaid:
        """The entry as the record's writer takes it; only of a valid form."""
        given = self.cleaned_data
        amount, lot = given["amount"], given["lot"]
        return DoseSaid(
            id=self.sending,
            course=running.row.pk,
            at=self.moment(given),
            outcome=given["outcome"],
            why=given["why"],
            number=int(given["number"]) if given["number"] else None,
            amount=amount,
            unit=lot.product.unit if amount and lot else "",
            lot=lot.pk if lot else None,
            second=given["second"].pk if given["second"] else None,
        )


class CorrectForm(DoseForm):
    """An entry put right, or struck out, and why; it begins with what stands there."""

    strike = tick("It never happened", "The entry is struck out; nothing stands in its place.")
    correct_why = line_field(
        "Why it is corrected", 200, missing="Say why: the old entry stays readable beside it."
    )

    def __init__(self, *args: Any, entry: DoseEntry, **kwargs: Any) -> None:
        """Begin with the entry as it is."""
        self.entry = entry
        local = timezone.localtime(entry.at)
        begin = {
            "on": local.date(),
            "at": local.time(),
            "number": str(entry.number or ""),
            "outcome": entry.outcome,
            "why": entry.why,
            "lot": entry.lot_id,
            "amount": plain(entry.amount),
            "second": entry.second_id,
        }
        super().__init__(*args, initial=begin, **kwargs)

    def replacement(self, running: RunningCourse) -> DoseSaid | None:
        """What stands instead; None where it never happened."""
        if self.cleaned_data["strike"]:
            return None
        # What it was worked out from is not in question.
        return replace(
            self.said(running),
            weight_g=self.entry.weight_g,
            weighed_at=self.entry.weighed_at,
            syringe=self.entry.syringe,
            worked=self.entry.worked,
        )
