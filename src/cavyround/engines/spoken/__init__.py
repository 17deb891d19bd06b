"""Spoken notes: words to findings, each with the words it came from."""

from cavyround.engines.spoken.gold import as_gold
from cavyround.engines.spoken.reading import read_note, red_flags
from cavyround.engines.spoken.recordings import words_of_recording
from cavyround.engines.spoken.result import (
    Ask,
    ReadAnimal,
    ReadNote,
    RedFlag,
    SaidCare,
    SaidFinding,
    SaidWord,
)
from cavyround.engines.spoken.tokens import Span

__all__ = [
    "Ask",
    "ReadAnimal",
    "ReadNote",
    "RedFlag",
    "SaidCare",
    "SaidFinding",
    "SaidWord",
    "Span",
    "as_gold",
    "read_note",
    "red_flags",
    "words_of_recording",
]
