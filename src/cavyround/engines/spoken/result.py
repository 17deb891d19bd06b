"""What a spoken note was read as: plain frozen values that a page can show."""

from dataclasses import dataclass
from decimal import Decimal

from cavyround.engines.spoken.tokens import Span
from cavyround.facts.observation import Grade, Side, Status

Spans = tuple[Span, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidFinding:
    """A finding, and the words it came from.

    ``value`` is text only for pounds and ounces (``2lb3oz``); ``unit`` is None where none was
    said and is never guessed. ``grams`` is the value of a weight or a change of weight in grams.
    ``sure`` is False where the page should ask for one more look, with the reason.
    """

    region: str
    finding: str
    side: Side = Side.NOT_SAID
    status: Status = Status.PRESENT
    grade: Grade | None = None
    kinds: frozenset[str] = frozenset()
    value: Decimal | str | None = None
    unit: str | None = None
    grams: Decimal | None = None
    step: str = ""
    spans: Spans = ()
    why_unsure: str = ""

    @property
    def sure(self) -> bool:
        """Whether the words left no doubt about what was meant."""
        return not self.why_unsure


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidCare:
    """A care item: done, partly, not done or planned; ``why_unsure`` as of a finding."""

    care: str
    side: Side = Side.NOT_SAID
    status: str = "done"
    product: str = ""
    value: Decimal | None = None
    unit: str | None = None
    spans: Spans = ()
    why_unsure: str = ""

    @property
    def sure(self) -> bool:
        """Whether the words left no doubt about what was meant."""
        return not self.why_unsure


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """What must be asked: the question in plain words, and the words that raise it."""

    kind: str
    words: str
    spans: Spans = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RedFlag:
    """An emergency sign said of an animal, with the rule it fires."""

    animal: str
    region: str
    finding: str
    says: str
    rule: str
    spans: Spans = ()
    uncertain: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidWord:
    """One word of the text: used, or left out and why (a kind of the vocabulary, or nothing)."""

    span: Span
    used: bool
    left_out: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadAnimal:
    """What was said of one animal. A blanket word is no look at any step."""

    name: str
    findings: tuple[SaidFinding, ...] = ()
    care: tuple[SaidCare, ...] = ()
    blanket: bool = False
    blanket_spans: Spans = ()
    steps_named: tuple[str, ...] = ()
    steps_blanket: tuple[str, ...] = ()
    steps_skipped: tuple[str, ...] = ()
    steps_not_covered: tuple[str, ...] = ()
    asks: tuple[Ask, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadNote:
    """A whole note: each animal, and every word as used or left out."""

    animals: tuple[ReadAnimal, ...] = ()
    words: tuple[SaidWord, ...] = ()
    red_flags: tuple[RedFlag, ...] = ()
    heard_as: tuple[tuple[Span, str], ...] = ()

    def of(self, name: str) -> ReadAnimal | None:
        """What was said of the animal of a name."""
        return next((one for one in self.animals if one.name.lower() == name.lower()), None)
