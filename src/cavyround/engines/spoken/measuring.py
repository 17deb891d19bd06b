"""Numbers that were said: scores, rates, sizes, weights; each with its own unit or none."""

from decimal import Decimal

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk, Filed
from cavyround.engines.spoken.spots import Spot
from cavyround.engines.spoken.units import counts_things, is_about, is_equipment, is_food, unit_of
from cavyround.engines.spoken.weighing import LEAST_BARE, Weighing
from cavyround.facts.observation import Side, Status
from cavyround.knowledge.book import Knowledge

TOP_SCORE = 5
FEET = frozenset({"foot", "front_foot", "hind_foot"})


class Measuring:
    """Reads the numbers of one clause after another."""

    def __init__(self, desk: Desk, book: Knowledge) -> None:
        """It files on the desk."""
        self.desk = desk
        self.counts = frozenset(book.words.numbers.counts)
        self.weighing = Weighing(desk)

    def file(self, clause: Clause, spots: list[Spot]) -> bool:
        """File all numbers of a clause; True where one was a weight."""
        weighed = False
        items = clause.items
        at = 0
        while at < len(items):
            item = items[at]
            if item.number is not None and not item.left_out and not item.used:
                weighed = self._number(clause, at, spots) or weighed
            elif item.left_out == "" and self.weighing.bare_kilo(items, at):
                weighed = True
            at += 1
        return weighed

    def _number(self, clause: Clause, at: int, spots: list[Spot]) -> bool:
        items = clause.items
        unit_item, unit = unit_of(items, at)
        number = items[at].number
        assert number is not None  # noqa: S101 -- asked for only where there is one
        if unit in ("ml", "mg"):
            return False
        if unit in ("lb", "oz", "kg", "g") and not is_food(items, at):
            return self.weighing.of_mass(clause, at, unit, unit_item)
        if unit in ("mm", "cm"):
            self._size(items, at, unit, unit_item)
            return False
        if unit == "of_5" or (is_about(items, at, "score_words") and number.value <= TOP_SCORE):
            self._score(clause, at, unit_item, spots)
            return False
        if unit == "C" or is_about(items, at, "temperature_words"):
            self._simple("temperature", "whole", "C", clause, at, unit_item)
            return False
        if is_about(items, at, "heart_words") and number.value > LEAST_BARE:
            self._simple("heart_rate", "whole", "per_min", clause, at, unit_item)
            return False
        if unit == "per_min" or (
            is_about(items, at, "breath_words")
            and number.value >= LEAST_BARE // 2
            and not counts_things(items, at, self.counts)
        ):
            self._simple("breath_rate", "breathing", "per_min", clause, at, unit_item)
            return False
        if counts_things(items, at, self.counts) or is_equipment(clause):
            return False
        return self.weighing.bare(clause, at)

    def _size(self, items: list[Item], at: int, unit: str, unit_item: Item | None) -> None:
        number = items[at].number
        if number is None:
            return
        value = number.value * (10 if unit == "cm" else 1)
        items[at].notes["size"] = str(value)
        items[at].used = True
        if unit_item is not None:
            unit_item.used = True

    def _score(self, clause: Clause, at: int, unit_item: Item | None, spots: list[Spot]) -> None:
        number = clause.items[at].number
        if number is None or number.value > TOP_SCORE:
            return
        regions = {spot.region for spot in (*spots, *self.desk.topic)}
        if regions & FEET and not is_about(clause.items, at, "score_words"):
            clause.items[at].notes["score"] = str(number.value)
            clause.items[at].used = True
            if unit_item is not None and not _has_sore(clause):
                self._sore(number.value, [clause.items[at], unit_item], spots)
            return
        self._simple("body_condition", "whole", "of_5", clause, at, unit_item)

    def _sore(self, value: Decimal, parts: list[Item], spots: list[Spot]) -> None:
        """ "left hind three out of five": a foot is scored for its sore."""
        feet = [spot for spot in (*spots, *self.desk.topic) if spot.region in FEET][:1]
        for spot in feet:
            self.desk.file(
                Filed(
                    spot.region,
                    "sore",
                    spot.side,
                    Status.PRESENT,
                    [*spot.items, *parts],
                    value=value,
                    unit="of_5",
                    step="feet",
                ),
                begins=True,
            )

    def _simple(
        self, finding: str, region: str, unit: str, clause: Clause, at: int, unit_item: Item | None
    ) -> None:
        items = clause.items
        number = items[at].number
        if number is None:
            return
        parts = [items[at], *([unit_item] if unit_item is not None else [])]
        for one in parts:
            one.used = True
        step = {"body_condition": "condition", "breath_rate": "breathing"}.get(finding, "")
        self.desk.file(
            Filed(
                region,
                finding,
                Side.NOT_SAID,
                Status.PRESENT,
                parts,
                value=number.value,
                unit=unit,
                step=step,
            ),
            begins=True,
        )


def _has_sore(clause: Clause) -> bool:
    return any(item.has("sign", "sore") and not item.left_out for item in clause.items)


def sizes(clause: Clause, desk: Desk) -> None:
    """Put the size or the score that a clause told on the finding it is of."""
    for item in clause.items:
        size, score = item.notes.get("size"), item.notes.get("score")
        means_object = item.has("object") and not item.left_out and not item.used
        for _, filed in reversed(desk.last):
            if size and filed.finding in (
                "lump",
                "swelling",
                "wound",
                "bite",
                "abscess",
                "cyst",
                "fat_pad",
                "bald_patch",
            ):
                filed.value, filed.unit = Decimal(size), "mm"
                filed.items.append(item)
            elif score and filed.finding == "sore":
                filed.value, filed.unit = Decimal(score), "of_5"
                filed.items.append(item)
            elif means_object and filed.finding == "lump" and filed.value is None:
                filed.value, filed.unit = item.word.split()[0], "object"
                filed.items.append(item)
                item.used = True
