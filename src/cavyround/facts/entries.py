"""The touches of a check as typed values: what may be said, and in which form.

The check screen sends them; the record keeps them as they came; ``sitting``
folds them. A touch that does not fit is refused with words a carer can use.
"""

from datetime import date, datetime
from decimal import Decimal
from typing import Annotated, Literal
from uuid import UUID

from pydantic import (
    AwareDatetime,
    BaseModel,
    ConfigDict,
    Field,
    TypeAdapter,
    ValidationError,
    model_validator,
)

from cavyround.facts.observation import Grade, Side, Status

# Lightest newborn and heaviest pet on record, with room; a weight outside is a slip of the finger.
# Sources: newborn range 42-150 g (long-haired pets, 440-litter abstracts); adult range 0.40-2.66 kg
# (O'Neill et al. 2024, 51,622 animals). The bounds are set wider than both: our own judgement.
LIGHTEST_G = Decimal(20)
HEAVIEST_G = Decimal(4000)

# Letters of one recording: an hour of talk is about 50,000, with the time lines of a recording's
# text about twice that. Longer ones are read in parts.
MOST_SAID = 100_000


class Touch(BaseModel):
    """One touch. Unknown keys are refused, so that nothing is dropped in silence."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class HoldNormal(Touch):
    """ "As it should be" for a hold: exactly the steps that were on the screen."""

    kind: Literal["hold_normal"]
    hold: str
    steps: tuple[str, ...] = Field(min_length=1)


class StepNormal(Touch):
    """One step looked at and as it should be."""

    kind: Literal["step_normal"]
    step: str


class StepSkipped(Touch):
    """A step left out on purpose, with the reason."""

    kind: Literal["step_skipped"]
    step: str
    why: str = ""


class Found(Touch):
    """A finding at a place. ``hours`` is how long it has been so, where somebody knows.

    ``step`` is the step it was found at; empty for what belongs to none, such as a temperature:
    no step is done by it.
    """

    kind: Literal["observation"]
    step: str = Field(max_length=16)
    region: str = Field(min_length=1, max_length=20)
    finding: str = Field(min_length=1, max_length=24)
    side: Side = Side.NOT_SAID
    status: Status = Status.PRESENT
    grade: Grade | None = None
    kinds: tuple[str, ...] = ()
    value: Decimal | None = Field(default=None, ge=0, le=9999)
    unit: str | None = None
    hours: Decimal | None = Field(default=None, ge=0, le=24 * 365 * 10)
    mark: UUID | None = None

    @model_validator(mode="after")
    def _value_has_unit(self) -> "Found":
        if (self.value is None) != (self.unit is None):
            msg = "A number needs its unit: give both, or neither."
            raise ValueError(msg)
        return self


class Weighed(Touch):
    """A weight in grams, as computed from what was typed; ``doubted`` if kept after a warning."""

    kind: Literal["weight"]
    grams: Decimal
    as_typed: str = Field(default="", max_length=24)
    doubted: bool = False

    @model_validator(mode="after")
    def _is_a_weight(self) -> "Weighed":
        if self.grams <= 0:
            msg = f"A weight of {self.grams:.7g} g cannot be: nothing was weighed. Weigh again."
            raise ValueError(msg)
        if not LIGHTEST_G <= self.grams <= HEAVIEST_G:
            msg = (
                f"{self.grams:.7g} g is no guinea pig's weight ({LIGHTEST_G} to {HEAVIEST_G} g). "
                "Look at the digits and the unit, and weigh again."
            )
            raise ValueError(msg)
        return self


class Cared(Touch):
    """A small care item, and how far it got."""

    kind: Literal["care"]
    care: str
    side: Side = Side.NOT_SAID
    status: Literal["done", "partly", "not_done", "planned"] = "done"
    product: str = Field(default="", max_length=60)
    detail: str = Field(default="", max_length=200)


class Told(Touch):
    """Something that happened to the animal."""

    kind: Literal["event"]
    what: str
    on: date | None = None
    note: str = Field(default="", max_length=200)


class Marked(Touch):
    """A place on the outline of the body, 0 to 1000 both ways."""

    kind: Literal["mark"]
    view: Literal["above", "below"]
    x: int = Field(ge=0, le=1000)
    y: int = Field(ge=0, le=1000)
    size_mm: Decimal | None = Field(default=None, gt=0, le=300)
    words: str = Field(default="", max_length=120)
    observation: UUID | None = None


class Noted(Touch):
    """Free words."""

    kind: Literal["note"]
    text: str = Field(min_length=1, max_length=2000)


class Said(Touch):
    """The words a carer said or typed, as they came. They record nothing by themselves.

    ``waits`` while nobody has looked at what the tool reads in them; the findings that were
    accepted are entries of their own beside it.
    """

    kind: Literal["said"]
    text: str = Field(min_length=1, max_length=MOST_SAID)
    waits: bool = False


class Answered(Touch):
    """An answer to a question of the advice; ``answer`` counts from 0."""

    kind: Literal["answer"]
    question: str
    answer: int = Field(ge=0)


class TakenBack(Touch):
    """Undo of one earlier touch of the same check. The touch stays readable."""

    kind: Literal["take_back"]
    entry: UUID


# What the check screen itself gives as the reason where more, or something else, is said of an
# entry while the animal is on the table. It never knows of what was put right elsewhere since.
SAID_AT_TABLE = frozenset({"more said at the table", "said anew at the table"})


class Corrected(Touch):
    """A later correction of one touch, with its reason; ``data`` takes its place.

    With ``more`` nothing was wrong: more was said of it while it was being made.
    Without ``data`` the touch is struck out.
    """

    kind: Literal["correction"]
    entry: UUID
    reason: str = Field(min_length=3, max_length=500)
    more: bool = False
    data: "AnyTouch | None" = None

    @property
    def at_table(self) -> bool:
        """Whether it was said while the check was being made, rather than put right afterwards."""
        return self.more or self.reason in SAID_AT_TABLE


class PutDown(Touch):
    """The animal was put down before the end. What was not done is not checked."""

    kind: Literal["put_down"]
    why: str = Field(default="", max_length=200)


class Finished(Touch):
    """The carer is done."""

    kind: Literal["finish"]


class ClockSetRight(Touch):
    """Beside the entries of a phone whose clock was wrong: what that clock said.

    ``phone`` and ``here`` are the moment of sending by the phone's clock and by ours;
    ``made_at`` holds by the id of its entry each moment that was set right. The record
    itself writes it.
    """

    kind: Literal["clock"]
    phone: AwareDatetime | None = None
    here: AwareDatetime
    started_at: AwareDatetime | None = None
    made_at: dict[UUID, AwareDatetime] = Field(default_factory=dict)


AnyTouch = Annotated[
    HoldNormal
    | StepNormal
    | StepSkipped
    | Found
    | Weighed
    | Cared
    | Told
    | Marked
    | Noted
    | Said
    | Answered
    | TakenBack
    | Corrected
    | PutDown
    | Finished
    | ClockSetRight,
    Field(discriminator="kind"),
]
Corrected.model_rebuild()
_touch: TypeAdapter[AnyTouch] = TypeAdapter(AnyTouch)


PLAIN_WORDS = {
    "decimal_parsing": "This is no number. Type it in digits, for example 912.",
    "decimal_type": "This is no number. Type it in digits, for example 912.",
    "finite_number": "This is no number. Type it in digits, for example 912.",
    "extra_forbidden": "This is not known here, and nothing is dropped in silence.",
    "missing": "This is missing.",
    "union_tag_invalid": "No such kind of entry is known here. Load the page again.",
    "union_tag_not_found": "It does not say what kind of entry it is. Load the page again.",
    "string_too_short": "This needs a few words.",
    "string_too_long": "This is longer than can be kept in one entry. Split it.",
}


class BadTouchError(ValueError):
    """A touch that does not fit, in words for the person who made it."""


def read_touch(data: object) -> AnyTouch:
    """Read one touch; raises BadTouchError saying which field and why."""
    try:
        return _touch.validate_python(data)
    except ValidationError as refused:
        raise BadTouchError(_in_words(refused)) from None


def _in_words(refused: ValidationError) -> str:
    first = refused.errors(include_url=False)[0]
    field = ".".join(str(part) for part in first["loc"][1:])
    words = PLAIN_WORDS.get(first["type"], first["msg"].removeprefix("Value error, "))
    return f"{field}: {words}" if field else words


class MadeTouch(BaseModel):
    """A touch with its id and moment, as it is kept."""

    model_config = ConfigDict(frozen=True)

    id: UUID
    made_at: datetime
    by: int
    touch: AnyTouch
