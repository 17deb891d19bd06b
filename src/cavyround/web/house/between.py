"""Who may live with whom, and the bonds and quarrels it rests on."""

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.housing import house_now
from cavyround.engines.housing import House, Why
from cavyround.record.living import Between, keep_tie
from cavyround.record.models import Animal, Tie, TieKind
from cavyround.web.animals.fields import choose_field, day_field, line_field
from cavyround.web.animals.once import OnceForm, fill_in, sent
from cavyround.web.gate import for_readers, for_recorders, person_of
from cavyround.web.house.choosing import animal_field, animals_here
from cavyround.web.house.rules_said import said_of

LATEST = 60


@dataclass(frozen=True, slots=True)
class Beside:
    """Another animal, and what speaks against sharing with it."""

    animal: Animal
    whys: tuple[Why, ...]
    pen_mates: bool

    @property
    def hard(self) -> bool:
        """Whether a hard rule parts them."""
        return any(why.hard for why in self.whys)


@for_readers
def together(request: HttpRequest) -> HttpResponse:
    """For one animal that is chosen: with whom it may live, and why not with the others."""
    here = list(animals_here())
    chosen = next((one for one in here if str(one.pk) == request.GET.get("animal", "")), None)
    page = {
        "animals": here,
        "chosen": chosen,
        "beside": _grouped(chosen, here) if chosen is not None else None,
        "ties": Tie.objects.select_related("one", "other", "made_by").order_by("-on", "-made_at")[
            :LATEST
        ],
        "rules": book().living.sharing,
        "here": "house",
    }
    return render(request, "web/house/together.html", page)


def _beside(chosen: Animal, here: list[Animal]) -> list[Beside]:
    house: House = house_now(timezone.now())
    lodger = house.by_id[str(chosen.pk)]
    found = [
        Beside(
            other,
            house.sharing.why_apart(lodger, house.by_id[str(other.pk)]),
            chosen.pen_id is not None and other.pen_id == chosen.pen_id,
        )
        for other in here
        if other.pk != chosen.pk
    ]
    return sorted(found, key=lambda one: (one.hard, len(one.whys), one.animal.name))


def _grouped(chosen: Animal, here: list[Animal]) -> dict[str, Any]:
    """Who may share, in one line; the others by rule, so that each why is said once."""
    beside = _beside(chosen, here)
    hard = [one for one in beside if one.hard]
    soft = [one for one in beside if one.whys and not one.hard]
    return {
        "may": [one for one in beside if not one.whys],
        "groups": [
            {
                "hard": is_hard,
                "animals": group,
                "rules": said_of(
                    chosen.name, [(one.animal.name, why) for one in group for why in one.whys]
                ),
            }
            for is_hard, group in ((False, soft), (True, hard))
        ],
    }


class TieForm(OnceForm):
    """A bond or a quarrel."""

    one = animal_field("One")
    other = animal_field("The other")
    kind = choose_field("What is between them", TieKind.choices, missing="Choose what it is.")
    on = day_field("On which day", required=True)
    words = line_field(
        "What was seen", 200, hint="For example: chased off the hay, bite at the rump."
    )


@for_recorders
def tie_new(request: HttpRequest) -> HttpResponseBase:
    """Enter a bond or a quarrel."""
    begin = {"on": timezone.localdate(), "one": request.GET.get("animal", "")}
    form = TieForm(sent(request), initial=begin)
    page = {"title": "A bond or a quarrel", "back": reverse("house-together"), "here": "house"}
    return fill_in(request, form, lambda: _keep(request, form), "web/house/form.html", page)


def _keep(request: HttpRequest, form: TieForm) -> str:
    said = form.cleaned_data
    told = Between(kind=said["kind"], on=said["on"], words=said["words"])
    tie = keep_tie(person_of(request), said["one"], said["other"], told, timezone.now())
    messages.success(request, f"Kept: {tie}.")
    return f"{reverse('house-together')}?animal={said['one'].pk}"
