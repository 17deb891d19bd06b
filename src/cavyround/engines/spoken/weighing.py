"""Weights as they are said, with or without their unit, and what was lost or gained."""

from decimal import Decimal

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk, Filed
from cavyround.engines.spoken.units import LEAST_PLAIN, is_equipment
from cavyround.facts.observation import Side, Status

# 1 lb = 453.59237 g by definition; 1 oz is its sixteenth part.
GRAMS_PER_OZ = Decimal("28.349523125")
OZ_PER_LB = 16
GRAMS_PER_KG = Decimal(1000)
TENTH = Decimal("0.1")
LEAST_BARE, MOST_BARE = 60, 3999
LEAST_PUP = 40
# Less than a pup weighs at birth is no weight of an animal.
LEAST_GRAMS = 20
MOST_GRAMS = 4000
LOOKS_BACK = 3
# "a kilo and ten": less is no part of a weight.
LEAST_REST = 5
HOURS, MINUTES = 12, 60
EARLIER = frozenset({"was", "from", "were"})
# A bound that is spoken of, not what the scales said.
BOUNDS = frozenset({"under", "over", "above", "below", "least"})


class Weighing:
    """Files the weights and the changes of weight that are said."""

    def __init__(self, desk: Desk) -> None:
        """It files on the desk."""
        self.desk = desk

    def bare_kilo(self, items: list[Item], at: int) -> bool:
        """ "a kilo", "a kilo and fifty": True where it was one."""
        said = (
            items[at].word in ("kilo", "kg")
            and (at == 0 or items[at - 1].word == "a")
            and [one.word for one in items[at + 1 : at + 2]] != ["of"]
            and not (at > 1 and items[at - 2].cue("no"))
        )
        if not said:
            return False
        grams, used = grams_after_a_kilo(items, at)
        if used:
            self._weight([items[at], *used], grams, "g", grams)
        else:
            self._weight([items[at]], Decimal(1), "kg", GRAMS_PER_KG)
        return True

    def of_mass(self, clause: Clause, at: int, unit: str, unit_item: Item | None) -> bool:
        """File a number with a unit of mass; True where it was a weight of now."""
        items = clause.items
        number = items[at].number
        assert number is not None and unit_item is not None  # noqa: S101, PT018 -- just found
        parts = [items[at], unit_item]
        value: Decimal | str = number.value
        grams = {
            "g": Decimal(1),
            "kg": GRAMS_PER_KG,
            "oz": GRAMS_PER_OZ,
            "lb": GRAMS_PER_OZ * OZ_PER_LB,
        }[unit] * number.value
        more = rest_of_weight(items, items.index(unit_item) + 1)
        if unit == "lb" and more is not None:
            rest, used = more
            if rest < OZ_PER_LB:
                grams += GRAMS_PER_OZ * rest
                value, unit = f"{plain_number(number.value)}lb{plain_number(rest)}oz", "lb_oz"
                parts += used
        elif unit == "kg" and more is not None and not number.decimal:
            rest, used = more
            if rest < GRAMS_PER_KG:
                grams, value, unit = grams + rest, grams + rest, "g"
                parts += used
        if _change_word(items, at):
            self._change(items, at, value, unit, grams, parts)
            return False
        if is_equipment(clause) or _is_earlier(items, at) or grams > MOST_GRAMS:
            return False
        if grams < LEAST_GRAMS:
            return False
        self._weight(parts, value, unit, grams)
        return True

    def bare(self, clause: Clause, at: int) -> bool:
        """A number without a unit: a weight in grams if it can be nothing else."""
        items = clause.items
        number = items[at].number
        if number is None or number.decimal:
            return False
        if _change_word(items, at) and number.value < LEAST_PLAIN * 3:
            self._change(items, at, number.value, "g", number.value, [items[at]])
            return False
        said = any(one.has("about", "weight_words") for one in items)
        least = LEAST_BARE if said else LEAST_PLAIN
        if any(name.startswith("pup ") for name in self.desk.of_now):
            least = LEAST_PUP
        if not least <= number.value <= MOST_BARE or _is_earlier(items, at):
            return False
        if at and BOUNDS & set(items[at - 1].word.split()):
            return False
        if any(one.has("product") or one.has("care", "vitamin_c") for one in items):
            return False
        if _is_clock(clause, at) and not said:
            return False
        self._weight([items[at]], number.value, "g", number.value)
        return True

    def _change(
        self,
        items: list[Item],
        at: int,
        value: Decimal | str,
        unit: str,
        grams: Decimal,
        parts: list[Item],
    ) -> None:
        if grams > MOST_GRAMS:
            return
        sign = -1 if _change_word(items, at) == "lost" else 1
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

    def _weight(self, parts: list[Item], value: Decimal | str, unit: str, grams: Decimal) -> None:
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


def grams_after_a_kilo(items: list[Item], at: int) -> tuple[Decimal, list[Item]]:
    """The grams of "a kilo and fifty" and the words of the fifty; none for a kilo alone."""
    more = rest_of_weight(items, at + 1)
    if more is not None and LEAST_REST <= more[0] < GRAMS_PER_KG:
        return GRAMS_PER_KG + more[0], more[1]
    return GRAMS_PER_KG, []


def rest_of_weight(items: list[Item], at: int) -> tuple[Decimal, list[Item]] | None:
    """The ounces or grams said after the pounds or kilos, and their words."""
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


def _change_word(items: list[Item], at: int) -> str:
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


def _is_clock(clause: Clause, at: int) -> bool:
    """ "the vet's given us eight fifteen": a time of day."""
    number = clause.items[at].number
    if number is None:
        return False
    hour, minute = divmod(int(number.value), 100)
    before = {one.word for one in clause.items[max(0, at - 2) : at]}
    visit = any(one.has("care", "vet_call") for one in clause.items) or "us" in before
    return visit and 1 <= hour <= HOURS and minute % 5 == 0 and minute < MINUTES


def _is_earlier(items: list[Item], at: int) -> bool:
    before = {word for one in items[max(0, at - 2) : at] for word in one.word.split()}
    return bool(before & EARLIER) and "weight" not in before


def _tenth(grams: Decimal) -> Decimal:
    return grams.quantize(TENTH)


def plain_number(number: Decimal) -> str:
    """A number without noughts at its end."""
    return f"{number.normalize():f}"
