"""What a phone sends from the dose round: tries at doses, answers after them, and their undoing."""

from decimal import Decimal
from typing import Annotated, Any, Literal
from uuid import UUID

from pydantic import AwareDatetime, Field, TypeAdapter, ValidationError, model_validator

from cavyround.facts.courses import Outcome
from cavyround.facts.entries import PLAIN_WORDS, BadTouchError, Touch

MOST_SHOWN = 40


class DoseTried(Touch):
    """One try at one dose: what became of it, and what it was worked out from.

    ``number`` is the due dose it is meant for. ``amount`` in ``unit`` is what was drawn from
    the ``lot``; ``second`` is who checked it. ``worked`` is the dose as the phone showed it.
    """

    kind: Literal["dose"]
    course: UUID
    outcome: Outcome
    number: int | None = Field(default=None, ge=1, le=32000)
    why: str = Field(default="", max_length=200)
    weight_g: Decimal | None = Field(default=None, gt=0, lt=100_000)
    weighed_at: AwareDatetime | None = None
    amount: Decimal | None = Field(default=None, gt=0, lt=100_000)
    unit: str = Field(default="", max_length=8)
    lot: UUID | None = None
    syringe: str = Field(default="", max_length=40)
    second: int | None = None
    worked: dict[str, Any] = Field(default_factory=dict, max_length=MOST_SHOWN)

    @model_validator(mode="after")
    def _says_why(self) -> "DoseTried":
        if self.outcome is Outcome.NOT_GIVEN and not self.why.strip():
            msg = "Say why it was not given."
            raise ValueError(msg)
        return self


class AnswerGiven(Touch):
    """The answer to a question after a dose; ``answer`` counts from 0."""

    kind: Literal["answer"]
    course: UUID
    question: str = Field(min_length=1, max_length=40)
    answer: int = Field(ge=0, le=99)
    dose: UUID | None = None


class EntryTakenBack(Touch):
    """Undo of one earlier entry about the same dose or question. It stays readable."""

    kind: Literal["take_back"]
    entry: UUID


AnyDoseEntry = Annotated[DoseTried | AnswerGiven | EntryTakenBack, Field(discriminator="kind")]
_entry: TypeAdapter[AnyDoseEntry] = TypeAdapter(AnyDoseEntry)


def read_dose_entry(data: object) -> AnyDoseEntry:
    """Read one entry; raises BadTouchError saying which field and why."""
    try:
        return _entry.validate_python(data)
    except ValidationError as refused:
        first = refused.errors(include_url=False)[0]
        field = ".".join(str(part) for part in first["loc"][1:])
        words = PLAIN_WORDS.get(first["type"], first["msg"].removeprefix("Value error, "))
        raise BadTouchError(f"{field}: {words}" if field else words) from None
