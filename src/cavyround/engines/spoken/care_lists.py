"""Lists of jobs: "nails, ears, sac, all done", "still to do: bath and nails"."""

from collections.abc import Mapping, Sequence
from itertools import groupby

from cavyround.engines.spoken.care_status import DONE_BY_TELLING
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
                    self._mark_run([clause.items for clause in run])

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
            return "" if care in DONE_BY_TELLING else care
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

    def _mark_run(self, clauses: Sequence[Sequence[Item]]) -> None:
        waiting: list[tuple[Item, str]] = []
        marked: list[tuple[Item, str, str]] = []
        head = ""
        for items in clauses:
            told, left, status = self._of_clause(items)
            marked += told
            if left and (status or head):
                marked += [(item, care, status or head) for item, care in left]
            elif left:
                waiting += left
            elif status and waiting:
                marked += [(item, care, status) for item, care in waiting]
                waiting = []
            elif status and not told:
                head = status
        if not any(item.has("care") or care in self._sole for item, care, _ in marked):
            return
        for item, care, status in marked:
            item.notes["care_listed"], item.notes["care_status"] = care, status

    def _of_clause(
        self, items: Sequence[Item]
    ) -> tuple[list[tuple[Item, str, str]], list[tuple[Item, str]], str]:
        """What a clause tells by itself, the jobs that it leaves open, and the status it ends with.

        "vitamin C not done" tells all; "nails" leaves one open; "all done" is a status alone.
        """
        said = self._statuses(items)
        told: list[tuple[Item, str, str]] = []
        left: list[tuple[Item, str]] = []
        status = ""
        for index, item in enumerate(items):
            care = self._care_of(item)
            if care and said.get(index):
                # "nails done": a care that tells its own status.
                continue
            if care:
                left.append((item, care))
            elif said.get(index):
                status = said[index]
                told += [(one, code, status) for one, code in left]
                left = []
        return told, left, status
