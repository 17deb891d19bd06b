"""Rooms and pens: who lives where; leads add and rename."""

from collections.abc import Mapping
from typing import Any, cast

from django import forms
from django.contrib import messages
from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse, HttpResponseBase, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse

from cavyround.record.models import Animal, Pen, PenKind, Room
from cavyround.record.places import Floor, keep_pen, keep_room
from cavyround.web.animals.fields import choose_field, line_field
from cavyround.web.animals.once import OnceForm, SentOtherwiseError, do_once, led_to
from cavyround.web.gate import for_readers, person_of, refuse

NAMELESS = "A name is missing: people must be able to say where an animal is. Give one."
LONGEST = 60
LARGEST_CM2 = 1_000_000
NO_ROW = 0  # rows count from 1


class RoomForm(OnceForm):
    """A room's name."""

    name = line_field("Name of the room", LONGEST, missing=NAMELESS)

    def __init__(self, *args: Any, thing: Room | None = None, **kwargs: Any) -> None:
        """Begin with the room as it is, or with a new one."""
        self.thing = thing or Room()
        super().__init__(*args, initial={"name": self.thing.name}, **kwargs)

    def clean_name(self) -> str:
        """One name once in the house."""
        name: str = self.cleaned_data["name"]
        if Room.objects.filter(name=name).exclude(pk=self.thing.pk).exists():
            msg = "There is a room of this name already. Give this one another name."
            raise forms.ValidationError(msg)
        return name

    def keep(self) -> Room:
        """Write it down."""
        known = self.thing if self.thing.pk else None
        return keep_room(self.cleaned_data["name"], room=known)


class PenForm(OnceForm):
    """A pen's room, name and what it is for."""

    room = forms.ModelChoiceField(
        label="Room",
        queryset=Room.objects.all(),
        empty_label="Choose …",
        error_messages={
            "required": "Choose the room: animals in one room share their air.",
            "invalid_choice": "There is no such room any more. Choose another.",
        },
    )
    name = line_field("Name of the pen", LONGEST, missing=NAMELESS)
    kind = choose_field(
        "What it is for", PenKind.choices, listed=True, missing="Choose what it is for."
    )

    area_cm2 = forms.IntegerField(
        label="Floor in cm²",
        required=False,
        min_value=1,
        max_value=LARGEST_CM2,
        help_text="Length times width of all the floor there is to walk on: 120 by 60 cm is 7200.",
        error_messages={
            "invalid": "This is no whole number. 120 by 60 cm is 7200 cm².",
            "min_value": "A pen has some floor. Leave it empty if nobody measured it.",
            "max_value": "This is larger than a hall. Is it in cm²? One m² is 10000 cm².",
        },
    )
    levels = forms.IntegerField(
        label="Levels",
        required=False,
        min_value=1,
        max_value=9,
        error_messages={"invalid": "A whole number, such as 1."},
    )

    def __init__(self, *args: Any, thing: Pen | None = None, **kwargs: Any) -> None:
        """Begin with the pen as it is, or with a new one."""
        self.thing = thing or Pen()
        begin = {
            "room": self.thing.room_id,
            "name": self.thing.name,
            "kind": self.thing.kind,
            "area_cm2": self.thing.area_cm2,
            "levels": self.thing.levels,
        }
        super().__init__(*args, initial=begin, **kwargs)

    def clean(self) -> dict[str, Any]:
        """One name once in a room."""
        said = super().clean() or self.cleaned_data
        same = Pen.objects.filter(room=said.get("room"), name=said.get("name", ""))
        if same.exclude(pk=self.thing.pk).exists():
            words = "There is a pen of this name in this room already. Give it another name."
            self.blame("name", words)
        return said

    def keep(self) -> Pen:
        """Write it down."""
        said = self.cleaned_data
        known = self.thing if self.thing.pk else None
        floor = Floor(area_cm2=said["area_cm2"], levels=said["levels"])
        return keep_pen(said["room"], said["name"], said["kind"], pen=known, floor=floor)


Faulty = Mapping[str, RoomForm | PenForm]


@for_readers
def pens(request: HttpRequest) -> HttpResponseBase:
    """All rooms and pens; a lead's forms come back here."""
    if request.method != "POST":
        return _page(request, {})
    if not person_of(request).may_lead:
        return refuse(request, "Leads set up rooms and pens. Nothing was changed.")
    prefix, form = _sent(request.POST)

    def make() -> str:
        messages.success(request, f"{form.keep()} is kept.")
        return reverse("pens")

    try:
        again = led_to(request)
        if again is not None:
            return redirect(again)
        if form.is_valid():
            return redirect(do_once(request, form.sending, make))
    except SentOtherwiseError as before:
        form.begin_anew(before.address)
    return _page(request, {prefix: form}, status=422)


def _sent(said: QueryDict) -> tuple[str, RoomForm | PenForm]:
    """The form that was sent, with the room or pen it is about, and its key on the page."""
    number = said.get("number", "")
    row = int(number) if number.isdecimal() and len(number) < len(str(2**31)) else NO_ROW
    if said.get("what") == "room":
        room = Room.objects.filter(pk=row).first()
        return _key("room", room), RoomForm(said, thing=room, auto_id=_ids("room", room))
    pen = Pen.objects.filter(pk=row).first()
    return _key("pen", pen), PenForm(said, thing=pen, auto_id=_ids("pen", pen))


def _key(what: str, thing: Room | Pen | None) -> str:
    return f"{what}-{thing.pk}" if thing else what


def _ids(what: str, thing: Room | Pen | None) -> str:
    return f"{_key(what, thing)}-%s"


def _page(request: HttpRequest, faulty: Faulty, status: int = 200) -> HttpResponse:
    leads = person_of(request).may_lead
    here = Animal.objects.filter(left_on=None).order_by("name")
    living = Prefetch("animals", here, to_attr="living")
    rooms = Room.objects.prefetch_related(Prefetch("pens", Pen.objects.prefetch_related(living)))
    page = {
        "rooms": [
            {
                "room": room,
                "form": _of_room(faulty, room) if leads else None,
                "pens": [
                    {"pen": pen, "form": _of_pen(faulty, pen) if leads else None}
                    for pen in room.pens.all()
                ],
            }
            for room in rooms
        ],
        "new_room": faulty.get("room") or RoomForm(auto_id=_ids("room", None)),
        "new_pen": faulty.get("pen") or PenForm(auto_id=_ids("pen", None)),
        "here": "animals",
    }
    return render(request, "web/animals/pens.html", page, status=status)


def _of_room(faulty: Faulty, room: Room) -> RoomForm:
    known = cast("RoomForm | None", faulty.get(_key("room", room)))
    return known or RoomForm(thing=room, auto_id=_ids("room", room))


def _of_pen(faulty: Faulty, pen: Pen) -> PenForm:
    known = cast("PenForm | None", faulty.get(_key("pen", pen)))
    return known or PenForm(thing=pen, auto_id=_ids("pen", pen))
