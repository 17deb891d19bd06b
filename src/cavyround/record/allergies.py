"""Write what an animal does not bear, and which reasons against a dose were set aside."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime
from uuid import UUID

from django.utils import timezone

from cavyround.record import models
from cavyround.record.models.entries import kept_already, new_id
from cavyround.record.models.orders import OrderWord

LONGEST = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class AsideSaid:
    """Which reason is set aside, by whom and why; ``animal`` None: for all of the order.

    ``word`` and ``said_on``: how and when a vet's word came that another writes down.
    """

    key: str
    by_name: str
    role: str
    why: str = ""
    words: str = ""
    word: str = ""
    said_on: date | None = None
    animal: models.Animal | None = None
    id: UUID = field(default_factory=new_id)


class NoteRefusedError(ValueError):
    """Why a note cannot be kept, with the field it belongs to."""

    def __init__(self, about: str, words: str) -> None:
        """Keep the field so that a form can show the words beside it."""
        super().__init__(words)
        self.about = about


def note_allergy(
    person: models.Person,
    animal: models.Animal,
    name: str,
    now: datetime,
    *,
    note: str = "",
    id: UUID | None = None,  # noqa: A002 -- made at the source
) -> models.Allergy:
    """An animal does not bear a medicine, or a class of them."""
    known = kept_already(models.Allergy, id)
    if known is not None:
        return known
    if not name.strip():
        about, words = "name", "Say which medicine, or which kind of medicine."
        raise NoteRefusedError(about, words)
    allergy = models.Allergy(
        id=id or new_id(),
        animal=animal,
        name=name.strip(),
        note=note.strip(),
        made_at=now,
        made_by=person,
    )
    allergy.save()
    return allergy


def end_allergy(
    person: models.Person, allergy: models.Allergy, why: str, now: datetime
) -> models.AllergyEnded:
    """A note of an allergy no longer holds, and why."""
    if not why.strip():
        about, words = "why", "Say why it no longer holds, and on whose word."
        raise NoteRefusedError(about, words)
    ended = models.AllergyEnded(allergy=allergy, why=why.strip(), made_at=now, made_by=person)
    ended.save()
    return ended


def allergies_of(animals: Iterable[UUID]) -> dict[UUID, list[models.Allergy]]:
    """What stands noted, by animal."""
    noted: dict[UUID, list[models.Allergy]] = defaultdict(list)
    for one in models.Allergy.objects.filter(animal__in=list(animals), ends=None):
        noted[one.animal_id].append(one)
    return noted


def set_aside(
    person: models.Person, order: models.Order, said: AsideSaid, now: datetime
) -> models.ReasonSetAside:
    """Somebody sets one reason against a dose aside: by name, and a vet with the reason why."""
    known = kept_already(models.ReasonSetAside, said.id)
    if known is not None:
        return known
    if not said.by_name.strip():
        about, words = "by_name", "Say who decided: a name."
        raise NoteRefusedError(about, words)
    if said.role == "vet" and not said.why.strip():
        about, words = "why", "Say the vet's reason, in the vet's words."
        raise NoteRefusedError(about, words)
    by_vet = person.may_answer and said.role == "vet"
    if said.role == "vet" and not by_vet:
        _refuse_no_word(said, now)
    row = models.ReasonSetAside(
        id=said.id,
        order=order,
        animal=said.animal,
        key=said.key,
        words=said.words[:LONGEST],
        by_name=said.by_name.strip(),
        role=said.role,
        why=said.why.strip(),
        word=OrderWord.SELF if by_vet else said.word,
        said_on=None if by_vet else said.said_on,
        made_at=now,
        made_by=person,
    )
    row.save()
    return row


def _refuse_no_word(said: AsideSaid, now: datetime) -> None:
    """What a vet decided, and another writes down, says how the word came and when."""
    if said.word not in OrderWord.values or said.word == OrderWord.SELF:
        about, words = "word", "Say how the vet said it: only a vet who is signed in enters it."
        raise NoteRefusedError(about, words)
    if said.said_on is None or said.said_on > timezone.localdate(now):
        about, words = "said_on", "Say on which day the vet said it."
        raise NoteRefusedError(about, words)


def end_set_aside(
    person: models.Person, said: models.ReasonSetAside, why: str, now: datetime
) -> models.SetAsideEnded:
    """A setting aside no longer holds, and why."""
    if not why.strip():
        about, words = "why", "Say why it no longer holds."
        raise NoteRefusedError(about, words)
    ended = models.SetAsideEnded(set_aside=said, why=why.strip(), made_at=now, made_by=person)
    ended.save()
    return ended
