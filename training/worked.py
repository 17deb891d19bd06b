"""Which words of a worked note carry what it says: those from which the rules read the same."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from training import codes
from training.examples import Blanket, Example, Given, Named, Place, Sign
from training.ruled import Ruled, ruled

Row = Mapping[str, Any]
WEIGHTS = frozenset({"weight", "weight_change"})
# Regions that are often meant for each other, beside those of one step.
NEAR = (
    frozenset({"rump", "anus"}),
    frozenset({"face", "nose"}),
    frozenset({"mouth", "chin"}),
    frozenset({"belly", "nipple"}),
    frozenset({"whole", "skin", "coat"}),
)


def marked_worked(note: Row) -> Example:
    """The example of a worked note; ``missed`` says how much of it was not found."""
    text = note["text"]
    names = tuple(one["animal"] for one in note["animals"])
    bare = Example(text, names)
    finder = _Finder(ruled(text, bare.pen), alone=len(names) == 1)
    for at, animal in enumerate(note["animals"]):
        finder.take(at, animal)
    return Example(
        text=text,
        animals=names,
        signs=tuple(finder.signs),
        care=tuple(finder.care),
        blankets=tuple(finder.blankets),
        named=tuple(finder.named),
        missed=finder.missed,
    )


def _near(one: str, other: str) -> bool:
    book = codes.book()
    return (
        one == other
        or book.step_of(one) == book.step_of(other)
        or any({one, other} <= both for both in NEAR)
    )


@dataclass(slots=True)
class _Finder:
    """Finds the words of one note; ``alone``: only one animal is spoken of."""

    read: Ruled
    alone: bool
    signs: list[Sign] = field(default_factory=list)
    care: list[Given] = field(default_factory=list)
    blankets: list[Blanket] = field(default_factory=list)
    named: list[Named] = field(default_factory=list)
    missed: int = 0

    def take(self, animal: int, told: Row) -> None:
        """All that is said of one animal."""
        self._take_names(animal, told["animal"])
        taken: set[int] = set()
        for row in told["findings"]:
            at = self._word_of_finding(told["animal"], row, taken)
            if at is None:
                self.missed += not row.get("optional")
            else:
                taken.add(at)
                self.signs.append(_sign(animal, self.read.places[at], row))
        for row in told["care"]:
            at = self._word_of_care(row)
            if at is None:
                self.missed += 1
            else:
                place = self.read.places[at]
                self.care.append(Given(animal, place, row["care"], row["side"], row["status"]))
        if told["blanket"] == "yes":
            self._take_blanket(animal)

    def _take_names(self, animal: int, called: str) -> None:
        for name, words in self.read.named:
            if called.lower() == name.lower() or called.lower().startswith(f"{name.lower()} ("):
                start = self.read.places[words.start][0]
                end = self.read.places[words.stop - 1][1]
                self.named.append(Named((start, end), animal))

    def _take_blanket(self, animal: int) -> None:
        at = next(iter(self._with("blanket")), None)
        if at is None:
            self.missed += 1
        else:
            self.blankets.append(Blanket(animal, self.read.places[at]))

    def _with(self, *hints: str) -> list[int]:
        """The words that have one of the hints."""
        return [at for at, each in enumerate(self.read.hints) if not set(hints).isdisjoint(each)]

    def _word_of_finding(self, name: str, row: Row, taken: set[int]) -> int | None:
        finding, region = row["finding"], row["region"]
        filed = [
            at
            for at in self._with(f"f:{finding}")
            if self._is_at(at, region) and self._of(at, name)
        ]
        on_side = [at for at in filed if f"f/{row['side']}" in self.read.hints[at]]
        found = self._best(finding, region, on_side or filed)
        if found is None and finding in WEIGHTS:
            found = self._number(abs(float(row["value_g"])), taken)
        if found is None:
            listed = [
                at
                for at in self._with(f"sign:{finding}")
                if self.read.begins(at) and at not in taken
            ]
            found = listed[0] if len(listed) == 1 else None
        return found

    def _is_at(self, at: int, region: str) -> bool:
        return any(one.startswith("f@") and _near(one[2:], region) for one in self.read.hints[at])

    def _of(self, at: int, name: str) -> bool:
        return self.alone or name in self.read.by_rules[at] or name.startswith("unnamed")

    def _best(self, finding: str, region: str, words: Sequence[int]) -> int | None:
        """Of the words the rules filed it from, the one that carries it."""
        hints = self.read.hints
        if finding == "normal":
            here = {f"place:{region}", f"places:{region}"}
            likely = [at for at in words if not here.isdisjoint(hints[at])]
            likely += [at for at in words if _some(hints[at], "place")]
        else:
            likely = [at for at in words if f"sign:{finding}" in hints[at] and self.read.begins(at)]
        likely += [at for at in words if _some(hints[at], "sign:", "num:")]
        return likely[0] if likely else None

    def _number(self, grams: float, taken: set[int]) -> int | None:
        return next(
            (
                at
                for at, value in self.read.numbers
                if abs(float(value) - grams) < 1 and at not in taken
            ),
            None,
        )

    def _word_of_care(self, row: Row) -> int | None:
        care = row["care"]
        meant = {f"care:{care}", f"verb:{care}"}
        filed = [at for at in self._with(f"k:{care}") if self.read.begins(at)]
        filed = [at for at in filed if f"k={row['status']}" in self.read.hints[at]] or filed
        if filed:
            said = (at for at in filed if not meant.isdisjoint(self.read.hints[at]))
            return next(said, filed[0])
        listed = [at for at in self._with(*meant) if self.read.begins(at)]
        return listed[0] if len(listed) == 1 else None


def _some(hints: Iterable[str], *beginnings: str) -> bool:
    return any(one.startswith(beginnings) for one in hints)


def _sign(animal: int, place: Place, row: Row) -> Sign:
    kind = row.get("kind")
    change = codes.NO_SIGN
    if row["finding"] == "weight_change" and str(row.get("value_g", "")).startswith("-"):
        change = codes.LOSS
    return Sign(
        animal=animal,
        place=place,
        region=row["region"],
        side=row["side"],
        finding=row["finding"],
        status=row["status"][0],
        grade=row.get("grade") or "",
        kind=kind if isinstance(kind, str) else "",
        change=change,
        optional=bool(row.get("optional")),
    )
