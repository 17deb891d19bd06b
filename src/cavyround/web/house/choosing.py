"""Fields and forms the pages of the house share: animals to choose, and pages that hold a form."""

from typing import Any

from django import forms
from django.db.models import QuerySet

from cavyround.record.models import Animal


def animals_here() -> QuerySet[Animal]:
    """All that are here, by name."""
    return Animal.objects.filter(left_on=None).order_by("name")


def animal_field(label: str, *, hint: str = "", sows: bool = False) -> Any:
    """One animal that is here; boars left out where only a sow fits."""
    here = animals_here()
    return forms.ModelChoiceField(
        label=label,
        queryset=here.exclude(sex="boar") if sows else here,
        empty_label="Choose …",
        help_text=hint,
        error_messages={
            "required": "Choose an animal.",
            "invalid_choice": "This one is no longer here. Choose another.",
        },
    )


def animals_field(label: str, *, hint: str = "", required: bool = True) -> Any:
    """Several animals that are here, each a box to tick."""
    return forms.ModelMultipleChoiceField(
        label=label,
        queryset=animals_here(),
        required=required,
        help_text=hint,
        widget=forms.CheckboxSelectMultiple,
        error_messages={
            "required": "Tick the animals.",
            "invalid_choice": "One of these is no longer here. Tick again.",
        },
    )
