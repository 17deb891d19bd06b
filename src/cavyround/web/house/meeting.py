"""Before animals are brought together for an hour: what the rules say, read before it is done."""

from typing import Any

from django import forms
from django.utils import timezone

from cavyround.advice.housing import house_now
from cavyround.engines.housing import Why, parts_them
from cavyround.record.models import Animal
from cavyround.web.animals.once import OnceForm


class MeetingForm(OnceForm):
    """Animals that are to meet; what parts them is shown, and done only after a tick."""

    all_the_same = forms.BooleanField(
        label="I have read what speaks against it; it is so all the same",
        required=False,
        widget=forms.HiddenInput(),
    )

    def __init__(self, *args: object, **kwargs: object) -> None:
        """Nothing is asked before something speaks against it."""
        super().__init__(*args, **kwargs)
        self.against: tuple[Why, ...] = ()

    def refuse_to_meet(self, animals: list[Animal]) -> None:
        """Blame the animals for every hard rule that parts two of them, unless it was read."""
        keys = [str(animal.pk) for animal in animals]
        self.against = parts_them(house_now(timezone.now()), keys)
        if not self.against:
            return
        self.fields["all_the_same"].widget = forms.CheckboxInput()
        if not self.cleaned_data.get("all_the_same"):
            words = (
                "They are not to meet, by what stands above. Choose others, or, where it is done "
                "already, tick that it is so all the same, so that the record is true."
            )
            self.blame("animals", words)

    def clean(self) -> dict[str, Any]:
        """What parts them is read before they meet."""
        said = super().clean() or self.cleaned_data
        animals = said.get("animals")
        if animals and self.is_a_meeting(said):
            self.refuse_to_meet(list(animals))
        return said

    def is_a_meeting(self, said: dict[str, Any]) -> bool:
        """Whether they meet skin to skin."""
        return bool(said)
