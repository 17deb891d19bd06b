"""File the signs of a clause: which finding, at which place, there or not."""

from collections.abc import Sequence
from itertools import pairwise

from cavyround.engines.spoken.beside import is_of_it, places_beside
from cavyround.engines.spoken.choosing import OF_ITSELF, choose, placed, side_of_phrase, status_of
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.describing import describes_last, grade_of, kinds_of
from cavyround.engines.spoken.lexicon import Meaning
from cavyround.engines.spoken.no_finding import (
    is_comment,
    is_doing,
    is_explained,
    is_of_a_thing,
    is_turn_of_speech,
    normal_predicate,
)
from cavyround.engines.spoken.sheets import Desk, Filed
from cavyround.engines.spoken.spots import Spot
from cavyround.engines.spoken.steps import step_of
from cavyround.facts.observation import Grade, Side, Status
from cavyround.knowledge.book import Knowledge
from cavyround.knowledge.words import SignWords

# "Rocket's are clean" speaks of the same place; "Rocket's clean" of Rocket.
OF_THEIRS = frozenset({"are", "is", "were", "was", "look", "looks", "both", "too"})


class Filing:
    """Files the signs of one clause after another."""

    def __init__(self, desk: Desk, book: Knowledge, *, triage: bool = False) -> None:
        """``triage``: codes beyond the dictation vocabulary are read as well."""
        self.desk = desk
        self.book = book
        self.triage = triage

    def file(self, clause: Clause, spots: list[Spot], ahead: Sequence[Spot] = ()) -> int:
        """File all signs of a clause; returns how many findings.

        ``ahead``: the place that the list it belongs to names at its end.
        """
        filed = 0
        items = clause.items
        first_sign = next((at for at, one in enumerate(items) if one.has("sign")), len(items))
        sign_first = bool(spots) and first_sign < spots[0].at
        predicate = normal_predicate(clause)
        for at, item in enumerate(items):
            if (
                item.has("kind")
                and not item.has("sign")
                and not item.left_out
                and all(self._is_of_last(spot) for spot in spots)
            ):
                describes_last(item, self.desk, self.book)
            if not item.has("sign") or item.left_out or item.notes.get("kind_of"):
                continue
            if item.has("verb") and is_doing(clause, at):
                continue
            if is_of_a_thing(clause, at):
                item.left_out = "equipment"
                self.desk.last_sign = (item, ())
                continue
            if is_turn_of_speech(clause, at, spots, waiting=bool(self.desk.pending)):
                continue
            if is_comment(clause, at, spots):
                item.left_out = "general_talk"
                continue
            groups = places_beside(clause, at, spots, self.desk, sign_first=sign_first)
            groups = self._with_place_told_elsewhere(groups, clause, at, () if spots else ahead)
            if predicate is not None and at < predicate and is_explained(item, clause, predicate):
                item.left_out = "general_talk"
                continue
            around = tuple(spot.region for spot in spots)
            filed += self._file_sign(clause, at, groups, around, begins=filed == 0)
        return filed

    def _with_place_told_elsewhere(
        self, groups: list[list[Spot]], clause: Clause, at: int, ahead: Sequence[Spot]
    ) -> list[list[Spot]]:
        """The place at the end of a list goes first; "on it" is the place just spoken of."""
        if ahead:
            return [list(ahead), *groups]
        if not groups and is_of_it(clause, at) and self.desk.topic and self._may_carry(clause):
            return [list(self.desk.topic)]
        return groups

    def _file_sign(
        self,
        clause: Clause,
        at: int,
        groups: list[list[Spot]],
        around: tuple[str, ...],
        *,
        begins: bool,
    ) -> int:
        item = clause.items[at]
        denied = item.notes.get("status") == Status.ABSENT
        more = not groups or (not around and item.has("kind", "draining"))
        if more and not denied and describes_last(item, self.desk, self.book):
            return 0
        means = self._means(clause, at)
        topic = list(self.desk.topic)
        if denied and clause.opens and not around and self.desk.of_both:
            # "Left ear waxy, right ear clean. No smell.": of both.
            topic = [Spot(self.desk.of_both, Side.BOTH, at, ())]
        if {"elsewhere", "else", "anywhere"} & set(clause.words) or not self._may_carry(clause):
            topic = []
        chosen = choose(means, groups, topic, home=bool(self.desk.home), around=around)
        chosen = [(sense, spot or side_of_phrase(clause, at, sense)) for sense, spot in chosen]
        if not chosen:
            # "the lump has burst": no sign of its own here, but a word of what was found.
            if item.has("kind") and not denied:
                describes_last(item, self.desk, self.book)
            return 0
        filed = self._file_chosen(chosen, clause, at, begins=begins, placed_here=bool(around))
        if filed:
            item.used = True
            self.desk.filed_spots = [spot for _, spot in chosen if spot is not None]
            if (
                not self.desk.filed_spots
                and not any(spot for _, spot in chosen)
                and (chosen[0][0].to in OF_ITSELF)
            ):
                self.desk.filed_spots = [Spot(chosen[0][0].to, Side.NOT_SAID, at)]
            spots_used = tuple(spot for _, spot in chosen if spot is not None)
            self.desk.last_sign = (item, spots_used)
        return filed

    def _means(self, clause: Clause, at: int) -> list[Meaning]:
        item = clause.items[at]
        means = [one for one in item.of("sign") if self.triage or not one.entry.triage]
        if item.word == "pink" and at and clause.items[at - 1].cue("slight", "moderate"):
            # "a little pink" is not as it should be.
            return [one for one in means if one.code != "normal"]
        return means

    def _file_chosen(
        self,
        chosen: list[tuple[SignWords, Spot | None]],
        clause: Clause,
        at: int,
        *,
        begins: bool,
        placed_here: bool,
    ) -> int:
        filed = 0
        for sense, spot in chosen:
            status = status_of(clause.items[at], sense)
            if status is None:
                continue
            if status == "uncertain" and not placed_here and self._guesses_the_kind(sense):
                clause.items[at].used = True
                continue
            for code in (sense.finding, *sense.also):
                filing = self._filed(sense, code, spot, clause, at, status)
                self.desk.file(filing, begins=begins and filed == 0)
                filed += 1
        return filed

    def _guesses_the_kind(self, sense: SignWords) -> bool:
        """ "it might be a fatty lump": what was felt stays felt, whatever it may be."""
        return sense.finding == "lump" and any(
            filed.finding == "lump" and filed.status is Status.PRESENT
            for name in self.desk.of_now
            for filed in self.desk.sheet(name).findings
        )

    def _is_of_last(self, spot: Spot) -> bool:
        return any(filed.region == spot.region for _, filed in self.desk.last)

    def _may_carry(self, clause: Clause) -> bool:
        """Whether the place spoken of before is this animal's: "Rocket's are clean"."""
        if not self.desk.foreign:
            return True
        return any(
            item.name and item.tail == "s" and (following.word in OF_THEIRS or following.number)
            for item, following in pairwise(clause.items)
        )

    def _filed(
        self,
        sense: SignWords,
        code: str,
        spot: Spot | None,
        clause: Clause,
        at: int,
        status: Status,
    ) -> Filed:
        item = clause.items[at]
        region, side = placed(sense, spot)
        if code == "fly_eggs" and item.word in ("egg", "eggs") and _is_of_lice(clause):
            # "Alive with lice and eggs": a louse's.
            region, side, code = "coat", Side.NOT_SAID, "nits"
        if code != sense.finding:
            status = Status.PRESENT
        if spot is not None:
            for one in spot.items:
                one.used = True
        items = [*(spot.items if spot else ()), item]
        items += [one for one in clause.items if item.notes.get("cue") == str(one.start)]
        items += [one for one in clause.items if status == "uncertain" and one.cue("hedge")]
        grade = Grade(sense.grade) if sense.grade else grade_of(clause, at)
        kinds = kinds_of(clause, at, code, self.book) | set(sense.kinds)
        return Filed(
            region,
            code,
            side,
            status,
            items,
            grade,
            kinds,
            step=step_of(region, code, self.book),
            unsure="said with a doubt" if status == "uncertain" else "",
            homeless=spot is None and bool(sense.at),
            allowed=sense.at if spot is None else (),
        )


def _is_of_lice(clause: Clause) -> bool:
    return any(
        (one.has("sign", "lice") or one.has("sign", "nits")) and not one.has("sign", "fly_eggs")
        for one in clause.items
    )
