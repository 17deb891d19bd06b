"""At the end of a note: whose the unnamed findings are, and what a group shares."""

from copy import copy

from cavyround.engines.spoken.clauses import Clause
from cavyround.engines.spoken.sheets import UNNAMED, Desk, Filed, Sheet

IDENTIFIES = frozenset(
    {"thats", "that", "this", "its", "it", "arent", "name", "called", "for", "poor"}
)


class Settling:
    """Puts the sheets in order."""

    def __init__(self, desk: Desk, clauses: list[Clause], checking: str) -> None:
        """``checking``: the animal on the table."""
        self.desk = desk
        self.clauses = clauses
        self.checking = checking

    def sheets(self) -> list[Sheet]:
        """All sheets with something said, in the order of naming."""
        self._give_unnamed()
        self._share_group()
        for sheet in self.desk.sheets.values():
            _settle(sheet)
        return (
            [
                sheet
                for name, sheet in self.desk.sheets.items()
                if sheet.findings
                or sheet.care
                or sheet.blanket
                or sheet.skipped
                or name in self.desk.named
            ]
            if self._anything()
            else []
        )

    def _anything(self) -> bool:
        return any(
            sheet.findings or sheet.care or sheet.blanket or sheet.skipped
            for sheet in self.desk.sheets.values()
        )

    def _give_unnamed(self) -> None:
        unnamed = self.desk.sheets.get(UNNAMED)
        if unnamed is None or not self.desk.named:
            return
        if self._is_of_all(unnamed):
            for name in self.desk.named:
                sheet = self.desk.sheet(name)
                sheet.findings = [*map(copy, unnamed.findings), *sheet.findings]
            del self.desk.sheets[UNNAMED]
            return
        owner = self.desk.named[0] if len(self.desk.named) == 1 else self._identified()
        if not owner:
            return
        sheet = self.desk.sheet(owner)
        later, sheet.findings = sheet.findings, []
        for filed in (*unnamed.findings, *later):
            sheet.file(filed)
        sheet.care = [*unnamed.care, *sheet.care]
        sheet.blanket += unnamed.blanket
        sheet.skipped = {**unnamed.skipped, **sheet.skipped}
        sheet.asks = [*unnamed.asks, *sheet.asks]
        del self.desk.sheets[UNNAMED]

    def _is_of_all(self, unnamed: Sheet) -> bool:
        """ "No sneezing in any of them. Patch six hundred …": of all that are named later."""
        several = len(self.desk.named) > 1
        if not several or unnamed.care or unnamed.blanket or not unnamed.findings:
            return False
        sentences = {
            clause.sentence for clause in self.clauses if "of them" in " ".join(clause.words)
        }
        of_all = {
            id(item)
            for clause in self.clauses
            if clause.sentence in sentences
            for item in clause.items
        }
        return all(any(id(item) in of_all for item in one.items) for one in unnamed.findings)

    def _identified(self) -> str:
        """The first animal named; what came before is said of it."""
        for clause in self.clauses:
            for item in clause.items:
                if item.name and set(clause.words) & IDENTIFIES:
                    return item.name
        empty = all(not self.desk.sheet(name).findings for name in self.desk.named)
        return self.desk.named[-1] if empty else ""

    def _share_group(self) -> None:
        group = self.desk.sheets.get(self.desk.group) if self.desk.group else None
        if group is None:
            return
        for name in self.desk.named:
            sheet = self.desk.sheet(name)
            for filed in group.findings:
                if not any(one.is_same_sign(filed) for one in sheet.findings):
                    sheet.findings.append(filed)


def _contradicted(normal: Filed, findings: list[Filed]) -> bool:
    """A region is not as it should be where the same breath found something at it."""
    return any(
        one.finding != "normal"
        and one.status == "present"
        and one.region == normal.region
        and one.side == normal.side
        and set(map(id, one.items)) & set(map(id, normal.items))
        for one in findings
        if one.finding == "foreign_body"
    )


def _settle(sheet: Sheet) -> None:
    """Of several weights the last counts; a size without a lump is none."""
    weights = [one for one in sheet.findings if one.finding == "weight"]
    kept: list[Filed] = []
    for filed in sheet.findings:
        if filed.finding == "weight" and filed is not weights[-1]:
            continue
        kept.append(filed)
    kept = [one for one in kept if not (one.finding == "normal" and _contradicted(one, kept))]
    less = {"eating_less", "not_eating"}
    if any(one.finding in less and one.status == "present" for one in kept):
        kept = [one for one in kept if one.finding != "eating_normally"]
    sheet.findings = kept
