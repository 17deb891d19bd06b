"""Numbers that were said: weights, changes, scores, rates, sizes; each with its own unit or none."""

from decimal import Decimal

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk, Filed
from cavyround.engines.spoken.spots import Spot
from cavyround.facts.observation import Side, Status
from cavyround.knowledge.book import Knowledge

# 1 lb = 453.59237 g by definition; 1 oz is its sixteenth part.
GRAMS_PER_OZ = Decimal("28.349523125")
OZ_PER_LB = 16
TENTH = Decimal("0.1")
LEAST_BARE, MOST_BARE = 60, 3999
LEAST_PLAIN = 100
LEAST_PUP = 40
MOST_GRAMS = 4000
NEAR = 4
LOOKS_BACK = 3
TOP_SCORE = 5
EARLIER = frozenset({"was", "from", "were"})


class Measuring:
    """Reads the numbers of one clause after another."""

    def __init__(self, desk: Desk, book: Knowledge) -> None:
        """It files on the desk."""
        self.desk = desk
        self.counts = frozenset(book.words.numbers.counts)
        self.used_numbers: set[int] = set()

    def file(self, clause: Clause, spots: list[Spot]) -> bool:
        """File all numbers of a clause; True where one was a weight."""
        weighed = False
        items = clause.items
        at = 0
        while at < len(items):
            item = items[at]
            if item.number is not None and not item.left_out and not item.used:
                weighed = self._number(clause, at, spots) or weighed
            elif item.left_out == "" and self._bare_kilo(items, at):
                self._weight(item, [item], Decimal(1), "kg", Decimal(1000))
                weighed = True
            at += 1
        return weighed

    @staticmethod
    def _bare_kilo(items: list[Item], at: int) -> bool:
        """ "a kilo": one of them."""
        return (
            items[at].word in ("kilo", "kg")
            and at > 0
            and items[at - 1].word == "a"
            and not (at > 1 and items[at - 2].cue("no"))
        )

    def _number(self, clause: Clause, at: int, spots: list[Spot]) -> bool:
        items = clause.items
        unit_item, unit = self._unit(items, at)
        number = items[at].number
        assert number is not None  # noqa: S101 -- asked for only where there is one
        if unit in ("ml", "mg"):
            return False
        if unit in ("lb", "oz", "kg", "g") and not self._is_food(items, at):
            return self._of_mass(clause, at, unit, unit_item)
        if unit in ("mm", "cm"):
            self._size(items, at, unit, unit_item)
            return False
        if unit == "of_5" or (self._about(items, at, "score_words") and number.value <= TOP_SCORE):
            self._score(clause, at, unit_item, spots)
            return False
        if unit == "C" or self._about(items, at, "temperature_words"):
            self._simple("temperature", "whole", "C", clause, at, unit_item)
            return False
        if self._about(items, at, "heart_words") and number.value > LEAST_BARE:
            self._simple("heart_rate", "whole", "per_min", clause, at, unit_item)
            return False
        if unit == "per_min" or (
            self._about(items, at, "breath_words")
            and number.value >= LEAST_BARE // 2
            and not self._counts(items, at)
        ):
            self._simple("breath_rate", "breathing", "per_min", clause, at, unit_item)
            return False
        if self._counts(items, at) or self._is_equipment(clause):
            return False
        return self._bare(clause, at)

    def _unit(self, items: list[Item], at: int) -> tuple[Item | None, str]:
        for index in (at + 1, at + 2):
            if index >= len(items) or items[index].number is not None:
                break
            units = items[index].of("unit")
            if units:
                return items[index], units[-1].code if len(units) == 1 else _longest(units)
            if items[index].word not in ("of", "a", "and a half"):
                break
        return None, ""

    def _is_food(self, items: list[Item], at: int) -> bool:
        return any(one.word == "of" for one in items[at + 2 : at + 3])

    def _about(self, items: list[Item], at: int, sort: str) -> bool:
        return any(one.has("about", sort) for one in items[max(0, at - NEAR) : at])

    def _counts(self, items: list[Item], at: int) -> bool:
        if at + 1 >= len(items):
            return False
        following = items[at + 1]
        first = following.word.split()[0] if following.word else ""
        number = items[at].number
        small = number is not None and number.value < LEAST_PLAIN
        if first in (
            "minutes",
            "weeks",
            "months",
            "days",
            "years",
            "hours",
            "percent",
            "times",
            "week",
            "month",
            "year",
            "day",
            "hour",
            "minute",
        ):
            return True
        return small and (first in self.counts or following.has("place"))

    def _is_equipment(self, clause: Clause) -> bool:
        words = clause.words
        return any(one.has("about", "equipment") for one in clause.items) and bool(
            {
                "box",
                "tub",
                "bowl",
                "basket",
                "carrier",
                "towel",
                "container",
                "crate",
                "bucket",
                "lid",
            }
            & set(words)
        )

    def _of_mass(self, clause: Clause, at: int, unit: str, unit_item: Item | None) -> bool:
        items = clause.items
        number = items[at].number
        assert number is not None and unit_item is not None  # noqa: S101, PT018 -- just found
        parts = [items[at], unit_item]
        value: Decimal | str = number.value
        grams = {
            "g": Decimal(1),
            "kg": Decimal(1000),
            "oz": GRAMS_PER_OZ,
            "lb": GRAMS_PER_OZ * OZ_PER_LB,
        }[unit] * number.value
        more = self._rest(items, items.index(unit_item) + 1)
        if unit == "lb" and more is not None:
            rest, used = more
            if rest < OZ_PER_LB:
                grams += GRAMS_PER_OZ * rest
                value, unit = f"{_plain(number.value)}lb{_plain(rest)}oz", "lb_oz"
                parts += used
        elif unit == "kg" and more is not None and not number.decimal:
            rest, used = more
            if rest < 1000:
                grams, value, unit = grams + rest, grams + rest, "g"
                parts += used
        if self._is_change(items, at):
            self._change(items, at, value, unit, grams, parts)
            return False
        if self._is_equipment(clause) or self._is_earlier(items, at) or grams > MOST_GRAMS:
            return False
        if grams < 20:
            return False
        self._weight(items[at], parts, value, unit, grams)
        return True

    def _rest(self, items: list[Item], at: int) -> tuple[Decimal, list[Item]] | None:
        if at < len(items) and items[at].word in ("and", "exactly"):
            at += 1
        if at >= len(items) or items[at].number is None:
            return None
        number = items[at].number
        used = [items[at]]
        if number is None:
            return None
        if at + 1 < len(items) and items[at + 1].has("unit"):
            if items[at + 1].of("unit")[0].code not in ("oz", "g"):
                return None
            used.append(items[at + 1])
        return number.value, used

    def _is_change(self, items: list[Item], at: int) -> bool:
        return bool(self._change_word(items, at))

    def _change_word(self, items: list[Item], at: int) -> str:
        for index in range(at - 1, max(-1, at - 1 - LOOKS_BACK), -1):
            if items[index].has("about", "lost"):
                return "lost"
            if items[index].has("about", "gained"):
                return "gained"
            if items[index].number is not None or items[index].name:
                break
        after = items[at + 1 : at + 3]
        if any(one.number for one in items[at + 2 : at + 6]):
            # "six hundred and up thirty": the change is the other number.
            return ""
        for one in after:
            if one.word in ("lighter", "down", "less"):
                return "lost"
            if one.word in ("heavier", "up", "more"):
                return "gained"
        return ""

    def _change(
        self,
        items: list[Item],
        at: int,
        value: Decimal | str,
        unit: str,
        grams: Decimal,
        parts: list[Item],
    ) -> None:
        sign = -1 if self._change_word(items, at) == "lost" else 1
        signed = value * sign if isinstance(value, Decimal) else value
        for one in parts:
            one.used = True
        self.desk.file(
            Filed(
                "whole",
                "weight_change",
                Side.NOT_SAID,
                Status.PRESENT,
                parts,
                value=signed,
                unit=unit,
                grams=_tenth(grams * sign),
                step="weight",
            ),
            begins=True,
        )

    def _bare(self, clause: Clause, at: int) -> bool:
        """A number without a unit: a weight in grams if it can be nothing else."""
        items = clause.items
        number = items[at].number
        if number is None or number.decimal:
            return False
        if self._is_change(items, at) and number.value < LEAST_PLAIN * 3:
            self._change(items, at, number.value, "g", number.value, [items[at]])
            return False
        said = any(one.has("about", "weight_words") for one in items)
        least = LEAST_BARE if said else LEAST_PLAIN
        if any(name.startswith("pup ") for name in self.desk.of_now):
            least = LEAST_PUP
        if not least <= number.value <= MOST_BARE or self._is_earlier(items, at):
            return False
        if any(one.has("product") or one.has("care", "vitamin_c") for one in items):
            return False
        self._weight(items[at], [items[at]], number.value, "g", number.value)
        return True

    def _is_earlier(self, items: list[Item], at: int) -> bool:
        before = {word for one in items[max(0, at - 2) : at] for word in one.word.split()}
        return bool(before & EARLIER) and "weight" not in before

    def _weight(
        self, item: Item, parts: list[Item], value: Decimal | str, unit: str, grams: Decimal
    ) -> None:
        for one in parts:
            one.used = True
        self.desk.file(
            Filed(
                "whole",
                "weight",
                Side.NOT_SAID,
                Status.PRESENT,
                parts,
                value=value,
                unit=unit,
                grams=_tenth(grams),
                step="weight",
            ),
            begins=True,
        )
        for name in self.desk.of_now:
            self.desk.sheet(name).skipped.pop("weight", None)

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
        if regions & {"foot", "front_foot", "hind_foot"} and not self._about(
            clause.items, at, "score_words"
        ):
            clause.items[at].notes["score"] = str(number.value)
            clause.items[at].used = True
            return
        self._simple("body_condition", "whole", "of_5", clause, at, unit_item)

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


def _tenth(grams: Decimal) -> Decimal:
    return grams.quantize(TENTH)


def _plain(number: Decimal) -> str:
    return f"{number.normalize():f}"


def _longest(units: list) -> str:  # type: ignore[type-arg]
    return str(units[0].code)
