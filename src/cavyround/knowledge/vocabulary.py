"""The codes: regions, findings, sides, grades, kinds, units, care, problems, events."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Literal

from cavyround.knowledge.conditions import Strict, Text


class Region(Strict):
    """A place of the body; ``paired``: there is a left and a right one."""

    step: str
    words: Text
    paired: bool
    sided: bool
    name: Text
    one: str = ""
    both: str = ""
    sex: Literal["sow", "boar"] | None = None

    def on_side(self, side: str, side_words: str) -> str:
        """The place in a line: ``left eye``, ``both ears``, ``behind the right ear``."""
        if side == "B":
            return self.both or f"both {self.name}s"
        if side in ("L", "R", "one"):
            word = "one" if side == "one" else side_words
            return (self.one or f"{{}} {self.name}").format(word)
        if side == "M":
            return f"middle of the {self.name}"
        return self.name


class Finding(Strict):
    """Something that can be found; ``benign``: never alarming by itself."""

    words: Text
    kinds: tuple[str, ...] = ()
    units: tuple[str, ...] = ()
    benign: bool = False
    added: bool = False
    sex: Literal["sow", "boar"] | None = None


class CareItem(Strict):
    """A small care item."""

    words: Text


class Fits(Strict):
    """The animals a problem can happen to; unknown fits."""

    sex: str | None = None
    from_months: Decimal | None = None
    below_months: Decimal | None = None
    neutered: bool | None = None


class ProblemKind(Strict):
    """Something a triage answer may name."""

    words: Text
    fits: Fits = Fits()
    isolate: bool = False
    catching_to_people: bool = False


class UrgencyWords(Strict):
    """How an urgency is said and how soon the animal is looked at again."""

    words: Text
    meaning: Text
    look_again_hours: int


class Vocabulary(Strict):
    """All codes with their words."""

    regions: Mapping[str, Region]
    findings: Mapping[str, Finding]
    sides: Mapping[str, str]
    statuses: Mapping[str, str]
    grades: Mapping[str, str]
    units: Mapping[str, str]
    kinds: Mapping[str, str]
    urgencies: Mapping[str, UrgencyWords]
    events: Mapping[str, str]
    events_of_sows: tuple[str, ...]
    care: Mapping[str, CareItem]
    care_statuses: Mapping[str, str]
    problems: Mapping[str, ProblemKind]
