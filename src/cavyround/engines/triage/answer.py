"""What triage answers: plain frozen values that a page can show and a record can keep."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from cavyround.knowledge.urgency import Urgency


@dataclass(frozen=True, slots=True, kw_only=True)
class Because:
    """Why: the findings or facts in words, the rule that fired, and its sources."""

    rule: str
    says: str
    rests_on: tuple[str, ...]
    sources: tuple[str, ...]
    urgency: Urgency
    raised: str = ""
    overridden_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Something the findings point to; never a diagnosis."""

    code: str
    words: str
    urgency: Urgency
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of advice with the rules it rests on."""

    words: str
    urgency: Urgency
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A question whose answer would change the urgency; ``outcomes`` go with ``answers``."""

    id: str
    asks: str
    answers: tuple[str, ...]
    outcomes: tuple[Urgency, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LookAgain:
    """Look again at something within a time."""

    region: str
    finding: str
    side: str
    words: str
    within: timedelta
    until_gone: bool
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The whole answer for one animal at one moment.

    ``urgency`` is the highest of all that fired. ``within`` is the longest time
    until the animal is looked at again. ``isolate`` and ``catching`` hold the
    reasons; empty means no. ``softened`` names findings a standing mark explains.
    """

    animal: str
    at: datetime
    urgency: Urgency
    problems: tuple[Problem, ...] = ()
    because: tuple[Because, ...] = ()
    do_now: tuple[Line, ...] = ()
    do_not: tuple[Line, ...] = ()
    tell_vet: tuple[str, ...] = ()
    isolate: tuple[str, ...] = ()
    catching: tuple[str, ...] = ()
    look_again: tuple[LookAgain, ...] = ()
    within: timedelta = timedelta(days=7)
    questions: tuple[Question, ...] = ()
    softened: tuple[str, ...] = ()
    notices: tuple[str, ...] = ()
    knowledge_version: str = ""
