"""What the network should have answered, as numbers."""

from collections.abc import Sequence
from typing import NamedTuple

import torch
from torch import Tensor

from training import codes
from training.labelled import CareOfWord, Labelled, SignOfWord
from training.learned_codes import LearnedCodes
from training.lessons import Lesson

# A text in which nothing is marked as left out may still hold what should be.
NOT_MARKED = 0.2
BEGINS, GOES_ON = 1, 2


class Truths(NamedTuple):
    """For each word of a batch what it carries, and how far each answer is to be trusted.

    ``scored`` is nought at words on which readers may differ; ``left_out_marked`` is small in
    texts in which nothing is marked as left out.
    """

    findings: Tensor
    scored: Tensor
    care: Tensor
    blankets: Tensor
    skipped: Tensor
    used: Tensor
    names: Tensor
    left_out: Tensor
    left_out_marked: Tensor


def truths_of(lessons: Sequence[Lesson], learned: LearnedCodes, there: Tensor) -> Truths:
    """What every word should be answered; ``there`` is nought where a shorter text has none."""
    size = there.shape

    def empty(name: str) -> Tensor:
        return torch.zeros(*size, learned.heads[name][1])

    truths = Truths(
        findings=empty("F"),
        scored=there.clone(),
        care=empty("K"),
        blankets=empty("B"),
        skipped=empty("S"),
        used=empty("U"),
        names=torch.zeros(size, dtype=torch.long),
        left_out=torch.zeros(size, dtype=torch.long),
        left_out_marked=there.clone(),
    )
    for number, lesson in enumerate(lessons):
        _fill(Truths(*(each[number] for each in truths)), lesson.labels, learned)
    return truths


def _fill(truths: Truths, labels: Labelled, learned: LearnedCodes) -> None:
    """Write what one text says into its part of the batch."""
    _fill_findings(truths, labels, learned)
    for at in labels.used:
        truths.used[at, 0] = 1
    for begin, end, _ in labels.named:
        truths.names[begin] = BEGINS
        truths.names[begin + 1 : end] = GOES_ON
    for at, kind in labels.left_out:
        truths.left_out[at] = codes.LEFT_OUT.index(kind)
    if not labels.left_out:
        truths.left_out_marked.mul_(NOT_MARKED)


def _fill_findings(truths: Truths, labels: Labelled, learned: LearnedCodes) -> None:
    for sign in labels.signs:
        if sign.finding in learned.findings:
            truths.findings[sign.at, learned.findings.index(sign.finding)] = 1
    for at in labels.unscored:
        truths.scored[at] = 0
    for given in labels.care:
        truths.care[given.at, learned.care.index(given.care)] = 1
    for at, _ in labels.blankets:
        truths.blankets[at, 0] = 1
    for at, _, step in labels.skipped:
        truths.skipped[at, learned.steps.index(step)] = 1


def signs_in(lessons: Sequence[Lesson], learned: LearnedCodes) -> list[tuple[int, SignOfWord]]:
    """The findings of a batch, each with the number of its lesson."""
    return [
        (number, sign)
        for number, lesson in enumerate(lessons)
        for sign in lesson.labels.signs
        if sign.finding in learned.findings
    ]


def care_in(lessons: Sequence[Lesson]) -> list[tuple[int, CareOfWord]]:
    """The care of a batch, each with the number of its lesson."""
    return [(number, one) for number, lesson in enumerate(lessons) for one in lesson.labels.care]


def owners_in(labels: Labelled, learned: LearnedCodes) -> list[tuple[int, set[int]]]:
    """The words of a text that are said of somebody, and of whom."""
    owners = [(one.at, one.owners) for one in labels.signs if one.finding in learned.findings]
    owners += [(one.at, one.owners) for one in labels.care]
    for first, _ in labels.blankets[:1]:
        owners.append((first, {animal for at, animal in labels.blankets if at == first}))
    owners += [(at, {animal}) for at, animal, _ in labels.skipped]
    return owners
