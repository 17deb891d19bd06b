"""Rooms and pens: who lives where; leads add and rename."""

from collections.abc import Callable
from typing import Any, ClassVar

from django import forms
from django.contrib import messages
from django.db.models import Count, Prefetch, Q
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render

from cavyround.record.models import Animal, Pen, PenKind, Room
from cavyround.web.gate import for_readers, person_of, refuse

ROOM_TAKEN = "There is a room of this name already. Give this one another name."
PEN_TAKEN = "There is a pen of this name in this room already. Give this one another name."
NAMELESS = "A name is missing: people must be able to say where an animal is. Give one."


class RoomForm(forms.ModelForm[Room]):
    """A room's name."""

    use_required_attribute = False

    class Meta:
        """Its fields."""

        model = Room
        fields = ("name",)
        labels: ClassVar = {"name": "Name of the room"}
        error_messages: ClassVar = {"name": {"required": NAMELESS, "unique": ROOM_TAKEN}}


class PenForm(forms.ModelForm[Pen]):
    """A pen's room, name and what it is for."""

    use_required_attribute = False

    class Meta:
        """Its fields."""

        model = Pen
        fields = ("room", "name", "kind")
        labels: ClassVar = {"room": "Room", "name": "Name of the pen", "kind": "What it is for"}
        error_messages: ClassVar = {
            "name": {"required": NAMELESS},
            "room": {"required": "Choose the room: animals in one room share their air."},
            "__all__": {"unique_together": PEN_TAKEN},
        }

    def clean(self) -> dict[str, Any]:
        """One name once in a room."""
        said = super().clean() or self.cleaned_data
        same = Pen.objects.filter(room=said.get("room"), name=said.get("name"))
        if said.get("name") and same.exclude(pk=self.instance.pk).exists():
            self.add_error("name", PEN_TAKEN)
        return said

    def validate_constraints(self) -> None:
        """The one constraint is looked at in ``clean``, where its words have a field."""


def _forms(what: str) -> Callable[..., RoomForm | PenForm]:
    return RoomForm if what == "room" else PenForm


@for_readers
def pens(request: HttpRequest) -> HttpResponseBase:
    """All rooms and pens; a lead's forms come back here."""
    if request.method != "POST":
        return _page(request, {})
    if not person_of(request).may_lead:
        return refuse(request, "Leads set up rooms and pens. Nothing was changed.")
    what, number = request.POST.get("what", ""), request.POST.get("number", "")
    model: type[Room] | type[Pen] = Room if what == "room" else Pen
    instance = model.objects.filter(pk=number).first() if number.isdecimal() else None
    prefix = f"{what}{number}"
    form = _forms(what)(request.POST, instance=instance, prefix=prefix)
    if not form.is_valid():
        return _page(request, {prefix: form}, status=422)
    kept = form.save()
    messages.success(request, f"{kept} is kept.")
    return redirect("pens")


def _page(
    request: HttpRequest, faulty: dict[str, RoomForm | PenForm], status: int = 200
) -> HttpResponse:
    leads = person_of(request).may_lead
    here = Count("animals", filter=Q(animals__left_on=None))
    living = Prefetch(
        "animals", Animal.objects.filter(left_on=None).order_by("name"), to_attr="living"
    )
    found = Pen.objects.annotate(count=here).prefetch_related(living)
    rooms = Room.objects.prefetch_related(Prefetch("pens", found))
    page = {
        "rooms": [
            {
                "room": room,
                "form": _of(faulty, "room", room) if leads else None,
                "pens": [
                    {"pen": pen, "form": _of(faulty, "pen", pen) if leads else None}
                    for pen in room.pens.all()
                ],
            }
            for room in rooms
        ],
        "new_room": faulty.get("room") or RoomForm(prefix="room"),
        "new_pen": faulty.get("pen") or PenForm(prefix="pen"),
        "kinds": PenKind,
        "here": "animals",
    }
    return render(request, "web/animals/pens.html", page, status=status)


def _of(faulty: dict[str, RoomForm | PenForm], what: str, thing: Room | Pen) -> RoomForm | PenForm:
    prefix = f"{what}{thing.pk}"
    return faulty.get(prefix) or _forms(what)(instance=thing, prefix=prefix)
