"""Animals, checks and pictures for the tests, written by the record's own writers."""

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from io import BytesIO
from typing import Any
from uuid import UUID

from django.utils import timezone
from PIL import Image

from cavyround.record.animals import Coming, add_animal
from cavyround.record.models import Animal, Check, CheckEntry, Pen, Person, Room
from cavyround.record.models.entries import new_id
from cavyround.record.receiving import receive
from tests.builders import id_ahead

Touch = Mapping[str, Any] | Callable[[list[str]], Mapping[str, Any]]


def an_animal(person: Person, name: str = "Bracken", **details: Any) -> Animal:
    on = timezone.localdate() - timedelta(days=30)
    coming = Coming(on=on, how="surrendered", came_from="a family", told="Sneezed in autumn.")
    begin = timezone.now() - timedelta(days=30)
    return add_animal(person, {"name": name, **details}, coming, begin)


def a_pen(name: str = "Pen 1") -> Pen:
    room, _ = Room.objects.get_or_create(name="Front room")
    return Pen.objects.create(room=room, name=name)


def a_check(
    person: Person,
    animal: Animal,
    *touches: Touch,
    at: datetime | None = None,
    ahead: timedelta = timedelta(),
) -> Check:
    """A check with these touches in this order; a function gets the ids before it.

    The ids are those of a phone whose clock runs ``ahead``.
    """
    at = at or timezone.now() - timedelta(hours=1)
    check_id, ids, sent = str(new_id()), [], []
    for number, touch in enumerate(touches):
        ids.append(str(id_ahead(ahead)))
        made = touch(ids) if callable(touch) else touch
        sent.append(
            {
                "id": ids[-1],
                "check": {
                    "id": check_id,
                    "animal": str(animal.pk),
                    "kind": "full",
                    "started_at": at.isoformat(),
                },
                "made_at": (at + timedelta(seconds=number)).isoformat(),
                "by": person.pk,
                "touch": dict(made),
            }
        )
    for receipt in receive(person, sent, timezone.now()):
        assert receipt.is_kept, receipt.why
    return Check.objects.get(pk=UUID(check_id))


def weight(grams: int, **more: Any) -> dict[str, Any]:
    return {"kind": "weight", "grams": str(grams), "as_typed": f"{grams} g", **more}


def discharge() -> dict[str, Any]:
    return {
        "kind": "observation",
        "step": "eyes",
        "region": "eye",
        "finding": "discharge",
        "side": "L",
        "kinds": ["yellow"],
    }


NAILS_CUT = {"kind": "care", "care": "nail_trim", "detail": "front feet"}
FINISHED = {"kind": "finish"}


def entry_of(check: Check, kind: str) -> CheckEntry:
    entry: CheckEntry = check.entries.get(kind=kind)
    return entry


def a_picture(kind: str = "JPEG", size: tuple[int, int] = (64, 48), **options: Any) -> BytesIO:
    """A small picture; the left half is red, so that turning shows."""
    image = Image.new("RGB", size, "white")
    image.paste("red", (0, 0, size[0] // 2, size[1]))
    out = BytesIO()
    image.save(out, kind, **options)
    out.seek(0)
    out.name = f"picture.{kind.lower()}"
    return out


def arrival_form(**changes: Any) -> dict[str, Any]:
    """A form for a new animal as a carer would send it."""
    return {
        "once": str(new_id()),
        "name": "Bracken",
        "sex": "sow",
        "sex_sure": "likely",
        "sexed_as": "boar",
        "neutered": "unknown",
        "pregnant": "unknown",
        "birth": "unknown",
        "coat": ["rough", "satin"],
        "colour": "tan and white",
        "skin": "dark",
        "identity_marks": "white toe",
        "how": "surrendered",
        "on": timezone.localdate().isoformat(),
        "came_from": "a family",
        "told": "Lived alone.",
    } | changes
