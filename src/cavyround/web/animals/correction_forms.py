"""Forms that correct one entry of a check, each for its kind of entry."""

from decimal import Decimal
from typing import Any

from django import forms

from cavyround.advice.book import book
from cavyround.facts.entries import HEAVIEST_G, LIGHTEST_G, BadTouchError, read_touch
from cavyround.facts.observation import Grade, Status
from cavyround.web.animals.fields import (
    care_choices,
    choose_field,
    finding_choices,
    line_field,
    region_choices,
    side_choices,
)
from cavyround.web.animals.once import OnceForm

CHANGE_OR_STRIKE = [("change", "Change it"), ("strike", "Strike it out: it should not be there")]


class CorrectingForm(OnceForm):
    """Why, and whether the entry changes or goes; each kind adds what it can change."""

    what = choose_field("What to do", CHANGE_OR_STRIKE, missing="Choose one.")
    reason = line_field(
        "Why", 500, missing="Say why: a later reader weighs the old entry against the new one."
    )
    changes: tuple[str, ...] = ()

    def __init__(self, *args: Any, standing: dict[str, Any], **kwargs: Any) -> None:
        """Begin with what stands now."""
        self.standing = standing
        begin = {name: standing.get(name) for name in self.changes}
        super().__init__(*args, initial={"what": "change", **begin}, **kwargs)

    def clean_reason(self) -> str:
        """A reason of two letters is none."""
        reason: str = self.cleaned_data["reason"].strip()
        if len(reason) < len("why"):
            msg = "Say a little more, so that a later reader understands."
            raise forms.ValidationError(msg)
        return reason

    def clean(self) -> dict[str, Any]:
        """The changed entry must be one the table itself would take."""
        said = super().clean() or self.cleaned_data
        if said.get("what") == "strike":
            for name in self.changes:  # what is struck out need not be said again
                self.errors.pop(name, None)
        if said.get("what") == "change" and not self.errors:
            if self.data_now == self.standing:
                self.blame(self.changes[0], "This is what stands now. Change it, or strike it out.")
                return said
            try:
                read_touch(self.data_now)
            except BadTouchError as refused:
                self.blame(self._field_of(str(refused)), str(refused))
        return said

    def _field_of(self, words: str) -> str:
        named = words.partition(":")[0].rpartition(".")[2]
        return named if named in self.fields else self.changes[0]

    @property
    def data_now(self) -> dict[str, Any] | None:
        """The entry as it should be; None where it is struck out."""
        if self.cleaned_data["what"] == "strike":
            return None
        return self.standing | {name: self.cleaned_data[name] for name in self.changes}


class StrikeForm(CorrectingForm):
    """An entry that can only be struck out."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """No choice is left."""
        super().__init__(*args, **kwargs)
        self.fields["what"].widget = forms.HiddenInput()
        self.initial["what"] = "strike"

    def clean_what(self) -> str:
        """Strike it out, whatever was sent."""
        return "strike"


class WeightForm(CorrectingForm):
    """A weight in grams."""

    grams = forms.DecimalField(
        label="Weight in grams",
        required=False,
        max_digits=7,
        decimal_places=1,
        widget=forms.TextInput(attrs={"inputmode": "decimal"}),
        error_messages={
            "invalid": "This is no number. Write the weight in grams with digits, like 912.",
            "max_digits": f"No guinea pig weighs that: {LIGHTEST_G} to {HEAVIEST_G} g can be.",
            "max_decimal_places": "A tenth of a gram is the finest that is kept.",
            "max_whole_digits": f"No guinea pig weighs that: {LIGHTEST_G} to {HEAVIEST_G} g.",
        },
    )
    doubted = forms.BooleanField(
        label="I doubt it", required=False, help_text="It is kept and shown, not reckoned with."
    )
    changes = ("grams", "doubted")

    @property
    def data_now(self) -> dict[str, Any] | None:
        """Grams as text, so that no digit is lost on the way."""
        if self.cleaned_data["what"] == "strike":
            return None
        grams: Decimal | None = self.cleaned_data["grams"]
        typed = self.data.get("grams", "")
        shown = "" if grams is None else f"{grams.normalize():f}"
        before = str(self.standing.get("grams", ""))
        same = grams is not None and before and Decimal(before) == grams
        as_typed = self.standing.get("as_typed", "") if same else f"{typed} g"
        said = {"grams": before if same else shown, "as_typed": as_typed}
        doubted = {"doubted": self.cleaned_data["doubted"]}
        unchanged = doubted["doubted"] == self.standing.get("doubted", False)
        return self.standing | said | ({} if unchanged else doubted)

    def clean_grams(self) -> Decimal | None:
        """A weight that is changed must be given."""
        grams: Decimal | None = self.cleaned_data["grams"]
        if grams is None and self.data.get("what") != "strike":
            msg = "The weight is missing. Nothing missing is ever nought."
            raise forms.ValidationError(msg)
        return grams


class FindingForm(CorrectingForm):
    """A finding: where, what, how strong."""

    region = choose_field("Where on the body", [], listed=True, missing="Choose where it is.")
    side = choose_field("Its own side", [], listed=True)
    finding = choose_field("Finding", [], listed=True, missing="Choose what was found.")
    status = choose_field("Is it there?", [], missing="Choose one.")
    grade = choose_field("How strong", [], listed=True)
    changes = ("region", "side", "finding", "status", "grade")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the words of the knowledge."""
        super().__init__(*args, **kwargs)
        words = book().vocabulary
        offered = {
            "region": region_choices(),
            "finding": finding_choices(),
            "side": side_choices(),
            "status": [(one.value, words.statuses[one.value].capitalize()) for one in Status],
            "grade": [("", "Not said"), *((one.value, words.grades[one.value]) for one in Grade)],
        }
        for name, choices in offered.items():
            self.fields[name].choices = choices  # type: ignore[attr-defined]
        self.initial["side"] = self.initial.get("side") or "N"
        self.initial["status"] = self.initial.get("status") or "present"

    @property
    def data_now(self) -> dict[str, Any] | None:
        """A finding of another kind drops what belonged to the one before."""
        if self.cleaned_data["what"] == "strike":
            return None
        said = {name: self.cleaned_data[name] for name in ("region", "finding", "status")}
        said["side"] = self.cleaned_data["side"] or "N"
        data = dict(self.standing)
        if said["finding"] != data.get("finding"):
            for name in ("kinds", "value", "unit", "mark"):
                data.pop(name, None)
        data["step"] = self._step(said["region"], data)
        data.pop("grade", None)
        if self.cleaned_data["grade"]:
            data["grade"] = self.cleaned_data["grade"]
        given = {n: v for n, v in said.items() if n in data or v != DEFAULTS.get(n)}
        return data | given

    def _step(self, region: str, data: dict[str, Any]) -> str:
        known = book().vocabulary.regions.get(region)
        moved = known is not None and region != data.get("region")
        return known.step if known and moved else data["step"]


DEFAULTS = {"side": "N", "status": "present"}


class CareForm(CorrectingForm):
    """Small care: what, and how far it got."""

    care = choose_field("Care", [], listed=True, missing="Choose what was done.")
    side = choose_field("Its own side", [], listed=True)
    status = choose_field("How far it got", [], missing="Choose one.")
    product = line_field("With what", 60)
    detail = line_field("Detail", 200)
    changes = ("care", "side", "status", "product", "detail")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Offer the words of the knowledge."""
        super().__init__(*args, **kwargs)
        statuses = book().vocabulary.care_statuses.items()
        offered = {
            "care": care_choices(),
            "side": side_choices(),
            "status": [(code, words.capitalize()) for code, words in statuses],
        }
        for name, choices in offered.items():
            self.fields[name].choices = choices  # type: ignore[attr-defined]
        self.initial["side"] = self.initial.get("side") or "N"
        self.initial["status"] = self.initial.get("status") or "done"

    @property
    def data_now(self) -> dict[str, Any] | None:
        """Only what is said: what was never said stays unsaid."""
        if self.cleaned_data["what"] == "strike":
            return None
        said = {name: self.cleaned_data[name] for name in self.changes}
        said["side"] = said["side"] or "N"
        unsaid = {"side": "N", "status": "done", "product": "", "detail": ""}
        given = {n: v for n, v in said.items() if n in self.standing or v != unsaid.get(n)}
        return self.standing | given


FORMS: dict[str, type[CorrectingForm]] = {
    "weight": WeightForm,
    "observation": FindingForm,
    "care": CareForm,
}
