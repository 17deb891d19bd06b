"""What one place in the text says: which animal, which day, what weight; or why it says nothing."""

from dataclasses import dataclass

from cavyround.web.weighing.notebook.amounts import Amount
from cavyround.web.weighing.notebook.days import Day


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """One weight as it was written.

    ``line`` counts from 1; ``text`` is the part of the line this was read from. With ``why``
    nothing else was understood. ``empty`` marks a row that is no weighing and needs no mending.
    """

    line: int
    text: str
    who: str = ""
    day: Day | None = None
    amount: Amount | None = None
    why: str = ""
    empty: str = ""


@dataclass(frozen=True, slots=True)
class Notes:
    """All that was read from a text, in its order; ``unused`` names columns nobody asked for."""

    written: tuple[Written, ...]
    unused: tuple[str, ...] = ()
