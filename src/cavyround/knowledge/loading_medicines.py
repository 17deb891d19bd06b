"""Read the files about medicines, and find what in them points to nothing."""

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Protocol, TypeVar

from pydantic import BaseModel

from cavyround.knowledge.giving import Route, SyringeKind
from cavyround.knowledge.medicine_names import folded
from cavyround.knowledge.medicines import (
    Abbreviation,
    Danger,
    DrugClass,
    Medicine,
    Medicines,
    Trap,
)

M = TypeVar("M", bound=BaseModel)
FOLDER = "medicines"
# The other files of the folder; all the rest hold parts of the formulary.
NAMED = ("classes", "dangers", "routes", "syringes", "traps", "writing")


class Reads(Protocol):
    """What reads one section of one file strictly and keeps the faults."""

    faults: list[str]

    def mapping(self, model: type[M], file: str, key: str) -> dict[str, M]:
        """A section of named values."""

    def listing(self, model: type[M], file: str, key: str, name: str = "id") -> list[M]:
        """A section that is a list."""

    def naming_files(self, faults: Iterable[str]) -> list[str]:
        """Faults that begin with an entry, with its file before it."""


def read_medicines(reader: Reads, files: Iterable[str]) -> Medicines:
    """All that stands in the folder ``medicines``."""
    named = {f"{FOLDER}/{name}.yaml" for name in NAMED}
    formulary = [
        medicine
        for file in sorted(set(files) - named)
        for medicine in reader.listing(Medicine, file, "formulary")
    ]
    dangers = reader.listing(Danger, f"{FOLDER}/dangers.yaml", "dangers")
    traps = reader.listing(Trap, f"{FOLDER}/traps.yaml", "traps")
    for what, ids in (
        ("medicine", [one.id for one in formulary]),
        ("danger", [one.id for one in dangers]),
        ("trap", [one.id for one in traps]),
    ):
        twice = [name for name, count in Counter(ids).items() if count > 1]
        reader.faults += reader.naming_files(
            f"{what} {name}: is there twice; an id is used once" for name in twice
        )
    return Medicines(
        formulary=tuple(formulary),
        dangers=tuple(dangers),
        classes=reader.mapping(DrugClass, f"{FOLDER}/classes.yaml", "classes"),
        routes=reader.mapping(Route, f"{FOLDER}/routes.yaml", "routes"),
        syringes=reader.mapping(SyringeKind, f"{FOLDER}/syringes.yaml", "syringes"),
        traps=tuple(traps),
        abbreviations=tuple(
            reader.listing(Abbreviation, f"{FOLDER}/writing.yaml", "abbreviations", "written")
        ),
    )


def dangling_in(medicines: Medicines) -> Iterator[str]:
    """Every route, class and medicine named that there is not, and every name given twice."""
    for medicine in medicines.formulary:
        where = f"medicine {medicine.id}"
        yield from _unknown(where, "class", medicine.classes, medicines.classes)
        routes = {*medicine.routes, *(r for dose in medicine.doses for r in dose.routes)}
        routes |= {route for limit in medicine.limits for route in limit.routes}
        yield from _unknown(where, "route", routes, medicines.routes)
    for danger in medicines.dangers:
        where = f"danger {danger.id}"
        yield from _unknown(where, "class", danger.classes, medicines.classes)
        yield from _unknown(where, "route", danger.routes, medicines.routes)
    for code, drug_class in medicines.classes.items():
        yield from _unknown(f"class {code}", "class", drug_class.not_with, medicines.classes)
    for code, syringe in medicines.syringes.items():
        only = [syringe.only_for] if syringe.only_for else []
        yield from _unknown(f"syringe {code}", "class", only, medicines.classes)
    ids = [medicine.id for medicine in medicines.formulary]
    for trap in medicines.traps:
        named = [trap.medicine] if trap.medicine else []
        yield from _unknown(f"trap {trap.id}", "medicine", named, ids)
    yield from _names_twice(medicines)


def _names_twice(medicines: Medicines) -> Iterator[str]:
    """A name may mean one medicine only, and a way of writing one route only."""
    of_medicine: dict[str, str] = {}
    for medicine in medicines.formulary:
        for name in (medicine.name, *medicine.also):
            other = of_medicine.setdefault(folded(name), medicine.id)
            if other != medicine.id:
                yield f"medicine {medicine.id}: the name {name!r} is also {other}'s"
    of_route: dict[str, str] = {}
    for code, route in medicines.routes.items():
        for name in (route.words, *route.read_as):
            other = of_route.setdefault(name, code)
            if other != code:
                yield f"route {code}: {name!r} is also {other}'s"


def sources_in(medicines: Medicines) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Every entry with the sources it names."""
    for medicine in medicines.formulary:
        parts = (*medicine.doses, *medicine.stops, *medicine.limits, *medicine.cautions)
        keys = [key for part in parts for key in part.sources]
        yield f"medicine {medicine.id}", (*medicine.sources, *keys)
    yield from ((f"danger {one.id}", one.sources) for one in medicines.dangers)
    yield from ((f"trap {one.id}", one.sources) for one in medicines.traps)
    for written in medicines.abbreviations:
        yield f"abbreviation {written.written}", written.sources
    for code, drug_class in medicines.classes.items():
        yield f"class {code}", drug_class.sources
    for code, route in medicines.routes.items():
        keys = [key for limit in route.limits for key in limit.sources]
        yield f"route {code}", (*route.sources, *keys)
    for code, syringe in medicines.syringes.items():
        yield f"syringe {code}", syringe.sources


def _unknown(where: str, what: str, codes: Iterable[str], known: Iterable[str]) -> Iterator[str]:
    for code in sorted(set(codes) - set(known)):
        yield f"{where}: unknown {what} {code!r}"
