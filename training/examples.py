"""A text with what it says, each part tied to its place in the text."""

from collections.abc import Callable
from dataclasses import dataclass, replace

# A stretch of the text: ``text[start:end]``.
Place = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Sign:
    """A finding; ``animal`` is the place among the example's animals, the rest are codes.

    ``change``: for a change of weight whether a loss or a gain was marked; ``optional``: readers
    may differ on it, so it teaches nothing.
    """

    animal: int
    place: Place
    region: str
    side: str
    finding: str
    status: str
    grade: str = ""
    kind: str = ""
    change: int = 0
    optional: bool = False


@dataclass(frozen=True, slots=True)
class Given:
    """A care item and how it stands."""

    animal: int
    place: Place
    care: str
    side: str
    status: str


@dataclass(frozen=True, slots=True)
class Blanket:
    """A word that calls all the rest fine."""

    animal: int
    place: Place


@dataclass(frozen=True, slots=True)
class Skipped:
    """A step that was said to be not looked at."""

    animal: int
    place: Place
    step: str


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Words that sound like a finding or care and are none, and why."""

    place: Place
    kind: str


@dataclass(frozen=True, slots=True, order=True)
class Named:
    """Words that name an animal."""

    place: Place
    animal: int


@dataclass(frozen=True, slots=True)
class Example:
    """A text, its animals, and all that is marked in it.

    ``missed``: how many things the note says whose words were not found.
    """

    text: str
    animals: tuple[str, ...]
    signs: tuple[Sign, ...] = ()
    care: tuple[Given, ...] = ()
    blankets: tuple[Blanket, ...] = ()
    skipped: tuple[Skipped, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    named: tuple[Named, ...] = ()
    missed: int = 0

    @property
    def pen(self) -> tuple[str, ...]:
        """The names a pen's list would have: those of animals that have one."""
        nameless = ("unnamed", "group", "pup")
        return tuple(name for name in self.animals if name and not name.startswith(nameless))

    def with_places(self, text: str, place: Callable[[Place], Place]) -> "Example":
        """The same marks in another text, each at the place that ``place`` gives for the old."""
        return replace(
            self,
            text=text,
            signs=tuple(replace(one, place=place(one.place)) for one in self.signs),
            care=tuple(replace(one, place=place(one.place)) for one in self.care),
            blankets=tuple(replace(one, place=place(one.place)) for one in self.blankets),
            skipped=tuple(replace(one, place=place(one.place)) for one in self.skipped),
            left_out=tuple(replace(one, place=place(one.place)) for one in self.left_out),
            named=tuple(replace(one, place=place(one.place)) for one in self.named),
        )

    def with_animals_from(self, first: int) -> "Example":
        """The same marks, the animals counted from ``first`` on."""
        return replace(
            self,
            signs=tuple(replace(one, animal=one.animal + first) for one in self.signs),
            care=tuple(replace(one, animal=one.animal + first) for one in self.care),
            blankets=tuple(replace(one, animal=one.animal + first) for one in self.blankets),
            skipped=tuple(replace(one, animal=one.animal + first) for one in self.skipped),
            named=tuple(replace(one, animal=one.animal + first) for one in self.named),
        )
