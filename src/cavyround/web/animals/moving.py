"""Put an animal into another pen."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any, cast
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase, QueryDict
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.housing import house_now
from cavyround.engines.housing import House, Why, speaks_against
from cavyround.record.animals import move
from cavyround.record.models import Animal, Move, Pen
from cavyround.record.moves import standing_moves
from cavyround.web.animals.fields import line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_recorders, person_of


class MovingForm(OnceForm):
    """Where to, and why."""

    pen = forms.ModelChoiceField(
        label="Pen",
        queryset=Pen.objects.select_related("room"),
        required=False,
        empty_label="Out of all pens",
        error_messages={"invalid_choice": "There is no such pen any more. Choose another."},
    )
    why = line_field(
        "Why",
        200,
        hint="For example: sneezes, so apart from the others.",
        missing="Say why: whoever looks for who met whom needs it.",
    )
    all_the_same = forms.BooleanField(
        label="I have read what speaks against it, and it moves all the same",
        required=False,
    )
    # Where it stood when the page was opened: somebody else may have moved it since.
    was = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, animal: Animal, house: House, **kwargs: Any) -> None:
        """A move is from where ``animal`` is now, in the ``house`` as it stands."""
        self.animal, self.house = animal, house
        kwargs["initial"] = {"was": _stands(animal)} | dict(kwargs.get("initial") or {})
        super().__init__(*args, **kwargs)
        if not self.against:
            self.fields["all_the_same"].widget = forms.HiddenInput()

    @cached_property
    def against(self) -> tuple[Why, ...]:
        """What speaks against the pen that is chosen."""
        chosen = self.data.get("pen") if self.is_bound else self.initial.get("pen")
        pen = self.house.pen_by_id.get(str(chosen or ""))
        if pen is None or str(self.animal.pen_id) == pen.id:
            return ()
        lodger = self.house.by_id.get(str(self.animal.pk))
        return speaks_against(self.house, lodger, pen) if lodger is not None else ()

    def clean(self) -> dict[str, Any]:
        """What speaks against it is read before it is done; nothing is blocked."""
        said = super().clean() or self.cleaned_data
        if not self.animal.is_here:
            self.blame("", f"{self.animal} is not here any more: it left. Nothing was moved.")
            return said
        self._look_whether_it_was_moved(said)
        if self.against and not said.get("all_the_same") and "pen" not in self.errors:
            words = (
                "Something speaks against this pen: it stands above. Choose another, or tick "
                "that it moves all the same."
            )
            self.blame("all_the_same", words)
        return said

    def _look_whether_it_was_moved(self, said: dict[str, Any]) -> None:
        """Two people at two phones: the second is told before it undoes what the first did."""
        if "was" not in self.data or said.get("was") == _stands(self.animal):
            return
        last = standing_moves(Move.objects.filter(animal=self.animal))[-1]
        where = f"to {last.row.pen}" if last.row.pen else "out of all pens"
        words = (
            f"{last.row.made_by} moved {self.animal} {where} at "
            f"{timezone.localtime(last.at):%H:%M}, after this page was opened: "
            f"“{last.row.why or 'no reason given'}”. Send it again if it moves all the same."
        )
        self.blame("pen", words)
        again = cast("QueryDict", self.data).copy()
        again["was"] = _stands(self.animal)
        self.data = again

    def clean_pen(self) -> Pen | None:
        """A move into its own pen is none."""
        pen: Pen | None = self.cleaned_data["pen"]
        if pen == self.animal.pen:
            msg = "It is there already. Choose another pen, or go back."
            raise forms.ValidationError(msg)
        return pen


def _stands(animal: Animal) -> str:
    return str(animal.pen_id or "none")


@dataclass(frozen=True, slots=True)
class PenChoice:
    """A pen it could go to: who lives there, and what speaks against it."""

    pen: Pen
    living: tuple[str, ...]
    against: tuple[Why, ...]

    @property
    def hard(self) -> bool:
        """Whether a hard rule speaks against it."""
        return any(why.hard for why in self.against)


def pens_for(animal: Animal, house: House) -> list[PenChoice]:
    """All other pens, those that nothing speaks against first."""
    lodger = house.by_id.get(str(animal.pk))
    found = []
    for pen in Pen.objects.select_related("room"):
        if lodger is None or pen.pk == animal.pen_id:
            continue
        facts = house.pen_by_id[str(pen.pk)]
        living = tuple(one.name for one in house.animals if one.pen == facts.id)
        found.append(PenChoice(pen, living, speaks_against(house, lodger, facts)))
    return sorted(found, key=lambda one: (one.hard, len(one.against)))


@for_recorders
def animal_move(request: HttpRequest, animal_id: UUID) -> HttpResponseBase:
    """Enter a move."""
    animal = get_object_or_404(Animal.objects.select_related("pen__room"), pk=animal_id)
    house = house_now(timezone.now())
    asked = request.GET.get("pen", "")
    begin = asked if asked in house.pen_by_id else animal.pen_id
    form = MovingForm(sent(request), animal=animal, house=house, initial={"pen": begin})
    page = {
        "animal": animal,
        "here": "animals",
        "choices": pens_for(animal, house),
        "chosen": form.is_bound or asked in house.pen_by_id,
    }
    return fill_in(
        request, form, lambda: _move(request, animal, form), "web/animals/move.html", page
    )


def _move(request: HttpRequest, animal: Animal, form: MovingForm) -> str:
    pen = form.cleaned_data["pen"]
    move(person_of(request), animal, pen, timezone.now(), why=form.cleaned_data["why"])
    messages.success(request, f"{animal} is now in {pen}." if pen else f"{animal} is in no pen.")
    return reverse("animal", args=[animal.pk])
