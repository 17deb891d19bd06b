"""The page of expectant sows and of litters."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.breeding import (
    BreedingNow,
)
from cavyround.advice.labour import labours_now
from cavyround.engines.breeding import (
    STATE_WORDS,
    Expecting,
    LitterState,
    Reason,
    sex_of,
)
from cavyround.engines.breeding.reasons import to_do
from cavyround.record.models import Animal
from cavyround.web.gate import for_readers

# What is done of every sow that may give birth: said once.
FOR_ALL = ("sick_emergency", "weigh", "no_pressing", "quiet_place")


@dataclass(frozen=True, slots=True)
class Sow:
    """A sow that may give birth, with her row and the names of those she met."""

    row: Animal
    state: Expecting
    words: str
    met: tuple[tuple[str, Any], ...]

    @property
    def own(self) -> tuple[Reason, ...]:
        """What is done of her in particular; what is done of all stands once above them."""
        return tuple(one for one in self.state.do if one.code not in FOR_ALL)

    @property
    def is_emergency_now(self) -> bool:
        """Whether any illness of hers is an emergency today."""
        return any(one.code == "sick_emergency" for one in self.state.do)


@dataclass(frozen=True, slots=True)
class Family:
    """A litter with the rows of its animals."""

    state: LitterState
    dam: Animal | None
    sires: tuple[Animal, ...]
    pups: tuple[tuple[Animal | None, Any], ...]


@for_readers
def expectant(request: HttpRequest) -> HttpResponse:
    """Who may give birth when, litters with who must be parted by when, sexings that disagree."""
    known = BreedingNow(timezone.now())
    sows = [_sow(one, known) for one in known.expecting]
    page = {
        "labours": labours_now(known.now),
        "sows": [one for one in sows if not one.state.history_unknown],
        "unknown": [one for one in sows if one.state.history_unknown],
        "families": [_family(one, known) for one in known.litters],
        "disputed": [
            (known.by_id[one.id], sex_of(one))
            for one in known.breeders
            if known.by_id[one.id].is_here
            and (sex_of(one).disputed or sex_of(one).sex == "unknown")
        ],
        "today": timezone.localdate(known.now),
        "for_all": [to_do(book(), care) for care in FOR_ALL[1:]],
        "signs": book().living.birth_signs,
        "none_wanted": book().living.care("none_wanted"),
        "here": "house",
    }
    return render(request, "web/house/expectant.html", page)


def _sow(one: Expecting, known: BreedingNow) -> Sow:
    met = tuple(
        (known.by_id[c.sire].name if c.sire in known.by_id else "somebody unknown", c)
        for c in one.contacts
    )
    return Sow(known.by_id[one.animal], one, STATE_WORDS[one.state], met)


def _family(one: LitterState, known: BreedingNow) -> Family:
    return Family(
        one,
        known.by_id.get(one.litter.dam),
        tuple(known.by_id[sire] for sire in one.sires if sire in known.by_id),
        tuple((known.by_id.get(pup.animal), pup) for pup in one.pups),
    )
