"""What is stated of an animal, as a form: shared by the arrival and by later statements."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.facts.microchip import Microchip, NotAMicrochip, read_microchip
from cavyround.record.animals import ImpossibleError, refuse_impossible
from cavyround.record.models import Animal
from cavyround.record.models.animals import KnownChoice, SexChoice, SureChoice
from cavyround.web.animals.fields import choose_field, day_field, line_field, words_field
from cavyround.web.animals.once import OnceForm

COATS = [
    ("smooth", "Smooth"),
    ("rough", "Rough or rosetted"),
    ("long", "Long"),
    ("rex", "Rex"),
    ("satin", "Satin"),
    ("hairless", "Hairless"),
]
SKINS = [("unknown", "Not known"), ("dark", "Dark, all or in patches"), ("pale", "Pale")]
SKIN_AS_STORED = {"dark": True, "pale": False}
BIRTHS = [("unknown", "Not known"), ("exact", "The very day"), ("between", "Between two days")]
ANSWERED = ("sex", "sex_sure", "neutered", "pregnant")


class DetailsForm(OnceForm):
    """Who the animal is, as far as anybody knows."""

    name = line_field(
        "Name", 60, missing="An animal without a name cannot be told from others. Give it one."
    )
    sex = choose_field("Sex", SexChoice.choices)
    sex_sure = choose_field("How sure is the sex?", SureChoice.choices)
    neutered = choose_field("Neutered", KnownChoice.choices)
    pregnant = choose_field("Pregnant", KnownChoice.choices)
    due_from = day_field("Pups may come from", hint="The first day they may be born, if known.")
    birth = choose_field("Birth date", BIRTHS)
    born_on = day_field("Born on")
    born_earliest = day_field("Not born before")
    born_latest = day_field("Not born after")
    coat = forms.MultipleChoiceField(
        label="Coat", choices=COATS, required=False, widget=forms.CheckboxSelectMultiple
    )
    colour = line_field("Colour and pattern", 120)
    skin = choose_field("Skin", SKINS, hint="Look at the soles and behind the ears.")
    identity_marks = words_field(
        "Marks", hint="What tells it from others: a torn ear, a white toe, an old chip of 9 signs."
    )
    microchip = line_field(
        "Microchip", 40, hint="15 digits. Let a second person read them back: no digit checks them."
    )

    def __init__(self, *args: Any, animal: Animal | None = None, **kwargs: Any) -> None:
        """Begin with what is stated of ``animal``, or with nothing known."""
        self.animal = animal
        self.chip: Microchip | None = None
        given = dict(kwargs.pop("initial", None) or {})
        kwargs["initial"] = (stated_of(animal) if animal else NOTHING_KNOWN) | given
        super().__init__(*args, **kwargs)

    def clean_due_from(self) -> date | None:
        """No sow carries for longer than the longest pregnancy from today."""
        due_from: date | None = self.cleaned_data["due_from"]
        longest = int(book().span("gestation_days").high)
        if due_from and due_from > timezone.localdate() + timedelta(days=longest):
            msg = (
                f"This day is too far ahead: a guinea pig carries for {longest} days at the most. "
                "Look at the day again."
            )
            raise forms.ValidationError(msg)
        return due_from

    def clean_microchip(self) -> str:
        """The digits alone, if they can be a chip's and are nobody else's."""
        text = self.cleaned_data["microchip"].strip()
        if not text:
            return ""
        chip = read_microchip(text)
        if isinstance(chip, NotAMicrochip):
            raise forms.ValidationError(chip.reason)
        others = Animal.objects.filter(microchip=chip.digits)
        other = others.exclude(pk=self.animal.pk).first() if self.animal else others.first()
        if other is not None:
            msg = (
                f"{other} has this number already. Is this {other} coming back? Then open "
                f"{other}'s page and choose “Came back”. Otherwise read the chip again."
            )
            raise forms.ValidationError(msg)
        self.chip = chip
        return chip.digits

    def clean(self) -> dict[str, Any]:
        """Refuse what cannot be, beside its field."""
        cleaned = super().clean() or self.cleaned_data
        if cleaned.get("birth") == "exact" and not cleaned.get("born_on"):
            self.blame("born_on", "The day is missing. Give it, or choose another answer above.")
        if cleaned.get("birth") == "between" and not (
            cleaned.get("born_earliest") or cleaned.get("born_latest")
        ):
            self.blame("born_earliest", "Give at least one of the two days.")
        if cleaned.get("due_from") and cleaned.get("pregnant") not in ("yes", "possible"):
            self.blame("due_from", "A day for pups goes only with “Pregnant: yes” or “possibly”.")
        try:
            refuse_impossible(self.details, timezone.localdate())
        except ImpossibleError as refused:
            self.blame(refused.field, str(refused))
        return cleaned

    def blame(self, field: str, words: str) -> None:
        """Beside the field the person filled in: an exact birth has only one."""
        if field in ("born_earliest", "born_latest") and self.cleaned_data.get("birth") == "exact":
            field = "born_on"
        super().blame(field, words)

    @property
    def details(self) -> dict[str, Any]:
        """The fields as the record's writer takes them."""
        said = self.cleaned_data
        earliest, latest = self._born()
        answers = {name: said.get(name) or "unknown" for name in ANSWERED}
        texts = {name: said.get(name, "") for name in ("name", "colour", "identity_marks")}
        return (answers | texts) | {
            "due_from": said.get("due_from"),
            "born_earliest": earliest,
            "born_latest": latest,
            "coat": said.get("coat", []),
            "dark_skin": SKIN_AS_STORED.get(said.get("skin", "")),
            "microchip": said.get("microchip", ""),
        }

    def _born(self) -> tuple[date | None, date | None]:
        said = self.cleaned_data
        if said.get("birth") == "exact":
            return said.get("born_on"), said.get("born_on")
        if said.get("birth") == "between":
            return said.get("born_earliest"), said.get("born_latest")
        return None, None


NOTHING_KNOWN: dict[str, Any] = {
    "sex": "unknown",
    "sex_sure": "unknown",
    "neutered": "unknown",
    "pregnant": "unknown",
    "birth": "unknown",
    "skin": "unknown",
}


def stated_of(animal: Animal) -> dict[str, Any]:
    """What is stated of an animal now, as the form's beginning."""
    exact = animal.born_earliest is not None and animal.born_earliest == animal.born_latest
    some = animal.born_earliest is not None or animal.born_latest is not None
    plain = ("name", "sex", "sex_sure", "neutered", "pregnant", "due_from", "coat", "colour")
    return {name: getattr(animal, name) for name in plain} | {
        "identity_marks": animal.identity_marks,
        "microchip": chip_shown(animal),
        "birth": "exact" if exact else "between" if some else "unknown",
        "born_on": animal.born_earliest if exact else None,
        "born_earliest": None if exact else animal.born_earliest,
        "born_latest": None if exact else animal.born_latest,
        "skin": {True: "dark", False: "pale", None: "unknown"}[animal.dark_skin],
    }


def chip_shown(animal: Animal) -> str:
    """The microchip in the groups people read back to each other; empty if there is none."""
    chip = read_microchip(animal.microchip) if animal.microchip else None
    return chip.shown if isinstance(chip, Microchip) else animal.microchip


def coat_words(codes: list[str]) -> str:
    """Coats in words."""
    known = dict(COATS)
    return ", ".join(known.get(code, code).lower() for code in codes)
