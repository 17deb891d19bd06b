"""Sexings, castrations, pups felt and litters that stand: what was taken back is left out."""

from typing import Any

from django.db.models import QuerySet

from cavyround.record.models import Castration, Litter, LivingTakenBack, PupsFelt, Sexing

NAMES: dict[type[Any], str] = {
    Sexing: "sexing",
    Castration: "castration",
    PupsFelt: "pups_felt",
    Litter: "litter",
}
MODELS: dict[str, type[Any]] = {name: model for model, name in NAMES.items()}


def standing_rows(model: type[Any]) -> QuerySet[Any]:
    """The rows of one of the four that nobody took back."""
    rows: QuerySet[Any] = model.objects.exclude(pk__in=taken_back_of(model))
    return rows


def taken_back_of(model: type[Any]) -> QuerySet[Any, Any]:
    """The keys of those that were taken back."""
    return LivingTakenBack.objects.filter(what=NAMES[model]).values("entry")
