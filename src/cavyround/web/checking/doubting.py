"""What lets the phone doubt a weight as the engine would, before it is kept."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.db.models import OuterRef, Subquery

from cavyround.advice.book import book
from cavyround.facts.animal import AnimalFacts
from cavyround.facts.entries import HEAVIEST_G, LIGHTEST_G
from cavyround.record.models import Animal, WeighIn
from cavyround.web.templatetags.words import day


def bounds() -> dict[str, Any]:
    """What holds for every animal: what is no weight at all, what is doubted, what agrees."""
    plausible = book().span("plausible_g")
    return {
        "lightest": int(LIGHTEST_G),
        "heaviest": int(HEAVIEST_G),
        "plausible_g": [float(plausible.low), float(plausible.high)],
        "doubt_days": int(book().number("doubtful_change_days")),
        "reweigh_within_g": float(book().number("reweigh_within_g")),
    }


def doubt_pct(facts: AnimalFacts, today: date) -> float:
    """How many per cent from the last good weight are doubted; an unknown age may be young."""
    youngest = facts.born.youngest_days(today)
    growing = youngest is None or youngest < book().span("growth_watch_days").high
    key = "doubtful_change_pct_young" if growing else "doubtful_change_pct_adult"
    return float(book().number(key))


def last_weights(animals: Iterable[Animal], now: datetime) -> Mapping[UUID, WeighIn]:
    """The last weight of each that was not doubted; asked for all at once."""
    sound = WeighIn.objects.filter(animal=OuterRef("pk"), at__lte=now, doubted=False)
    ids = Animal.objects.filter(pk__in=[animal.pk for animal in animals]).annotate(
        last=Subquery(sound.order_by("-at", "-id").values("pk")[:1])
    )
    rows = WeighIn.objects.filter(pk__in=[one for one in ids.values_list("last", flat=True) if one])
    return {row.animal_id: row for row in rows}


def as_last(weight: WeighIn | None) -> dict[str, Any] | None:
    """A last weight as the screen shows and compares it."""
    if weight is None:
        return None
    return {"grams": float(weight.grams), "on": day(weight.at), "at": weight.at.isoformat()}
