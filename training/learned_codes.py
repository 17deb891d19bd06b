"""What the columns and rows of the network stand for."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from training import codes

# A hint seen less often teaches nothing.
LEAST_SEEN, LEAST_SEEN_LATER = 4, 3
Hints = Sequence[Sequence[str]]


@dataclass(frozen=True)
class LearnedCodes:
    """The codes in the order in which they were learned."""

    hints: tuple[str, ...]
    findings: tuple[str, ...]
    regions: tuple[str, ...]
    steps: tuple[str, ...]
    care: tuple[str, ...]

    @cached_property
    def hint_rows(self) -> dict[str, int]:
        """The row of each hint; row nought is no hint."""
        return {hint: row for row, hint in enumerate(self.hints, 1)}

    @cached_property
    def heads(self) -> dict[str, tuple[int, int]]:
        """Each kind of answer: its first column and how many it has.

        ``F`` finding, ``R`` region, ``stat`` status, ``vs`` loss or gain, ``K`` care with ``kst``
        its status and ``kside`` its side, ``B`` blanket word, ``S`` step skipped, ``X`` why left
        out, ``M`` begins, goes on with or is outside a name, ``U`` belongs to a finding or care.
        """
        widths = {
            "F": len(self.findings),
            "R": len(self.regions),
            "side": len(codes.SIDES),
            "stat": len(codes.STATUSES),
            "grade": len(codes.GRADES),
            "kind": len(codes.KINDS),
            "vs": len(codes.CHANGES),
            "K": len(self.care),
            "kst": len(codes.CARE_STATUSES),
            "kside": len(codes.SIDES),
            "B": 1,
            "S": len(self.steps),
            "X": len(codes.LEFT_OUT),
            "M": 3,
            "U": 1,
        }
        heads, begin = {}, 0
        for name, width in widths.items():
            heads[name] = (begin, width)
            begin += width
        return heads

    @property
    def columns(self) -> int:
        """How many columns all answers have."""
        return sum(width for _, width in self.heads.values())

    def named(self) -> dict[str, tuple[str, ...]]:
        """What the columns of each answer that names something are."""
        return {
            "F": self.findings,
            "R": self.regions,
            "S": self.steps,
            "K": self.care,
            "side": codes.SIDES,
            "stat": codes.STATUSES,
            "grade": codes.GRADES,
            "kind": codes.KINDS,
            "vs": codes.CHANGES,
            "kst": codes.CARE_STATUSES,
            "kside": codes.SIDES,
            "X": codes.LEFT_OUT,
        }

    def with_hints_of(self, texts: Iterable[Hints]) -> "LearnedCodes":
        """With the hints of further texts at the end."""
        seen = _seen(texts)
        new = [one for one, times in seen.items() if times >= LEAST_SEEN_LATER]
        return replace(
            self, hints=self.hints + tuple(one for one in new if one not in self.hint_rows)
        )

    def as_saved(self) -> dict[str, list[str]]:
        """As it is kept beside the numbers of a model."""
        return {
            "hints": list(self.hints),
            "F": list(self.findings),
            "R": list(self.regions),
            "S": list(self.steps),
            "K": list(self.care),
        }


def codes_of(texts: Iterable[Hints]) -> LearnedCodes:
    """The codes of the vocabulary and the hints of these texts."""
    return LearnedCodes(
        hints=tuple(one for one, times in _seen(texts).items() if times >= LEAST_SEEN),
        findings=codes.findings(),
        regions=codes.regions(),
        steps=codes.steps(),
        care=codes.care(),
    )


def codes_as_saved(saved: Mapping[str, Any]) -> LearnedCodes:
    """The codes of a model that was kept."""
    return LearnedCodes(
        hints=tuple(saved["hints"]),
        findings=tuple(saved["F"]),
        regions=tuple(saved["R"]),
        steps=tuple(saved["S"]),
        care=tuple(saved["K"]),
    )


def _seen(texts: Iterable[Hints]) -> Counter[str]:
    return Counter(hint for words in texts for hints in words for hint in hints)
