"""Doses of one treatment in one sitting: what is said once for all of them."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.medicines.running import RunningCourse
from cavyround.engines.courses import TreatedTogether, treated_together
from cavyround.record.models import Animal
from cavyround.web.doseround.doses import as_shown, treatment_key
from cavyround.web.doseround.showing import Shown


def treatments(
    shown: Iterable[Shown], running: Iterable[RunningCourse], now: datetime
) -> list[dict[str, Any]]:
    """Each order that several animals get today, with its contacts and what all share."""
    by_order: dict[str, list[Shown]] = defaultdict(list)
    for one in shown:
        by_order[treatment_key(one)].append(one)
    groups = _groups([one for one in running if not one.is_over], now)
    names = _names(groups.values())
    return [_treatment(key, several, groups.get(key), names) for key, several in by_order.items()]


def _groups(running: list[RunningCourse], now: datetime) -> dict[str, TreatedTogether]:
    """By order: who shares a pen with those treated, and is not treated or on another day."""
    pens = {one.row.animal.pen_id for one in running if one.row.animal.pen_id}
    mates: dict[Any, set[str]] = defaultdict(set)
    here = Animal.objects.filter(left_on=None, pen__in=pens).values_list("pk", "pen_id")
    for animal, pen in here:
        mates[pen].add(str(animal))
    contacts = {
        str(one.row.animal_id): mates[one.row.animal.pen_id] - {str(one.row.animal_id)}
        for one in running
        if one.row.animal.pen_id
    }
    found = treated_together(
        [one.course for one in running],
        contacts,
        now=now,
        zone=timezone.get_current_timezone(),
        book=book(),
    )
    return {one.order: one for one in found}


def _names(groups: Iterable[TreatedTogether]) -> dict[str, str]:
    ids = {animal for group in groups for animal in (*group.missing, *group.out_of_step)}
    named = Animal.objects.filter(pk__in=ids).values_list("pk", "name")
    return {str(pk): name for pk, name in named}


def _treatment(
    key: str, several: list[Shown], group: TreatedTogether | None, names: dict[str, str]
) -> dict[str, Any]:
    doses = [as_shown(one) for one in several]
    first = doses[0]
    shared = [
        words
        for words in first["cautions"]
        if all(words in one["cautions"] for one in doses if one["state"] == "ready")
    ]
    return {
        "key": key,
        "what": first["what"],
        "why": first["why"],
        "route_words": next((one["route_words"] for one in doses if one["route_words"]), ""),
        "product_words": next((one["product_words"] for one in doses if one["product_words"]), ""),
        "cautions": shared,
        "words": _not_together(group, names) if group is not None else [],
        "around": list(group.around) if group is not None else [],
    }


def _not_together(group: TreatedTogether, names: dict[str, str]) -> list[str]:
    """What is not as it should be among contacts, with their names."""
    if not group.must:
        return []
    lines = list(group.words)
    for several, words in ((group.missing, "Not treated"), (group.out_of_step, "On another day")):
        if several:
            lines.append(f"{words}: {', '.join(sorted(names.get(one, '?') for one in several))}.")
    return lines
