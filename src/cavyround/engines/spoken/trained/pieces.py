"""Cut a word into the pieces the network knows (WordPiece: the longest piece first)."""

import re
import unicodedata
from collections.abc import Mapping

# Wu et al., "Google's neural machine translation system", 2016, section 4.1: greedy, longest first.
LONGEST_WORD = 60
MOST_PIECES = 24
PARTS = re.compile(r"[^\W_]+|[^\w\s]|_")
CURLY = "\N{RIGHT SINGLE QUOTATION MARK}"
UNKNOWN = "[UNK]"
BEGIN, END = "[CLS]", "[SEP]"


def pieces_of(word: str, known: Mapping[str, int]) -> list[int]:
    """The numbers of the pieces of a word; never empty."""
    found: list[int] = []
    for part in PARTS.findall(_plain(word)):
        found += _pieces(part, known)
    return found[:MOST_PIECES] or [known[UNKNOWN]]


def _plain(word: str) -> str:
    """Lower case without accents, the curly apostrophe as a straight one."""
    apart = unicodedata.normalize("NFD", word.lower().replace(CURLY, "'"))
    return "".join(sign for sign in apart if unicodedata.category(sign) != "Mn")


def _pieces(part: str, known: Mapping[str, int]) -> list[int]:
    if len(part) > LONGEST_WORD:
        return [known[UNKNOWN]]
    found: list[int] = []
    start = 0
    while start < len(part):
        lead = "##" if start else ""
        end = next(
            (end for end in range(len(part), start, -1) if lead + part[start:end] in known), start
        )
        if end == start:
            return [known[UNKNOWN]]
        found.append(known[lead + part[start:end]])
        start = end
    return found
