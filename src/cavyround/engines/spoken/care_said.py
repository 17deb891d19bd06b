"""Which care a clause tells: by its name, its product, its verb, or a word for what was named."""

from dataclasses import dataclass

from cavyround.engines.spoken.care_places import CareOfPlace
from cavyround.engines.spoken.care_scope import near_care
from cavyround.engines.spoken.care_telling import Told, telling_of
from cavyround.engines.spoken.care_verbs import care_by_verb
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.doses import LARGEST_DOSE
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk
from cavyround.engines.spoken.spots import Spot
from cavyround.knowledge.book import Knowledge

# Spoken of in many ways, so that naming one does not tell that it was given.
TALKED_OF = frozenset({"medicine_dose", "vitamin_c", "probiotic", "bath"})
# The animal takes these, or does not.
TAKEN = frozenset({"medicine_dose", "vitamin_c", "probiotic", "syringe_feed"})
# "she's had this morning's".
DAY_PARTS = frozenset({"morning", "evening", "afternoon", "arvo", "today", "tonight", "night"})
# From here on a number alone is rather a weight than a dose.
LEAST_BARE = 60
# So many words before a medicine still tell of it alone: "and her evening metacam at eight".
FIRST_WORDS = 4

# By its code: the words that tell the care, and the product.
Found = dict[str, tuple[list[Item], str]]


@dataclass(frozen=True, slots=True)
class Said:
    """One care as a clause tells it, with the words around it."""

    care: str
    items: list[Item]
    product: str
    near: list[Item]
    told: Told


class CareSaid:
    """Finds the care of one clause after another; it keeps in mind what medicine is spoken of."""

    def __init__(self, desk: Desk, book: Knowledge) -> None:
        """It reads from the desk which places were spoken of."""
        self.desk = desk
        self.telling = telling_of(book)
        self.by_product = book.words.product_care
        self.places = CareOfPlace(desk, book)
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

    def found(self, clause: Clause, spots: list[Spot]) -> list[Said]:
        """Each care of a clause: its code, the words that tell it, the product if one was said."""
        found: Found = {}
        # "He's had his antibiotic, a probiotic an hour later, and ...": the list is given.
        going_on = self.giving == clause.sentence
        for item in clause.items:
            if not item.left_out or _just_now(clause, item):
                if "care_listed" in item.notes:
                    product = item.mark.code("product") if item.mark else ""
                    found.setdefault(item.notes["care_listed"], ([item], product))
                    continue
                self._by_name(clause, item, found, going_on=going_on)
        told = self.telling.of(clause.items)
        if found and told.says("did") and not told.says("denied", "refused"):
            self.giving = clause.sentence
        for code, item in care_by_verb(clause, spots, self.desk, told):
            found.setdefault(code, ([item], ""))
        self._by_pronoun(clause, found)
        if not found:
            for code, item in self.places.told(clause, spots, told):
                found[code] = ([item], "")
        _drop_said_twice(clause, found)
        said = [self._said(clause, *one) for one in found.items()]
        return [one for one in said if not _is_beside(one)]

    def by_note(self, clause: Clause, care: str, item: Item) -> Said:
        """A care that another reading found at an item."""
        return self._said(clause, care, ([item], ""))

    def _said(self, clause: Clause, care: str, of: tuple[list[Item], str]) -> Said:
        items, product = of
        near = near_care(clause, items[0], taken=care in TAKEN)
        return Said(care, items, product, near, self.telling.of(near))

    def _amount_of_product(self, clause: Clause) -> bool:
        """ "still on her antibiotic, half a mil this morning": the amount says it was given."""
        unit = any(one.has("unit", "ml") or one.has("unit", "mg") for one in clause.items)
        return unit and self.product_at == clause.sentence and not clause.cued("plan")

    def _lacks_amount(self, clause: Clause) -> bool:
        """ "gave her metacam, point two mil": the amount is of the dose just told."""
        return any(
            one.care == "medicine_dose" and one.sentence == clause.sentence and one.value is None
            for _, one in self.desk.last_care
        )

    def _by_pronoun(self, clause: Clause, found: Found) -> None:
        """ "gave it", "had his fifty": what was spoken of before."""
        if found or not self.desk.care_topic:
            return
        if self._amount_of_product(clause) and not self._lacks_amount(clause):
            found["medicine_dose"] = ([clause.items[0]], self.product)
            return
        given = [one for one in clause.items if one.has("given") and not one.left_out]
        gave = [one for one in given if one.word in ("gave", "given", "had", "took", "dosed")]
        doses = [
            one
            for one in clause.items
            if one.number and not one.left_out and one.number.value <= LARGEST_DOSE
        ]
        obj = any(word in ("it", "them", "that") for word in clause.words)
        todays = any(one.tail == "s" and one.word in DAY_PARTS for one in clause.items)
        if gave and (
            todays
            or (gave[0].word == "gave" and obj)
            or (doses and not any(one.used for one in doses))
        ):
            product = self.product if self.desk.care_topic == "medicine_dose" else ""
            found[self.desk.care_topic] = ([gave[0]], product)

    def _by_name(self, clause: Clause, item: Item, found: Found, *, going_on: bool) -> None:
        for one in item.of("care"):
            code = one.code
            if code in TALKED_OF and not (going_on or self._is_given(clause, item)):
                continue
            if code == "wound_clean" and item.cue("no"):
                continue
            if code == "vet_call":
                # "I'd like the vet to see that so I've booked him in": what came of it counts.
                found.pop(code, None)
            found.setdefault(code, ([item], ""))
        for one in item.of("product"):
            code = self.by_product.get(one.code, "medicine_dose")
            if not going_on and not self._is_given(clause, item):
                continue
            if code == "cream" and not {"cream", "on", "put"} & set(clause.words):
                continue
            kept, _ = found.pop(code, ([], ""))
            found[code] = ([*kept, item], one.code)

    def _is_given(self, clause: Clause, item: Item) -> bool:
        """Whether a clause tells more of a medicine or a bath than its name."""
        near = near_care(clause, item)
        told = self.telling.of(near)
        if item.word.startswith("bath"):
            return _is_bath(clause, item, told)
        amount = any(one.has("unit", "mg") or one.has("unit", "ml") for one in near)
        if told.says("regime", "custom") and not (told.says("did") and amount):
            return False
        words = set(clause.words)
        if amount or told.says("did", "refused", "denied", "to_come", "asked", "half"):
            return True
        if near[-1].word == "in" or "tolerated" in words:
            return True
        first = clause.items.index(item) <= FIRST_WORDS
        signs = any(one.has("sign") and not one.has("care") for one in near)
        if first and not signs and (told.says("when") or _has_no_before(near, item)):
            return True
        numbers = [one for one in clause.items if one.number and not one.left_out]
        return any(one.number and one.number.value < LEAST_BARE for one in numbers) and (
            clause.items[0] is item or bool({"of", "for"} & words)
        )


def _has_no_before(near: list[Item], item: Item) -> bool:
    """ "no metacam today"."""
    at = near.index(item)
    return bool(at) and near[at - 1].word == "no" and len(near) <= FIRST_WORDS + 1


def _is_beside(said: Said) -> bool:
    """What is no care of now: not needed, of an earlier day, a custom, or how it is prescribed."""
    item = said.items[0]
    if "care_listed" in item.notes or "care_status" in item.notes or item.left_out:
        return False
    if said.care == "vet_call":
        # "someone ring the vet": nobody has yet.
        return said.told.says("asked")
    told = said.told
    if told.says("regime") and said.care in TAKEN and not told.says("did"):
        return not any(one.has("unit", "ml") or one.has("unit", "mg") for one in said.near)
    at = said.near.index(item)
    if said.care in TAKEN and [one.word for one in said.near[max(0, at - 2) : at]] == ["out", "of"]:
        # "we've run out of metacam": of the cupboard.
        return True
    if told.says("custom") or (told.says("no_need") and not told.says("did")):
        return True
    today = {"today", "tonight", "now", "again", "tomorrow"} & {one.word for one in said.near}
    return told.says("before_today") and not told.says("to_come") and not today


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
    for wide, close in (
        ("wound_clean", "nail_stop_bleed"),
        ("bath", "eye_wipe"),
        ("bath", "bottom_wash"),
        ("bath", "wound_clean"),
        ("bath", "foot_soak"),
        ("medicine_dose", "bath"),
        ("cream", "eye_drops"),
        ("wound_clean", "ear_wipe"),
        ("syringe_feed", "medicine_dose"),
        ("wound_clean", "foot_soak"),
        ("hair_removed", "coat_trim"),
        ("hair_removed", "brush"),
    ):
        if wide not in found or close not in found or not _is_one_thing(found, wide, close):
            continue
        if wide != "syringe_feed" or found[wide][0][0].word.startswith("syringed"):
            del found[wide]


def _is_one_thing(found: Found, wide: str, close: str) -> bool:
    """Two cares told by neighbouring words, without a join between them."""
    one, other = found[wide][0][-1], found[close][0][-1]
    return abs(one.start - other.start) <= FIRST_WORDS


def told_just_now(clause: Clause) -> bool:
    """Whether such a care is told."""
    return any(_just_now(clause, item) for item in clause.items)


def _just_now(clause: Clause, item: Item) -> bool:
    """ "he was moved to the end pen an hour ago": done, though told as past."""
    return (
        item.left_out == "history"
        and item.has("care", "moved")
        and clause.words[-1] == "ago"
        and bool({"hour", "hours", "minute", "minutes"} & set(clause.words))
    )


def _is_bath(clause: Clause, item: Item, told: Told) -> bool:
    """ "bathed him", "been wormed and bathed", "bath for Gizmo", "giving her a bath"."""
    at = clause.items.index(item)
    following = clause.items[at + 1].word if at + 1 < len(clause.items) else ""
    if item.word == "bathed":
        return following in ("him", "her", "them", "both", "") and following != "it"
    if told.says("did", "refused", "denied", "to_come", "asked", "when"):
        return True
    before = clause.items[at - 1].word if at else ""
    return following == "for" or before == "no"
