"""What a clause without a sign adds: "left as well", "all gone", "not sure", "nothing"."""

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.engines.spoken.put_right import PuttingRight
from cavyround.engines.spoken.sheets import Desk, Filed
from cavyround.engines.spoken.spots import Spot
from cavyround.engines.spoken.steps import step_of
from cavyround.engines.spoken.taking_back import TakingBack
from cavyround.facts.observation import Side, Status
from cavyround.knowledge.book import Knowledge

LUMPY = frozenset({"chin", "neck", "belly", "groin", "chest", "shoulder", "flank", "back", "rump"})


class Adding:
    """Reads the clauses in which no sign was found."""

    def __init__(self, desk: Desk, book: Knowledge) -> None:
        """It works on the desk."""
        self.desk = desk
        self.book = book
        self.taking_back = TakingBack(desk)
        self.putting_right = PuttingRight(desk)

    def add(self, clause: Clause, spots: list[Spot], *, done: int) -> int:
        """File it; ``done`` is the care and the skipped steps the clause told already."""
        items = [item for item in clause.items if not item.left_out]
        back = self.taking_back
        if not items:
            back.not_its_own(clause)
            return 0
        if back.sorts_out(clause, items, spots):
            return 1
        if (not done or self.desk.home) and back.is_gone(items, spots, self.book):
            return 1
        back.not_its_own(clause)
        if not done and back.lacks(clause, items, spots, self.book):
            return 1
        if back.excuses(clause) or (not spots and back.doubts(items)):
            return 0
        sided = [spot for spot in spots if spot.side in (Side.LEFT, Side.RIGHT, Side.BOTH)]
        self.putting_right.side_of_care(clause, sided)
        if done or not spots:
            return 0
        return self._at_places(clause, items, spots, sided)

    def _at_places(
        self, clause: Clause, items: list[Item], spots: list[Spot], sided: list[Spot]
    ) -> int:
        words = {word for item in items for word in item.word.split()}
        if self.putting_right.is_place_of_last(spots, self.book, words):
            return 1
        unfelt = "anything" in words and any(item.cue("no") for item in items)
        if unfelt or any(item.cue("nothing") for item in items):
            return self._nothing(spots, items)
        return self.putting_right.again_or_put_right(clause, sided, words) if sided else 0

    def _nothing(self, spots: list[Spot], items: list[Item]) -> int:
        filed = 0
        for spot in spots:
            lumpy = spot.region in LUMPY
            finding = "lump" if lumpy else "normal"
            status = Status.ABSENT if lumpy else Status.PRESENT
            used = [*spot.items, *[item for item in items if item.cue("nothing")]]
            for item in used:
                item.used = True
            self.desk.file(
                Filed(
                    spot.region,
                    finding,
                    spot.side,
                    status,
                    used,
                    step=step_of(spot.region, finding, self.book),
                ),
                begins=filed == 0,
            )
            filed += 1
        return filed
