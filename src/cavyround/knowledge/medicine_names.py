"""Names of medicines, folded so that spelling does not hide what is meant."""

import re
import unicodedata
from functools import lru_cache

# Spellings that go by ear: cephalexin and cefalexin, -mycin and -micin.
BY_EAR = (("ph", "f"), ("th", "t"), ("y", "i"))
AT_THE_START = "^"


@lru_cache(maxsize=4096)
def folded(name: str) -> str:
    """The name as it is compared: words of plain small letters and figures.

    Case, accents, doubled letters and what goes by ear count for nothing, so that
    "Amoxycilin" is known for what it is.
    """
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    for heard, written in BY_EAR:
        plain = plain.replace(heard, written)
    single = re.sub(r"([a-z])\1+", r"\1", plain)
    return " ".join(re.findall(r"[a-z0-9]+", single))


def same_name(one: str, other: str) -> bool:
    """Whether two names are the same once folded; two empty ones are not."""
    return bool(folded(one)) and folded(one) == folded(other)


def holds_part(name: str, part: str) -> bool:
    """Whether a folded name holds a part of a name; ``^cef`` only where a word begins."""
    if part.startswith(AT_THE_START):
        return f" {folded(part)}" in f" {name}"
    return folded(part) in name


def holds_word(name: str, word: str) -> bool:
    """Whether a folded name holds whole words."""
    return f" {folded(word)} " in f" {name} "
