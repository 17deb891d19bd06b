"""Small care as it is told: done, partly, not done, planned; doses keep the unit that was said."""

from cavyround.engines.spoken.care_said import CareSaid
from cavyround.engines.spoken.care_status import care_side, care_status, sample_of
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.doses import amount_beside, drops_of
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk, Given
from cavyround.engines.spoken.spots import Spot
from cavyround.knowledge.book import Knowledge

DOSED = frozenset({"medicine_dose", "vitamin_c", "syringe_feed", "spot_on", "probiotic"})
MEASURED = frozenset({"medicine_dose", "vitamin_c", "syringe_feed", "probiotic"})


class Caring:
    """Reads the care of one clause after another."""

    def __init__(self, desk: Desk, book: Knowledge) -> None:
        """It files on the desk."""
        self.desk = desk
        self.by_code = {one.care: one for one in book.words.care}
        self.said = CareSaid(desk)

    def file(self, clause: Clause, spots: list[Spot]) -> int:
        """File all care of a clause; returns how many items."""
        self.said.remember(clause)
        if any(
            item.left_out in ("hypothetical", "general_talk", "question", "history", "other_person")
            for item in clause.items
        ) and not any(item.has("care") and not item.left_out for item in clause.items):
            return 0
        found = self.said.found(clause, spots)
        if not found and not spots:
            self._put_off(clause)
        filed = 0
        for care, its_items, product in found:
            self._file(clause, care, its_items, product, spots, begins=filed == 0)
            filed += 1
        return filed

    def _put_off(self, clause: Clause) -> None:
        """ "haven't cut them, will do Sunday"; "next lot in two weeks"."""
        plan = [item for item in clause.items if item.cue("plan") and not item.left_out]
        future = plan or [item for item in clause.items if item.tail == "ll"]
        if not future or any(item.has("sign") or item.number for item in clause.items):
            return
        doing = set(clause.words) & {"do", "done", "finish", "try"}
        again = any(item.word.startswith(("next", "second")) for item in future)
        for name, given in list(self.desk.last_care):
            if clause.sentence - given.sentence > 1:
                continue
            if given.status == "not_done" and doing:
                given.status = "planned"
                given.items += future
            elif again and given.status == "done" and given.care in DOSED:
                later = Given(
                    given.care,
                    given.side,
                    "planned",
                    list(future),
                    given.product,
                    sentence=clause.sentence,
                )
                self.desk.sheet(name).care.append(later)

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

    @staticmethod
    def _generic(its_items: list[Item]) -> str:
        for one in its_items:
            for product in one.of("product"):
                return product.code
        return ""
