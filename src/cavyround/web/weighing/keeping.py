"""Weights from a text into the record, each once however often the text comes."""

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any
from uuid import UUID, uuid5

from django.utils import timezone

from cavyround.record.models import CheckEntry, Person, WeighIn
from cavyround.record.models.checks import CheckKind
from cavyround.record.receiving import Receipt, receive
from cavyround.web.templatetags.words import day as day_words
from cavyround.web.templatetags.words import grams as grams_words
from cavyround.web.weighing.reading import Line, State

# The name space of checks made from a text; any fixed id would do.
FROM_TEXT = UUID("0192d5a0-5c0e-7a51-9f43-6f1c2b9d8e77")
# An end sorts after the weight it belongs to.
AFTER = timedelta(milliseconds=1)
TYPED_LENGTH = 24


def id_by_time(at: datetime, made_from: str) -> UUID:
    """The same id for the same words and moment, sortable by that moment (UUIDv7 in form)."""
    digest = int.from_bytes(hashlib.sha256(made_from.encode()).digest()[:10])
    millis = int(at.astimezone(UTC).timestamp() * 1000)
    low = digest & ((1 << 62) - 1)
    value = (millis << 80) | (7 << 76) | ((digest >> 62 & 0xFFF) << 64) | (2 << 62) | low
    return UUID(int=value)


def _made_from(line: Line) -> str:
    """What makes a weighing the same one: animal, moment or day, and weight."""
    when = line.moment.astimezone(UTC).isoformat() if line.timed and line.moment else str(line.on)
    return f"{line.animal.pk if line.animal else ''} {when} {line.grams}"


def entry_id(line: Line) -> UUID:
    """The id of the weight a line would make."""
    return id_by_time(_sorted_at(line), f"weight {_made_from(line)}")


def _sorted_at(line: Line) -> datetime:
    """The moment its id sorts by: for a day without a time always the same."""
    if line.moment is None or line.on is None:
        msg = f"line {line.number} has no day"
        raise ValueError(msg)
    if line.timed:
        return line.moment
    noon = datetime(line.on.year, line.on.month, line.on.day, 12)  # noqa: DTZ001
    return timezone.make_aware(noon, timezone.get_current_timezone())


def without_known(lines: Sequence[Line]) -> list[Line]:
    """The lines, those marked that the record or an earlier line already holds."""
    new = [line for line in lines if line.state is State.NEW]
    ids = [entry_id(line) for line in new]
    made_before = set(CheckEntry.objects.filter(pk__in=ids).values_list("pk", flat=True))
    weighed = _weighed_on({line.animal.pk for line in new if line.animal})
    seen: dict[UUID, int] = {}
    return [_or_known(line, made_before, weighed, seen) for line in lines]


def _weighed_on(animals: Iterable[UUID]) -> dict[tuple[Any, ...], WeighIn]:
    rows = WeighIn.objects.filter(animal__in=set(animals))
    return {(row.animal_id, timezone.localdate(row.at), row.grams): row for row in rows}


def _or_known(
    line: Line,
    made_before: set[UUID],
    weighed: dict[tuple[Any, ...], WeighIn],
    seen: dict[UUID, int],
) -> Line:
    if line.state is not State.NEW or line.animal is None or line.grams is None:
        return line
    own = entry_id(line)
    before = line.number if line.left_out else seen.setdefault(own, line.number)
    row = weighed.get((line.animal.pk, line.on, line.grams))
    why = ""
    if before != line.number:
        why = f"The same as on line {before}."
    elif row is not None:
        why = f"In the record already: {grams_words(row.grams)} on {day_words(line.on)}."
    elif own in made_before:
        why = (
            "Recorded from a text before, and taken back or corrected since: its history "
            "stands with the animal. It is not recorded again."
        )
    return replace(line, state=State.KNOWN, why=why) if why else line


def keep(person: Person, lines: Iterable[Line], source: str, now: datetime) -> list[Receipt]:
    """Record what is to be recorded; ``source`` (paste or file) stands with what was typed.

    Gives the receipts of the weights, in their order.
    """
    touches = [list(_touches(line, person, source)) for line in lines if line.recorded]
    # One sending, so that what the weights say is reckoned once for all of them.
    receipts = receive(person, [touch for both in touches for touch in both], now)
    said = {receipt.id: receipt for receipt in receipts}
    return [said[weight["id"]] for weight, _ in touches]


def _touches(line: Line, person: Person, source: str) -> Iterator[dict[str, Any]]:
    if line.animal is None or line.moment is None:
        msg = f"line {line.number} names no animal or no day"
        raise ValueError(msg)
    check = {
        "id": str(uuid5(FROM_TEXT, _made_from(line))),
        "animal": str(line.animal.pk),
        "kind": CheckKind.WEIGH_IN,
        "started_at": line.moment.isoformat(),
        "planned": ["weight"],
    }
    weight: dict[str, Any] = {
        "kind": "weight",
        "grams": f"{(line.grams or Decimal(0)).normalize():f}",
        "as_typed": f"{source}: {line.written}"[:TYPED_LENGTH],
    }
    if line.doubt is not None:
        weight |= {"doubted": True}
    ids = (entry_id(line), id_by_time(_sorted_at(line) + AFTER, f"finish {_made_from(line)}"))
    for one, touch in zip(ids, (weight, {"kind": "finish"}), strict=True):
        envelope = {"id": str(one), "check": check, "made_at": line.moment.isoformat()}
        yield envelope | {"by": person.pk, "touch": touch}
