"""Who may share a pen, and why not. Unknown counts as could-be."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from itertools import combinations

from cavyround.engines.breeding import Fertile, as_dam, as_sire, sex_of
from cavyround.facts.animal import Sex
from cavyround.facts.breeding import Sure
from cavyround.facts.housing import Health, Lodger, Quarrel, Ties
from cavyround.knowledge.book import Knowledge


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """One rule that speaks against it. ``words`` are the rule's, ``detail`` this case's."""

    rule: str
    hard: bool
    words: str
    detail: str
    frees: str
    sources: tuple[str, ...]
    animals: tuple[str, ...] = ()


def by_rule(book: Knowledge, rule: str, detail: str, *animals: str) -> Why:
    """A rule of the knowledge, with what it means here."""
    known = book.living.rule(rule)
    return Why(
        rule=rule,
        hard=known.hard,
        words=known.words,
        detail=detail,
        frees=known.frees,
        sources=known.sources,
        animals=animals,
    )


@dataclass(frozen=True)
class Sharing:
    """The rules between two animals on a day."""

    ties: Ties
    today: date
    book: Knowledge

    @cached_property
    def _fertile(self) -> dict[str, tuple[Fertile | None, Fertile | None]]:
        """When each may sire and conceive, worked out once for all its pairs."""
        return {}

    def _able(self, animal: Lodger) -> tuple[Fertile | None, Fertile | None]:
        known = self._fertile.get(animal.id)
        if known is None:
            known = as_sire(animal.breeder, self.book), as_dam(animal.breeder, self.book)
            self._fertile[animal.id] = known
        return known

    def why_apart(self, one: Lodger, other: Lodger) -> tuple[Why, ...]:
        """All that speaks against these two in one pen, the hard rules first."""
        first, second = sorted((one, other), key=lambda animal: animal.id)
        found = [
            *self._sexes(first, second),
            *self._health(first, second),
            *self._quarrels(first, second),
            *self._kept_alone(first, second),
            *self._size(first, second),
        ]
        return tuple(sorted(found, key=lambda why: not why.hard))

    def among(self, animals: Iterable[Lodger]) -> tuple[Why, ...]:
        """All that speaks against so many in one pen; the same of one alone."""
        here = list(animals)
        found = [why for one, other in combinations(here, 2) for why in self.why_apart(one, other)]
        return (*found, *self._boars(here), *self._told(here), *self._alone(here))

    def _sexes(self, one: Lodger, other: Lodger) -> Iterator[Why]:
        for he, she in ((one, other), (other, one)):
            sire, dam = self._able(he)[0], self._able(she)[1]
            if sire is None or dam is None:
                continue
            day = self.today + self._ahead(he, she)
            if sire.until is not None and sire.until <= self.today:
                continue
            if not (_of_age(sire, day) and _of_age(dam, day)):
                continue
            detail = f"{he.name}: {sire.why}; {she.name}: {dam.why}"
            yield by_rule(self.book, self._which(sire, he, she), detail, he.id, she.id)
            return  # two that may be either are said once

    def _which(self, sire: Fertile, he: Lodger, she: Lodger) -> str:
        if sire.until is not None:
            return "castrated_lately"
        if _is_family(he, she):
            return "young_boar_with_dam"
        if she.expecting_until is not None and she.expecting_until >= self.today:
            return "sow_before_birth"
        return "sexes"

    def _ahead(self, he: Lodger, she: Lodger) -> timedelta:
        """A litter stays together until its day; strangers are not put together for days only."""
        if _is_family(he, she):
            return timedelta(0)
        return timedelta(days=int(self.book.number("plan_ahead_days")))

    def _health(self, one: Lodger, other: Lodger) -> Iterator[Why]:
        ill = [animal for animal in (one, other) if _is_catching(animal)]
        same = bool(one.infections) and one.infections == other.infections
        if ill and not same:
            what = "; ".join(f"{animal.name}: {_named(animal)}" for animal in ill)
            yield by_rule(self.book, "infection", what, one.id, other.id)
        kept = [animal for animal in (one, other) if animal.is_kept_apart]
        together = bool(one.cohort) and one.cohort == other.cohort
        if kept and not together:
            what = "; ".join(f"{animal.name} {animal.health_words}" for animal in kept)
            yield by_rule(self.book, "quarantine", what, one.id, other.id)

    def _quarrels(self, one: Lodger, other: Lodger) -> Iterator[Why]:
        own = [q for q in self.ties.quarrels if q.pair == {one.id, other.id}]
        worst = [quarrel for quarrel in own if quarrel.blood or quarrel.never]
        if worst:
            yield by_rule(self.book, "enemies", _fought(worst[-1], one, other), one.id, other.id)
            return
        days = int(self.book.number("quarrel_remembered_days"))
        recent = [q for q in own if (self.today - q.on).days <= days]
        if recent:
            detail = _fought(recent[-1], one, other)
            yield by_rule(self.book, "quarrelled", detail, one.id, other.id)

    def _kept_alone(self, one: Lodger, other: Lodger) -> Iterator[Why]:
        alone = [animal for animal in (one, other) if animal.keeps_alone]
        sucks = one.sucks_from == other.id or other.sucks_from == one.id
        if alone and not sucks:
            what = "; ".join(f"{animal.name}: {animal.alone_because}" for animal in alone)
            yield by_rule(self.book, "kept_alone", what, one.id, other.id)

    def _size(self, one: Lodger, other: Lodger) -> Iterator[Why]:
        if one.grams is None or other.grams is None or _is_family(one, other):
            return
        light, heavy = sorted((one, other), key=lambda animal: animal.grams or 0)
        if light.grams and heavy.grams:
            factor = self.book.number("together_size_factor")
            if heavy.grams >= factor * light.grams:
                detail = f"{light.name} {light.grams:.0f} g, {heavy.name} {heavy.grams:.0f} g"
                yield by_rule(self.book, "size", detail, one.id, other.id)

    def _boars(self, here: list[Lodger]) -> Iterator[Why]:
        entire = [animal for animal in here if self.is_entire_boar(animal)]
        if len(entire) > self.book.number("boars_in_a_group"):
            names = ", ".join(animal.name for animal in entire)
            yield by_rule(self.book, "many_boars", names, *(animal.id for animal in entire))
        boars = self.boars_about_a_sow(here)
        if boars:
            names = ", ".join(animal.name for animal in boars)
            sows = ", ".join(one.name for one in here if self.is_grown_sow(one))
            detail = f"{names}, with {sows}"
            yield by_rule(self.book, "boars_with_a_sow", detail, *(one.id for one in boars))

    def boars_about_a_sow(self, here: Iterable[Lodger]) -> list[Lodger]:
        """The grown boars of a pen, neutered or not, where there are several and a grown sow."""
        inside = list(here)
        boars = [animal for animal in inside if self.is_grown_boar(animal)]
        return boars if len(boars) > 1 and any(map(self.is_grown_sow, inside)) else []

    def is_grown_boar(self, animal: Lodger) -> bool:
        """Whether it is a boar, neutered or not, past the age at which litters are parted."""
        return sex_of(animal.breeder).sex is Sex.BOAR and self._is_grown(animal)

    def is_grown_sow(self, animal: Lodger) -> bool:
        """Whether it is a sow past that age."""
        return sex_of(animal.breeder).sex is Sex.SOW and self._is_grown(animal)

    def _is_grown(self, animal: Lodger) -> bool:
        """Past the day on which litters are parted by sex; of an age not known it is."""
        born = animal.breeder.born.latest
        days = timedelta(days=int(self.book.number("part_sexes_days")))
        return born is None or self.today - born >= days

    def is_entire_boar(self, animal: Lodger) -> bool:
        """Whether it counts as an entire boar of breeding age."""
        sire, _ = self._able(animal)
        return sire is not None and sire.on(self.today)

    def is_fertile_sow(self, animal: Lodger) -> bool:
        """Whether it counts as a sow of breeding age."""
        _, dam = self._able(animal)
        return dam is not None and dam.on(self.today)

    def _told(self, here: list[Lodger]) -> Iterator[Why]:
        if len(here) == 1:
            return
        for animal in here:
            known = sex_of(animal.breeder)
            unsure = known.sure in (Sure.TOLD, Sure.LIKELY) or known.sex is Sex.UNKNOWN
            if unsure and not known.disputed:
                yield by_rule(self.book, "told_sex", f"{animal.name}: {known.words}", animal.id)

    def _alone(self, here: list[Lodger]) -> Iterator[Why]:
        if len(here) == 1 and not here[0].alone_because:
            told = f": {here[0].alone_told}" if here[0].alone_told else ""
            yield by_rule(self.book, "alone", f"{here[0].name}{told}", here[0].id)


def _of_age(fertile: Fertile, day: date) -> bool:
    return fertile.since is None or fertile.since <= day


def _is_family(one: Lodger, other: Lodger) -> bool:
    """Mother and young, or litter mates."""
    return one.dam == other.id or other.dam == one.id or (bool(one.dam) and one.dam == other.dam)


def _is_catching(animal: Lodger) -> bool:
    return animal.health is Health.ISOLATED or bool(animal.infections)


def _named(animal: Lodger) -> str:
    return ", ".join(sorted(animal.infections)) or "something catching, not known what"


def _fought(quarrel: Quarrel, one: Lodger, other: Lodger) -> str:
    how = "drew blood" if quarrel.blood else "fought"
    told = f": {quarrel.words}" if quarrel.words else ""
    return f"{one.name} and {other.name} {how} on {quarrel.on:%d %B %Y}{told}"
