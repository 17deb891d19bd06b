"""Names of medicines, folded so that spelling does not hide what is meant."""

import re
import unicodedata
from collections.abc import Iterable
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


def finding(words: Iterable[str], parts: Iterable[str]) -> str:
    """A pattern that finds whole words, or parts of words, in a folded name.

    A part ``^cef`` is found only where a word begins. Search with :func:`is_found`.
    """
    found = [f" {re.escape(folded(word))} " for word in words]
    for part in parts:
        begins = " " if part.startswith(AT_THE_START) else ""
        found.append(f"{begins}{re.escape(folded(part))}")
    return "|".join(found)


def is_found(pattern: re.Pattern[str], name: str) -> bool:
    """Whether the pattern finds anything in a folded name."""
    return pattern.search(f" {name} ") is not None
