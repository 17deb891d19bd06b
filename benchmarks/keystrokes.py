"""The keystroke-level model: how long a practised person needs for a known row of touches.

Card, S. K., Moran, T. P., Newell, A. (1980): The keystroke-level model for user performance time
with interactive systems. Communications of the ACM 23(7), 396-410. The time for a button (B) is
the one its authors added in The Psychology of Human-Computer Interaction (1983).

What is counted: every touch of the screen, as pointing (P) and a press with its release (K). A
thought (M) is placed by the authors' rules: before a choice that is not foreseen, once for what
is one unit of thought, and nowhere else. The thumb stays on the phone, so nothing is counted for
moving a hand (H). Looking at and feeling the animal is not counted: it is the same with any tool.
"""

from collections import Counter
from dataclasses import dataclass
from typing import Literal

Operator = Literal["P", "K", "M", "H"]

# Seconds. K is a press and release of a button, the slower end of 0.1 to 0.2 s: gloves are on.
SECONDS: dict[Operator, float] = {"P": 1.1, "K": 0.2, "M": 1.35, "H": 0.4}

# Design figures for the same check by other means, reckoned with the same model beforehand.
PAPER_S = 60
SPREADSHEET_S = 66


@dataclass(frozen=True, slots=True)
class Touch:
    """One touch of the screen: what was touched, and whether a choice had to be made first."""

    what: str
    thought: bool = False


def operators(touches: list[Touch]) -> list[Operator]:
    """The operators of a row of touches."""
    row: list[Operator] = []
    for touch in touches:
        if touch.thought:
            row.append("M")
        row += ["P", "K"]
    return row


def seconds(row: list[Operator]) -> float:
    """How long a row of operators takes."""
    return sum(SECONDS[operator] for operator in row)


def spelled(row: list[Operator]) -> str:
    """The row in short, as "8 P, 8 K, 1 M"."""
    count = Counter(row)
    return ", ".join(f"{count[operator]} {operator}" for operator in SECONDS if count[operator])
