"""A file of a house for the pen plan: animals, pens, bonds, quarrels and rules, read strictly."""

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationError,
    model_validator,
)

from cavyround.engines.housing import House
from cavyround.facts.animal import Born, Known, Sex
from cavyround.facts.breeding import Breeder, Sure
from cavyround.facts.housing import Bonded, Health, Lodger, Quarrel, Ties
from cavyround.facts.places import PenFacts, PenKind
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.living import FloorRow, Living
from cavyround.knowledge.reading import KnowledgeFaultError, read_yaml

# The benchmarks plan 200 animals into 100 pens; somewhat more is let through. Far beyond, nobody
# would wait for the answer: with thousands it has not come in minutes.
MOST_ANIMALS, MOST_PENS = 300, 200


class BadHouseError(ValueError):
    """A file that cannot be read, with every fault and where it stands."""


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


Day = Annotated[date, BeforeValidator(lambda given: date.fromisoformat(str(given)))]


class _Animal(_Strict):
    id: str = Field(min_length=1)
    name: str = ""
    sex: Literal["sow", "boar", "unknown"] = "unknown"
    sure: Literal["sure", "two_people", "likely", "told", "unknown"] = "unknown"
    neutered: Literal["yes", "no", "possible", "unknown"] = "unknown"
    castrated_on: Day | None = None
    born: Day | None = None
    born_earliest: Day | None = None
    born_latest: Day | None = None
    arrived_on: Day | None = None
    grams: Decimal | None = Field(default=None, gt=0)
    pen: str = ""
    health: Literal["well", "quarantine", "watched", "sick", "isolated"] = "well"
    cohort: str = ""
    infections: tuple[str, ...] = ()
    expecting_until: Day | None = None
    dam: str = ""
    sucks_from: str = ""
    alone_because: str = ""
    keeps_alone: bool = False


class _Pen(_Strict):
    id: str = Field(min_length=1)
    name: str = ""
    room: str = ""
    kind: Literal["nursery", "residents", "foster", "quarantine", "sick_bay", "isolation"]
    area_cm2: int | None = Field(default=None, gt=0)


class _Quarrel(_Strict):
    between: tuple[str, str]
    on: Day
    blood: bool = False
    never: bool = False
    words: str = ""


class _FloorLine(_Strict):
    animals: int = Field(ge=1)
    area_cm2: Decimal = Field(gt=0)


class _Rules(_Strict):
    floor: tuple[_FloorLine, ...] = ()
    source: str = ""

    @model_validator(mode="after")
    def _names_its_source(self) -> "_Rules":
        if self.floor and not self.source.strip():
            msg = "a floor of your own needs its source: who says so, or which rule"
            raise ValueError(msg)
        return self


class _File(_Strict):
    today: Day
    animals: tuple[_Animal, ...] = Field(min_length=1)
    pens: tuple[_Pen, ...] = Field(min_length=1)
    bonded: tuple[tuple[str, str], ...] = ()
    quarrels: tuple[_Quarrel, ...] = ()
    rules: _Rules = _Rules()


def read_house(path: Path, book: Knowledge) -> House:
    """The house of a file.

    Raises:
        BadHouseError: with every fault that was found, each with its place in the file.
    """
    try:
        told = _File.model_validate(read_yaml(path))
    except KnowledgeFaultError as fault:
        raise BadHouseError(str(fault)) from None
    except ValidationError as faults:
        raise BadHouseError("\n".join(_lines(path.name, faults))) from None
    if wrong := _too_many(told) or _contradictions(told):
        raise BadHouseError("\n".join(f"{path.name}: {line}" for line in wrong))
    ties = Ties(
        bonds=tuple(Bonded(one=one, other=other) for one, other in told.bonded),
        quarrels=tuple(_quarrel(one) for one in told.quarrels),
    )
    return House(
        tuple(_lodger(one) for one in told.animals),
        tuple(_pen(one) for one in told.pens),
        ties,
        told.today,
        _with_floor(book, told.rules),
    )


def _lines(name: str, faults: ValidationError) -> list[str]:
    lines = []
    for fault in faults.errors():
        where = ".".join(str(part) for part in fault["loc"])
        words = {"extra_forbidden": "unknown key", "missing": "is missing"}.get(
            fault["type"], fault["msg"].removeprefix("Value error, ")
        )
        lines.append(f"{name}: {where}: {words}")
    return lines


def _too_many(told: _File) -> list[str]:
    animals, pens = len(told.animals), len(told.pens)
    if animals <= MOST_ANIMALS and pens <= MOST_PENS:
        return []
    return [
        f"{animals} animals and {pens} pens: this is made for a house of up to {MOST_ANIMALS} "
        f"animals and {MOST_PENS} pens; plan each house or barn by itself"
    ]


def _contradictions(told: _File) -> list[str]:
    animals, pens = [one.id for one in told.animals], [one.id for one in told.pens]
    wrong = [
        f"animal {one} stands there twice" for one in sorted(set(animals)) if animals.count(one) > 1
    ]
    wrong += [f"pen {one} stands there twice" for one in sorted(set(pens)) if pens.count(one) > 1]
    for one in told.animals:
        if one.pen and one.pen not in pens:
            wrong.append(f"animal {one.id}: there is no pen {one.pen!r}")
        if one.born and (one.born_earliest or one.born_latest):
            wrong.append(f"animal {one.id}: give `born`, or the earliest and latest, not both")
        first, last = one.born or one.born_earliest, one.born or one.born_latest
        if first and last and last < first:
            wrong.append(f"animal {one.id}: born_latest lies before born_earliest")
        if first and first > told.today:
            wrong.append(f"animal {one.id}: born after `today`")
        if one.infections and one.health != "isolated":
            wrong.append(f"animal {one.id}: with infections its health is `isolated`")
        if one.sucks_from and one.sucks_from not in animals:
            wrong.append(f"animal {one.id}: its mother {one.sucks_from!r} is not among the animals")
    for pair in (*told.bonded, *(one.between for one in told.quarrels)):
        if pair[0] == pair[1]:
            wrong.append(f"{pair[0]} is named with itself")
        wrong += [
            f"{one!r} is named in a pair and is no animal" for one in pair if one not in animals
        ]
    return wrong


def _lodger(one: _Animal) -> Lodger:
    breeder = Breeder(
        id=one.id,
        name=one.name,
        sex=Sex(one.sex),
        sure=Sure(one.sure),
        neutered=Known(one.neutered),
        castrated_on=one.castrated_on,
        born=Born(earliest=one.born or one.born_earliest, latest=one.born or one.born_latest),
        first_seen_on=one.arrived_on,
    )
    return Lodger(
        breeder=breeder,
        pen=one.pen,
        grams=one.grams,
        health=Health(one.health),
        cohort=one.cohort,
        infections=frozenset(one.infections),
        expecting_until=one.expecting_until,
        dam=one.dam or one.sucks_from,
        sucks_from=one.sucks_from,
        alone_because=one.alone_because,
        keeps_alone=one.keeps_alone,
    )


def _pen(one: _Pen) -> PenFacts:
    return PenFacts(
        id=one.id,
        name=one.name or one.id,
        room=one.room,
        kind=PenKind(one.kind),
        area_cm2=one.area_cm2,
    )


def _quarrel(one: _Quarrel) -> Quarrel:
    first, second = one.between
    return Quarrel(
        one=first, other=second, on=one.on, blood=one.blood, never=one.never, words=one.words
    )


def floors_below(house: House, published: Knowledge) -> list[str]:
    """Where the file's own least floor lies below the published one: both figures, in words."""
    rows = (*house.book.living.floor, *published.living.floor)
    most = max(row.animals for row in rows if row.decides)
    found = []
    for heads in range(1, most + 1):
        own, least = house.book.living.floor_for(heads), published.living.floor_for(heads)
        if own < least:
            found.append(
                f"The floor of this file for {heads} is {own:.0f} cm²; published is at least "
                f"{least:.0f} cm²."
            )
    return found


def _with_floor(book: Knowledge, rules: _Rules) -> Knowledge:
    """The knowledge with the file's own least floors, which name their source."""
    if not rules.floor:
        return book
    source = f"the file's own rule: {rules.source.strip()}"
    rows = [
        FloorRow(
            animals=row.animals, area_cm2=row.area_cm2, decides=True, words=source, sources=("CP",)
        )
        for row in rules.floor
    ]
    data = book.living.model_dump() | {"floor": [row.model_dump() for row in rows]}
    return book.model_copy(update={"living": Living.model_validate(data)})
