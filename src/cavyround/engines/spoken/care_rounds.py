"""One care for one animal after another: "nail day: Rosie done, Lulu done, Fifi we're skipping"."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk
from cavyround.engines.spoken.spots import FEET, Spot

HEADING = frozenset({"day", "today", "tonight", "round", "just", "only", "job", "duty", "session"})
TICKS = frozenset({"done", "did", "sorted", "had", "got"})
# "Tot's nails are trimmed, Tater's aren't".
DENIALS = frozenset({"arent", "isnt", "werent", "wasnt", "not"})
PLANNED = frozenset({"do", "done", "doing", "have", "get"})


class CareRounds:
    """Keeps in mind which care a round is about."""

    def __init__(self, desk: Desk) -> None:
        """It reads from the desk whose turn it is."""
        self.desk = desk
        self.care = ""

    def begins(self, clause: Clause, found: list[str]) -> bool:
        """Whether a clause only says what is done today, and of no animal yet."""
        heads = (
            len(found) == 1
            and not self.desk.current
            and not any(item.name or item.number for item in clause.items)
            and bool(HEADING & set(clause.words))
        )
        if heads:
            self.care = found[0]
        return heads

    def told(self, clause: Clause, spots: list[Spot]) -> tuple[str, Item] | None:
        """The care a clause tells by an animal's name alone, and the word that tells it."""
        names = [item for item in clause.items if item.name and not item.left_out]
        if not names or not self._may_tell(clause, spots):
            return None
        care = self.care or self._of_last(clause)
        telling = next((one for one in clause.items if self._tells(one)), None)
        if not care or telling is None:
            return None
        status = "done"
        if clause.cued("not_done", "skip") and "only" not in clause.words:
            status = "not_done"
        elif clause.cued("partly"):
            status = "partly"
        elif clause.cued("plan") or any(item.tail == "ll" for item in clause.items):
            status = "planned"
        elif any(item.word in DENIALS for item in clause.items):
            status = "not_done"
        if status == "done" and not self.care:
            return None
        telling.notes["care_status"] = status
        return care, telling

    def _may_tell(self, clause: Clause, spots: list[Spot]) -> bool:
        feet_only = all(spot.region in FEET.values() or spot.region == "foot" for spot in spots)
        signs = any(item.has("sign") and not item.has("verb") for item in clause.items)
        return feet_only and not signs and (not spots or self.care == "nail_trim")

    def _tells(self, item: Item) -> bool:
        return item.word in TICKS | PLANNED | DENIALS or item.cue("not_done", "skip", "partly")

    def _of_last(self, clause: Clause) -> str:
        """ "Spot on for Rosemary done, Thyme's I'll do when there is more"."""
        if not any(item.name and item.tail == "s" for item in clause.items):
            return ""
        recent = [one for _, one in self.desk.last_care if clause.sentence - one.sentence <= 1]
        return recent[0].care if recent else ""
