"""Living together and breeding: floor, sharing, introductions, birth, the order of the round."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Literal, TypeVar

from pydantic import Field, model_validator

from cavyround.knowledge.conditions import Strict, Text
from cavyround.knowledge.facts_of_trade import Threshold

Sources = tuple[str, ...]
T = TypeVar("T", "SharingRule", "BreedingCare", "AloneReason", "BirthSign")


class FloorRow(Strict):
    """A published least floor for so many animals, in cm²; those that decide, and others beside."""

    animals: int = Field(ge=1)
    area_cm2: Decimal = Field(gt=0)
    decides: bool = False
    words: Text
    sources: Sources = Field(min_length=1)
    note: str = ""


class SharingRule(Strict):
    """A rule of who may share a pen; a hard one is never broken by a plan."""

    id: Text
    hard: bool
    words: Text
    frees: Text
    sources: Sources = Field(min_length=1)


class AloneReason(Strict):
    """Why an animal lives alone, what that means for its company, and what is done."""

    id: Text
    company: Literal["needed", "later", "none"]
    words: Text
    do: Text
    sources: Sources = Field(min_length=1)


class IntroductionDay(Strict):
    """What is done so many days after two animals were put together."""

    day: int = Field(ge=0)
    weigh: bool
    words: Text
    sources: Sources = Field(min_length=1)


class BirthSign(Strict):
    """A sign before, at or after birth, and how urgent it is.

    ``button`` is what is tapped where a labour is timed; empty: it is not tapped there.
    """

    id: Text
    when: Literal["before", "birth", "after", "both"]
    words: Text
    urgency: Literal["normal", "emergency"]
    sources: Sources = Field(min_length=1)
    button: str = ""


class BreedingCare(Strict):
    """What is done about an expectant sow, a litter, or sexes that must be parted."""

    id: Text
    words: Text
    sources: Sources = Field(min_length=1)


class RoundGroup(Strict):
    """A group of the round: why it comes where it comes, and what is done before going on to it."""

    group: Text
    words: Text
    why: Text
    before: Text
    sources: Sources = Field(min_length=1)


class Living(Strict):
    """All of it, in the order of the file."""

    floor: tuple[FloorRow, ...]
    floor_each_more: Threshold
    sharing: tuple[SharingRule, ...]
    alone_reasons: tuple[AloneReason, ...]
    introduction: tuple[IntroductionDay, ...]
    birth_signs: tuple[BirthSign, ...]
    round: tuple[RoundGroup, ...]
    breeding_care: tuple[BreedingCare, ...]

    @model_validator(mode="after")
    def _fits_together(self) -> "Living":
        deciding = [row for row in self.floor if row.decides]
        steps = [(row.animals, row.area_cm2) for row in deciding]
        if not steps or steps != sorted(set(steps)):
            msg = "floor: the rows that decide must go upwards, each number of animals once"
            raise ValueError(msg)
        for what, ids in (
            ("sharing", [rule.id for rule in self.sharing]),
            ("alone_reasons", [reason.id for reason in self.alone_reasons]),
            ("birth_signs", [sign.id for sign in self.birth_signs]),
            ("round", [group.group for group in self.round]),
            ("breeding_care", [care.id for care in self.breeding_care]),
            ("introduction", [str(day.day) for day in self.introduction]),
        ):
            if len(set(ids)) != len(ids):
                msg = f"{what}: an id is used once"
                raise ValueError(msg)
        return self

    def rule(self, rule_id: str) -> SharingRule:
        """The rule of an id; KeyError for an unknown one."""
        return _by_id(self.sharing, rule_id)

    def birth_sign(self, sign_id: str) -> BirthSign:
        """The sign of an id; KeyError for an unknown one."""
        return _by_id(self.birth_signs, sign_id)

    def alone_reason(self, reason_id: str) -> AloneReason:
        """Why an animal lives alone, by id; KeyError for an unknown one."""
        return _by_id(self.alone_reasons, reason_id)

    def care(self, care_id: str) -> BreedingCare:
        """What is done, by id; KeyError for an unknown one."""
        return _by_id(self.breeding_care, care_id)

    def floor_for(self, animals: int) -> Decimal:
        """The least floor in cm² for so many animals in one pen."""
        if animals <= 0:
            return Decimal(0)
        deciding = [row for row in self.floor if row.decides]
        for row in deciding:
            if animals <= row.animals:
                return row.area_cm2
        more = self.floor_each_more.value
        each = more if isinstance(more, Decimal) else more.high
        return deciding[-1].area_cm2 + each * (animals - deciding[-1].animals)

    def most_on(self, area_cm2: int) -> int:
        """How many animals a floor of so many cm² has room for; 0 where even one has too little."""
        count = 0
        while self.floor_for(count + 1) <= area_cm2:
            count += 1
        return count

    @property
    def named_sources(self) -> tuple[tuple[str, Sources], ...]:
        """Every entry with the sources it names."""
        return (
            *((f"floor {row.words}", row.sources) for row in self.floor),
            ("floor_each_more", self.floor_each_more.sources),
            *((f"sharing {rule.id}", rule.sources) for rule in self.sharing),
            *((f"alone because {reason.id}", reason.sources) for reason in self.alone_reasons),
            *((f"introduction day {day.day}", day.sources) for day in self.introduction),
            *((f"birth sign {sign.id}", sign.sources) for sign in self.birth_signs),
            *((f"round {group.group}", group.sources) for group in self.round),
            *((f"breeding care {care.id}", care.sources) for care in self.breeding_care),
        )


def _by_id(entries: Iterable[T], wanted: str) -> T:
    for entry in entries:
        if entry.id == wanted:
            return entry
    raise KeyError(wanted)
