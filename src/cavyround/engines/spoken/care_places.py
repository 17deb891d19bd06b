"""Care told at a place where only one small job is ever done: "nails I've left", "sac: sorted"."""

from collections.abc import Iterable

from cavyround.engines.spoken.care_telling import Told
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.sheets import Desk
from cavyround.engines.spoken.spots import Spot
from cavyround.knowledge.book import Knowledge

LOOKING = frozenset({"see", "look", "looked", "check", "checked", "seen", "looking", "weigh"})
LEFT = frozenset({"it", "them", "those", "that", "until", "till"})
# Nobody puts more words into saying that a job just spoken of is done or left.
SHORT = 9
# "I left the back ones": the nails of the hind feet.
ENDS_OF_BODY = frozenset({"back", "front_foot", "hind_foot", "foot"})


class CareOfPlace:
    """Finds what was done, left or put off at such a place."""

    def __init__(self, desk: Desk, book: Knowledge) -> None:
        """It reads from the desk which places were spoken of."""
        self.desk = desk
        self.sole = {
            region: one.care for one in book.words.care if one.sole for region in one.places
        }

    def told(self, clause: Clause, spots: list[Spot], told: Told) -> Iterable[tuple[str, Item]]:
        """The care, and the word that says how it stands with it; the word keeps the status."""
        if any(item.left_out and not _only_the_reason(clause, item) for item in clause.items):
            return
        aside = told.says("no_need", "custom", "before_today") and "because" not in clause.words
        if aside or "my" in clause.words:
            return
        said = [spot for spot in spots if spot.region in self.sole]
        if said:
            status, item = _status_here(clause, told)
            place = said[0].region
        else:
            status, item = self._of_topic(clause, spots, told)
            place = self._topic()
        if status and item is not None and place:
            item.notes["care_status"] = status
            yield self.sole[place], item

    def _topic(self) -> str:
        return next((spot.region for spot in self.desk.topic if spot.region in self.sole), "")

    def _of_topic(self, clause: Clause, spots: list[Spot], told: Told) -> tuple[str, Item | None]:
        """ "... but she was having none of it", "I'll do them Thursday", "sorted"."""
        if not self._topic() or len(clause.words) > SHORT:
            return "", None
        if spots and not self._ends_of_done(clause, spots):
            return "", None
        if any(item.has("about") or item.has("care") or item.name for item in clause.items):
            return "", None
        left = next((item for item in clause.items if _is_left(clause, item)), None)
        if left is not None:
            return "not_done", left
        if self._was_normal() or any(
            item.has("sign") and not item.has("verb") for item in clause.items
        ):
            return "", None
        return _status_after(clause, told)

    def _ends_of_done(self, clause: Clause, spots: list[Spot]) -> bool:
        """ "clipped the fronts, I left the back ones": an end of the body, of a job just told."""
        told = any(given.sentence == clause.sentence for _, given in self.desk.last_care)
        return told and all(spot.region in ENDS_OF_BODY for spot in spots)

    def _was_normal(self) -> bool:
        """Where all was well no job was spoken of."""
        return any(filed.finding == "normal" for _, filed in self.desk.last[-1:])


def _status_here(clause: Clause, told: Told) -> tuple[str, Item | None]:
    left = next((item for item in clause.items if _is_left(clause, item)), None)
    if left is not None:
        return "not_done", left
    if told.says("needs_it"):
        return "planned", clause.items[told.at("needs_it")[0]]
    return _status_after(clause, told)


def _status_after(clause: Clause, told: Told) -> tuple[str, Item | None]:
    items = clause.items
    looking = bool(LOOKING & set(clause.words))
    if told.says("refused") and not looking:
        return "not_done", items[told.at("refused")[0]]
    if told.says("denied") and told.says("doing") and not looking:
        return "not_done", items[told.at("denied")[0]]
    if told.says("dealt_with") and not told.says("to_come", "asked", "denied"):
        return "done", items[told.at("dealt_with")[0]]
    for family in ("to_come", "asked"):
        if told.says(family) and told.says("doing"):
            return "planned", items[told.at(family)[0]]
    return "", None


def _only_the_reason(clause: Clause, item: Item) -> bool:
    """ "didn't do his nails because he'd had them last week": why is history, not that."""
    return item.left_out == "history" and "because" in clause.words


def _is_left(clause: Clause, item: Item) -> bool:
    at = clause.items.index(item)
    before = clause.items[at - 1] if at else None
    after = clause.items[at + 1].word.split()[0] if at + 1 < len(clause.items) else ""
    first = item.word.split()[0] if item.word else ""
    if first == "left":
        after_i = before is not None and (before.word == "i" or before.tail == "ve")
        return after_i or after in LEFT or item.word in ("left it", "left them")
    if first == "no":
        return "either" in clause.words and item.cue("no") and bool(after)
    return (
        item.cue("not_done", "skip")
        and not set(item.word.split()) & LOOKING
        and first not in ("leaving", "so", "cant")
    )
