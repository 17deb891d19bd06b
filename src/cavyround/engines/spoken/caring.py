"""Small care as it is told: done, partly, not done, planned; doses keep the unit that was said."""

from decimal import Decimal

from cavyround.engines.spoken.care_rounds import CareRounds
from cavyround.engines.spoken.care_said import CareSaid, Said, told_just_now
from cavyround.engines.spoken.care_status import (
    IN_PARTS,
    SIDED,
    care_side,
    care_status,
    sample_of,
)
from cavyround.engines.spoken.care_turns import REPEATED, again, turn
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.doses import amount_beside, drops_of
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk, Given
from cavyround.engines.spoken.spots import Spot
from cavyround.knowledge.book import Knowledge

ONCE = frozenset({"vet_call", "moved", "bath", "photo"})
# What was said first, and what is said then: the last word counts.
PUT_RIGHT = frozenset({("planned", "done"), ("not_done", "planned")})
# "I've cut the fronts. Backs I'll do on Friday": partly says it.
SAID_ENOUGH = frozenset({("partly", "planned"), ("planned", "not_done"), ("partly", "not_done")})
MEASURED = frozenset({"medicine_dose", "vitamin_c", "syringe_feed", "probiotic"})


class Caring:
    """Reads the care of one clause after another."""

    def __init__(self, desk: Desk, book: Knowledge) -> None:
        """It files on the desk."""
        self.desk = desk
        self.by_code = {one.care: one for one in reversed(book.words.care)}
        self.sample_kinds = {
            word: kind for kind, words in book.words.sample_kinds.items() for word in words
        }
        self.said = CareSaid(desk, book)
        self.rounds = CareRounds(desk)

    def file(self, clause: Clause, spots: list[Spot]) -> int:
        """File all care of a clause; returns how many items."""
        self.said.remember(clause)
        if any(
            item.left_out in ("hypothetical", "general_talk", "question", "history", "other_person")
            for item in clause.items
        ) and not self._is_readable(clause):
            return 0
        found = self.said.found(clause, spots)
        if self.rounds.begins(clause, [one.care for one in found]):
            return 0
        if not found and (told := self.rounds.told(clause, spots)):
            care, item = told
            found = [self.said.by_note(clause, care, item)]
        if not found and not spots and turn(clause, self.desk):
            return 1
        found = [one for one in found if not self._is_word_for_last(clause, one)]
        for index, one in enumerate(found):
            self._file(clause, one, spots, begins=index == 0)
        if found:
            last = clause.items.index(found[-1].near[-1])
            again(Clause(clause.items[last + 1 :], clause.sentence, opens=False), self.desk)
        return len(found)

    @staticmethod
    def _is_readable(clause: Clause) -> bool:
        """Care is told beside what is left out, or what is left out is only the reason."""
        if any(item.has("care") and not item.left_out for item in clause.items):
            return True
        reasons = {item.left_out for item in clause.items} - {""}
        return told_just_now(clause) or (reasons == {"history"} and "because" in clause.words)

    def _file(self, clause: Clause, said: Said, spots: list[Spot], *, begins: bool) -> None:
        care, its_items, product = said.care, said.items, said.product
        status = care_status(care, its_items[0], said.near, said.told)
        entry = self.by_code[care]
        side = care_side(care, its_items, spots, self.desk)
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
            product = sample_of(clause, self.sample_kinds)
        if self._is_told(clause, said, status, value):
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

    def _is_word_for_last(self, clause: Clause, one: Said) -> bool:
        """ "Eye drops done, that's the morning dose": no medicine beside them."""
        if one.care != "medicine_dose" or one.product or not one.items[0].word.endswith("dose"):
            return False
        return (
            bool(clause.words)
            and clause.words[0] in ("that", "thats", "this")
            and any(given.sentence == clause.sentence for _, given in self.desk.last_care)
        )

    def _is_told(self, clause: Clause, said: Said, status: str, value: Decimal | None) -> bool:
        """What was told of the same care just before is put right, or said once more."""
        alike = [
            one
            for name in self.desk.of_now
            for one in self.desk.sheet(name).care
            if one.care == said.care
            and (clause.sentence - one.sentence <= 1 or said.care in ONCE)
            and (said.care not in REPEATED or (value is None and one.product == said.product))
        ]
        turned = False
        for one in alike:
            rest = (one.status, status) == ("done", "not_done") and said.care in IN_PARTS
            if rest and one.sentence == clause.sentence:
                # "clipped the fronts, I left the back ones".
                one.status = "partly"
                turned = True
            elif (one.status, status) in PUT_RIGHT:
                one.status = status
                one.items += said.items
                turned = True
            # "wiped the left ear, wiped the right ear" are two.
            same = said.care not in REPEATED and one.status == status and said.care not in SIDED
            turned = turned or same or (one.status, status) in SAID_ENOUGH
        return turned or (said.care in ONCE and bool(alike))

    @staticmethod
    def _generic(its_items: list[Item]) -> str:
        for one in its_items:
            for product in one.of("product"):
                return product.code
        return ""
