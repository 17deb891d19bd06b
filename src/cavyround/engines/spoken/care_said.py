"""Which care a clause tells: by its name, its product, its verb, or a word for what was named."""

from cavyround.engines.spoken.care_places import care_of_place
from cavyround.engines.spoken.care_verbs import care_by_verb
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.doses import LARGEST_DOSE
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk
from cavyround.engines.spoken.spots import Spot

BY_PRODUCT = {
    "ivermectin": "spot_on",
    "selamectin": "spot_on",
    "honey": "cream",
    "barrier cream": "cream",
    "probiotic": "probiotic",
}
GIVING = frozenset(
    {
        "gave",
        "given",
        "giving",
        "had",
        "took",
        "taken",
        "dosed",
        "administered",
        "syringed",
        "done",
        "got",
        "give",
        "gets",
        "dose",
        "refused",
        "spat",
        "in",
    }
)
# "she's had this morning's".
DAY_PARTS = frozenset({"morning", "evening", "afternoon", "arvo", "today", "tonight", "night"})
# From here on a number alone is rather a weight than a dose.
LEAST_BARE = 60

# By its code: the words that tell the care, and the product.
Found = dict[str, tuple[list[Item], str]]


class CareSaid:
    """Finds the care of one clause after another; it keeps in mind what medicine is spoken of."""

    def __init__(self, desk: Desk) -> None:
        """It reads from the desk which places were spoken of."""
        self.desk = desk
        self.product = ""
        self.giving = self.product_at = -1

    def remember(self, clause: Clause) -> None:
        """Keep in mind which product, or vitamin C, is spoken of."""
        for item in clause.items:
            for one in item.of("product"):
                self.product, self.desk.care_topic = one.code, "medicine_dose"
                self.product_at = clause.sentence
            if item.has("care", "vitamin_c"):
                self.desk.care_topic = "vitamin_c"

    def _amount_of_product(self, clause: Clause) -> bool:
        """ "still on her antibiotic, half a mil this morning": the amount says it was given."""
        unit = any(one.has("unit", "ml") or one.has("unit", "mg") for one in clause.items)
        return unit and self.product_at == clause.sentence and not clause.cued("plan")

    def found(self, clause: Clause, spots: list[Spot]) -> list[tuple[str, list[Item], str]]:
        """Each care of a clause: its code, the words that tell it, the product if one was said."""
        found: Found = {}
        given = [one for one in clause.items if one.has("given") and not one.left_out]
        numbers = [one for one in clause.items if one.number and not one.left_out]
        # "He's had his antibiotic, a probiotic an hour later, and ...": the list is given.
        going_on = self.giving == clause.sentence
        for item in clause.items:
            if not item.left_out or _just_now(clause, item):
                _by_name(clause, item, numbers, found, going_on=going_on)
        if found and set(clause.words) & GIVING - {"in"} and not clause.cued("not_done"):
            self.giving = clause.sentence
        for code, item in care_by_verb(clause, spots, self.desk):
            found.setdefault(code, ([item], ""))
        self._by_pronoun(clause, found, given, numbers)
        if not found:
            for code, item in care_of_place(clause, spots, self.desk):
                found[code] = ([item], "")
        _drop_said_twice(clause, found)
        return [(code, items, product) for code, (items, product) in found.items()]

    def _by_pronoun(
        self,
        clause: Clause,
        found: Found,
        given: list[Item],
        numbers: list[Item],
    ) -> None:
        """ "gave it", "had his fifty": what was spoken of before."""
        if found or not self.desk.care_topic:
            return
        if self._amount_of_product(clause):
            found["medicine_dose"] = ([clause.items[0]], self.product)
            return
        if not given:
            return
        gave = [one for one in given if one.word in ("gave", "given", "had", "took", "dosed")]
        doses = [one for one in numbers if one.number and one.number.value <= LARGEST_DOSE]
        obj = any(word in ("it", "them", "that") for word in clause.words)
        todays = any(one.tail == "s" and one.word in DAY_PARTS for one in clause.items)
        if gave and (
            todays or (gave[0].word == "gave" and obj) or (doses and not _weight_like(doses))
        ):
            product = self.product if self.desk.care_topic == "medicine_dose" else ""
            found[self.desk.care_topic] = ([gave[0]], product)


def _by_name(
    clause: Clause, item: Item, numbers: list[Item], found: Found, *, going_on: bool
) -> None:
    for one in item.of("care"):
        code = one.code
        if code in ("medicine_dose", "vitamin_c", "probiotic", "bath") and not (
            going_on or _is_given(clause, item, numbers)
        ):
            continue
        if code == "wound_clean" and item.cue("no"):
            continue
        if code == "vet_call":
            # "I'd like the vet to see that so I've booked him in": what came of it counts.
            found.pop(code, None)
        found.setdefault(code, ([item], ""))
    for one in item.of("product"):
        code = BY_PRODUCT.get(one.code, "medicine_dose")
        if not going_on and not _is_given(clause, item, numbers):
            continue
        if code == "cream" and not {"cream", "on", "put"} & set(clause.words):
            continue
        kept, _ = found.pop(code, ([], ""))
        found[code] = ([*kept, item], one.code)


def _drop_said_twice(clause: Clause, found: Found) -> None:
    """Of two names for one thing the closer one counts."""
    if "spot_on" in found and "medicine_dose" in found:
        del found["medicine_dose"]
    if (
        "cream" in found
        and "wound_clean" in found
        and not any(one.has("verb", "wound_clean") for one in clause.items)
    ):
        del found["wound_clean"]


def _is_given(clause: Clause, item: Item, numbers: list[Item]) -> bool:
    words = set(clause.words)
    if item.word.startswith("bath"):
        return _is_bath(clause, item)
    if any(one.has("unit", "mg") or one.has("unit", "ml") for one in clause.items):
        return True
    if words & GIVING - {"in"} or (item.has("care") and words & {"in", "done"}):
        return True
    if clause.cued("plan", "not_done") and not {"on", "still"} <= words:
        return True
    return (
        bool(numbers)
        and any(one.number and one.number.value < LEAST_BARE for one in numbers)
        and (clause.items[0] is item or "of" in words or "for" in words)
    )


def _just_now(clause: Clause, item: Item) -> bool:
    """ "he was moved to the end pen an hour ago": done, though told as past."""
    return item.left_out == "history" and item.has("care", "moved") and clause.words[-1] == "ago"


def _is_bath(clause: Clause, item: Item) -> bool:
    """ "bathed him", "been wormed and bathed", "bath for Gizmo", "giving her a bath"."""
    words, at = set(clause.words), clause.items.index(item)
    following = clause.items[at + 1].word if at + 1 < len(clause.items) else ""
    if item.word == "bathed":
        return following in ("him", "her", "them", "both", "") and following != "it"
    return bool(words & GIVING) or following == "for" or clause.cued("plan", "not_done")


def _weight_like(doses: list[Item]) -> bool:
    return any(one.used for one in doses)
