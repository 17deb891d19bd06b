"""Lists of jobs: "nails, ears, sac, all done", "still to do: bath and nails"."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from cavyround.engines.spoken.care_telling import Telling
from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.items import Item
from cavyround.knowledge.words import CareWords

FILLS = frozenset(["and", "his", "her", "the", "their", "both", "all", "a", "also", "plus", "too"])
STATUSES = {"list_left": "not_done", "list_to_come": "planned", "list_done": "done"}


class JobLists:
    """Marks the words of a list of jobs with the care they mean and how it stands with it."""

    def __init__(
        self, telling: Telling, care: Sequence[CareWords], by_product: Mapping[str, str]
    ) -> None:
        """It knows which place, and which product, stands for which care."""
        self._by_product = by_product
        self._telling = telling
        self._by_region = {region: one.care for one in care for region in one.listed}
        self._sole = {one.care for one in care if one.sole}

    def mark(self, clauses: Sequence[Clause]) -> None:
        """Mark all lists of a note."""
        for _, group in groupby(clauses, key=lambda one: one.sentence):
            for is_list, run in groupby(group, key=self._is_list):
                if is_list:
                    self._mark_run([item for clause in run for item in clause.items])

    def _is_list(self, clause: Clause) -> bool:
        said = self._statuses(clause.items)
        return all(
            index in said
            or item.name
            or item.word in FILLS
            or (not item.left_out and bool(self._care_of(item)))
            for index, item in enumerate(clause.items)
        )

    def _care_of(self, item: Item) -> str:
        if item.mark is None:
            return ""
        if care := item.mark.code("care"):
            return care
        if product := item.mark.code("product"):
            return self._by_product.get(product, "medicine_dose")
        regions = [one.code for one in item.mark_means() if one.sort in ("place", "places")]
        return next((self._by_region[one] for one in regions if one in self._by_region), "")

    def _statuses(self, items: Sequence[Item]) -> dict[int, str]:
        """By item: the status that a word over or under the list tells; empty: part of one."""
        told = self._telling.of(items)
        found: dict[int, str] = {}
        for family, status in STATUSES.items():
            for begin, end in told.spans(family):
                if begin not in found:
                    found[begin] = status
                    found.update(dict.fromkeys(range(begin + 1, end), ""))
        return found

    def _mark_run(self, items: Sequence[Item]) -> None:
        waiting: list[tuple[Item, str]] = []
        marked: list[tuple[Item, str, str]] = []
        head = ""
        for item, status in self._in_order(items):
            if status and waiting:
                marked += [(one, care, status) for one, care in waiting]
                waiting = []
            elif status:
                head = status
            elif care := self._care_of(item):
                if head:
                    marked.append((item, care, head))
                else:
                    waiting.append((item, care))
        if not any(item.has("care") or care in self._sole for item, care, _ in marked):
            return
        for item, care, status in marked:
            item.notes["care_listed"], item.notes["care_status"] = care, status

    def _in_order(self, items: Sequence[Item]) -> Iterator[tuple[Item, str]]:
        said = self._statuses(items)
        for index, item in enumerate(items):
            if said.get(index) != "":
                yield item, said.get(index, "")
