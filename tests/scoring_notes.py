"""Compares what was read in notes with what a person read in them: by finding, care item and step.

The notes' form and the rules of reading are those of the knowledge's vocabulary: rows that say
``optional`` count for neither side; a side not said, both and middle are one where reading
leniently; regions of one step are near each other.
"""

import json
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from cavyround.knowledge.book import Knowledge

Note = Mapping[str, Any]
Row = Mapping[str, Any]
SAME_SIDE = frozenset({"N", "B", "M"})
# Beside the regions of one step, these are often meant for each other.
NEAR = ({"rump", "anus"}, {"face", "nose"}, {"mouth", "chin"}, {"belly", "nipple"})
NEAR_WHOLE = {"whole", "skin", "coat"}
# One gram for grams, three for pounds and ounces: what is lost in rounding to tenths of an ounce.
WITHIN_G = {"g": 1, "kg": 1}


def notes_in(path: Path) -> list[Note]:
    """The notes of a file, one to a line."""
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines() if line]


@dataclass(slots=True)
class Score:
    """Counts over notes, and what they come to."""

    counts: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)

    def f1(self, of: str = "") -> float:
        """The harmonic mean of precision and recall."""
        right = self.counts[f"{of}right"]
        wrong = self.counts[f"{of}extra"] + self.counts[f"{of}missed"]
        return 2 * right / max(1, 2 * right + wrong)

    @property
    def precision_of_present(self) -> float:
        """Of what was read as there, how much was said to be there."""
        right = self.counts["present right"]
        return right / max(1, right + self.counts["present extra"])


def score(
    gold: Iterable[Note], answers: Iterable[Note], book: Knowledge, *, strict: bool = False
) -> Score:
    """Compare answers with the notes of the same ids; a missing answer has read nothing."""
    known = {answer["id"]: answer for answer in answers}
    total = Score()
    for note in gold:
        _note(note, known.get(note["id"], {"animals": []}), _Alike(book, strict=strict), total)
    return total


@dataclass(frozen=True, slots=True)
class _Alike:
    book: Knowledge
    strict: bool

    def same(self, gold: Row, read: Row) -> bool:
        if gold["finding"] != read["finding"] or not _same_name(gold["animal"], read["animal"]):
            return False
        if self.strict:
            return bool(gold["region"] == read["region"] and gold["side"] == read["side"])
        return self._near(gold["region"], read["region"]) and _side(gold["side"], read["side"])

    def _near(self, one: str, other: str) -> bool:
        regions = self.book.vocabulary.regions
        pair = {one, other}
        return regions[one].step == regions[other].step or any(
            pair <= both for both in (*NEAR, NEAR_WHOLE)
        )


def _side(one: str, other: str) -> bool:
    return one == other or {one, other} <= SAME_SIDE


def _same_name(one: str, other: str) -> bool:
    one, other = one.lower().strip(), other.lower().strip()
    return (
        one == other
        or one.startswith("unnamed")
        or (one.startswith("group") and other.startswith("group"))
        or re.sub(r" \(.*", "", one) == re.sub(r" \(.*", "", other)
    )


def _rows(note: Note) -> list[Row]:
    return [{**row, "animal": one["animal"]} for one in note["animals"] for row in one["findings"]]


def _note(note: Note, answer: Note, alike: _Alike, total: Score) -> None:
    read = _rows(answer)
    unused = set(range(len(read)))
    for row in sorted(_rows(note), key=lambda row: row.get("optional", False)):
        _finding(note["id"], row, read, unused, alike, total)
    for j in sorted(unused):
        total.counts["extra"] += 1
        total.counts["present extra"] += read[j]["status"] == "present"
        total.faults.append(f"{note['id']} extra: {_words(read[j])}")
    for one in note["animals"]:
        other = next((a for a in answer["animals"] if _same_name(one["animal"], a["animal"])), None)
        _care(note["id"], one, other, total)
        _steps(note["id"], one, other, total)


def _finding(
    where: str, row: Row, read: list[Row], unused: set[int], alike: _Alike, total: Score
) -> None:
    optional = row.get("optional", False)
    accepted = {row["status"], row.get("status_also")}
    near = [j for j in sorted(unused) if alike.same(row, read[j])]
    found = next((j for j in near if optional or read[j]["status"] in accepted), None)
    if found is not None:
        unused.discard(found)
    if optional:
        return
    if found is None:
        total.counts["missed"] += 1
        total.faults.append(f"{where} missed: {_words(row)}")
        flipped = any({row["status"], read[j]["status"]} == {"present", "absent"} for j in near)
        total.counts["negation wrong"] += flipped
        return
    total.counts["right"] += 1
    total.counts["present right"] += read[found]["status"] == "present"
    if row["finding"] in ("weight", "weight_change"):
        off = abs((read[found].get("value_g") or 0) - row["value_g"])
        total.counts["weight wrong"] += off > WITHIN_G.get(row["unit"], 3)


def _care(where: str, one: Note, other: Note | None, total: Score) -> None:
    read = list(other["care"]) if other else []
    for row in one["care"]:
        found = next((c for c in read if _same_care(row, c)), None)
        if found is None:
            total.counts["care missed"] += 1
            total.faults.append(f"{where} missed: {row['care']} {row['status']}")
            planned = row["status"] == "planned"
            done = any(c["care"] == row["care"] and c["status"] == "done" for c in read)
            total.counts["planned as done"] += planned and done
            continue
        read.remove(found)
        total.counts["care right"] += 1
        total.counts["unit invented"] += bool(found.get("unit") and not row.get("unit"))
    total.counts["care extra"] += len(read)
    total.faults += [f"{where} extra: {c['care']} {c['status']}" for c in read]


def _same_care(row: Row, read: Row) -> bool:
    return bool(
        row["care"] == read["care"]
        and row["status"] == read["status"]
        and _side(row["side"], read["side"])
    )


def _steps(where: str, one: Note, other: Note | None, total: Score) -> None:
    scored = one["steps_named"] + one["steps_not_covered"]
    if one["blanket"] == "yes":
        scored = scored + one["steps_blanket"]
    for step in scored:
        said, read = _covered(step, one), _covered(step, other)
        total.counts["steps"] += 1
        total.counts["steps right"] += said == read
        if read == "named" and said != "named":
            total.counts["covered falsely"] += 1
            total.faults.append(f"{where} covered and not said: {step}")


def _covered(step: str, animal: Note | None) -> str:
    for how in ("named", "blanket"):
        if animal and step in animal[f"steps_{how}"]:
            return how
    return "none"


def _words(row: Row) -> str:
    return f"{row['animal']}: {row['region']} {row['side']} {row['finding']} {row['status']}"


def faults_of(total: Score, kind: str) -> Iterator[str]:
    """The faults of a kind, for a test that names them."""
    return (one for one in total.faults if f" {kind}:" in one)
