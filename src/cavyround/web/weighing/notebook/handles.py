"""Which animal a text means: by name, microchip or id. Between two it is never guessed."""

import re
import unicodedata
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from difflib import get_close_matches
from functools import cached_property

CLOSE = 0.75
CLOSE_SHOWN = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """An animal as it can be named; ``words`` tell it from others of its name."""

    id: str
    name: str
    microchip: str = ""
    came: date | None = None
    left: date | None = None
    words: str = ""

    def was_here(self, on: date | None) -> bool:
        """Whether it lived here on a day, as far as is known."""
        if on is None:
            return self.left is None
        return (self.came is None or self.came <= on) and (self.left is None or on <= self.left)


@dataclass(frozen=True, slots=True)
class Meant:
    """The animals a text may mean; ``sure`` is False where the name is only like theirs."""

    animals: tuple[Known, ...]
    sure: bool = True


class Handles:
    """All names, microchips and ids, to be found at the beginning of a text or as a whole."""

    def __init__(self, animals: Iterable[Known]) -> None:
        """Keep each animal under everything it may be written as."""
        self._by_handle: dict[str, list[Known]] = defaultdict(list)
        for animal in animals:
            for handle in {animal.name, animal.microchip, animal.id} - {""}:
                self._by_handle[plain(handle)].append(animal)

    @cached_property
    def _pattern(self) -> re.Pattern[str]:
        longest_first = sorted(self._by_handle, key=len, reverse=True)
        either = "|".join(r"\s+".join(map(re.escape, one.split())) for one in longest_first)
        return re.compile(f"(?:{either or '(?!)'})(?![\\w-])")

    def at_beginning(self, text: str) -> list[int]:
        """How far each handle reaches that the text begins with, the longest first."""
        ends = []
        searched = folded(text)
        found = self._pattern.match(searched)
        while found:
            ends.append(found.end())
            # A shorter name may be meant: "Pup 3 412" beside a Pup and a Pup 3.
            shorter = searched[: found.end()].rsplit(maxsplit=1)
            found = self._pattern.match(shorter[0]) if len(shorter) > 1 else None
        return ends

    def meant_by(self, who: str, on: date | None) -> Meant:
        """The animals a text may mean on a day: those that were here then, if any was."""
        named = self._by_handle.get(plain(who), [])
        if named:
            here = [one for one in named if one.was_here(on)]
            return Meant(tuple(here or named))
        return Meant(self._close_to(plain(who), on), sure=False)

    def _close_to(self, who: str, on: date | None) -> tuple[Known, ...]:
        digits = re.sub(r"\D", "", who)
        names = {
            plain(one.name): None
            for several in self._by_handle.values()
            for one in several
            if one.was_here(on) and re.sub(r"\D", "", one.name) == digits
        }
        near = get_close_matches(who, list(names), n=CLOSE_SHOWN, cutoff=CLOSE)
        return tuple(one for name in near for one in self._by_handle[name] if one.was_here(on))


def folded(text: str) -> str:
    """A text of the same length without capitals, for comparing."""
    return "".join(sign.lower() if len(sign.lower()) == 1 else sign for sign in text)


def plain(text: str) -> str:
    """A handle without capitals and with single spaces."""
    return folded(" ".join(unicodedata.normalize("NFC", text).split()))
