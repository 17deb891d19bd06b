"""Small care as it is told: done, partly, not done, planned; doses keep the unit that was said."""

from cavyround.engines.spoken.care_rounds import CareRounds
from cavyround.engines.spoken.care_said import CareSaid
from cavyround.engines.spoken.care_status import care_side, care_status, sample_of
from cavyround.engines.spoken.care_turns import turn
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.doses import amount_beside, drops_of
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk, Given
from cavyround.engines.spoken.spots import Spot
from cavyround.knowledge.book import Knowledge

ONCE = frozenset({"vet_call", "moved", "bath", "photo"})
ASKED_OF_OTHERS = frozenset({"someone", "somebody"})
MEASURED = frozenset({"medicine_dose", "vitamin_c", "syringe_feed", "probiotic"})


class Caring:
    """Reads the care of one clause after another."""

    def __init__(self, desk: Desk, book: Knowledge) -> None:
        """It files on the desk."""
        self.desk = desk
        self.by_code = {one.care: one for one in book.words.care}
        self.said = CareSaid(desk)
        self.rounds = CareRounds(desk)

    def file(self, clause: Clause, spots: list[Spot]) -> int:
        """File all care of a clause; returns how many items."""
        self.said.remember(clause)
        if any(
            item.left_out in ("hypothetical", "general_talk", "question", "history", "other_person")
            for item in clause.items
        ) and not any(item.has("care") and not item.left_out for item in clause.items):
            return 0
        if ASKED_OF_OTHERS & set(clause.words):
            # "Someone ring the vet": nobody has yet.
            return 0
        found = self.said.found(clause, spots)
        if self.rounds.begins(clause, [care for care, _, _ in found]):
            return 0
        if not found and (told := self.rounds.told(clause, spots)):
            found = [(told[0], [told[1]], "")]
        if not found and not spots and turn(clause, self.desk):
            return 1
        found = [one for one in found if not self._is_word_for_last(clause, one)]
        filed = 0
        for care, its_items, product in found:
            self._file(clause, care, its_items, product, spots, begins=filed == 0)
            filed += 1
        return filed

    def _file(
        self,
        clause: Clause,
        care: str,
        its_items: list[Item],
        product: str,
        spots: list[Spot],
        *,
        begins: bool,
    ) -> None:
        status = care_status(clause, care, its_items[0])
        entry = self.by_code[care]
        side = care_side(care, spots, self.desk)
        value, unit = None, None
        measured: list[Item] = []
        if care in MEASURED:
            value, unit, measured = amount_beside(clause, its_items)
        elif care == "spot_on":
            value, unit, measured = drops_of(clause)
        for one in (*its_items, *measured):
            one.used = True
        if care == "medicine_dose" and not product:
            product = self._generic(its_items)
        if care == "sample":
            product = sample_of(clause)
        if self._is_told(care, status):
            return
        if begins:
            self.desk.last_care = []
        for name in self.desk.of_now:
            given = Given(
                care,
                side,
                status,
                [*its_items, *measured],
                product,
                value,
                unit,
                entry.step,
                clause.sentence,
            )
            self.desk.sheet(name).care.append(given)
            self.desk.last_care.append((name, given))
            if care in ("medicine_dose", "vitamin_c", "syringe_feed") and (
                value is not None and unit is None
            ):
                self.desk.sheet(name).asks.append(
                    ("dose_unit", f"{value} of what? Milligrams or millilitres?", tuple(measured))
                )

    def _is_word_for_last(self, clause: Clause, one: tuple[str, list[Item], str]) -> bool:
        """ "Eye drops done, that's the morning dose": no medicine beside them."""
        care, its_items, product = one
        if care != "medicine_dose" or product or not its_items[0].word.endswith("dose"):
            return False
        return (
            bool(clause.words)
            and clause.words[0] in ("that", "thats", "this")
            and any(given.sentence == clause.sentence for _, given in self.desk.last_care)
        )

    def _is_told(self, care: str, status: str) -> bool:
        """ "I've cut the fronts. Backs I'll do on Friday"; "rung the vet, they'll see him"."""
        alike = [
            one
            for name, one in self.desk.last_care
            if one.care == care and name in self.desk.of_now
        ]
        partly = status == "planned" and any(one.status == "partly" for one in alike)
        return partly or (care in ONCE and bool(alike))

    @staticmethod
    def _generic(its_items: list[Item]) -> str:
        for one in its_items:
            for product in one.of("product"):
                return product.code
        return ""
