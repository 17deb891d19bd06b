"""How far the network's answers are from what the words say."""

from collections.abc import Sequence
from dataclasses import dataclass

import torch
from torch import Tensor
from torch.nn import functional

from training import codes
from training.lessons import Lesson, batch_of
from training.network import Network
from training.owners import owner_scores
from training.truths import care_in, owners_in, signs_in, truths_of

# How much each answer counts beside finding, care, name, region, side and status, which count 1.
BLANKET, SKIPPED, USED, LEFT_OUT = 0.5, 0.5, 0.1, 0.15
GRADE, KIND, SIDE_OF_CARE, OWNER = 0.3, 0.3, 0.5, 1.5
SCALE = 1 / 8
Answers = dict[str, Tensor]


def loss_of(network: Network, lessons: Sequence[Lesson]) -> Tensor:
    """The mean loss of a batch of lessons."""
    batch = batch_of(lessons)
    answers, states = network(*batch.read)
    loss = (
        _of_words(network, lessons, answers, batch.words)
        + _of_signs(network, lessons, answers)
        + _of_care(lessons, answers)
    )
    for number, lesson in enumerate(lessons):
        loss = loss + OWNER * _of_owners(network, lesson, states[number])
    return loss / len(lessons) * SCALE


def _of_words(
    network: Network, lessons: Sequence[Lesson], answers: Answers, there: Tensor
) -> Tensor:
    """Of every word: what it carries, whether it names, and why it is left out."""
    truth = truths_of(lessons, network.learned, there)
    return (
        _each_for_itself(answers["F"], truth.findings, truth.scored)
        + _each_for_itself(answers["K"], truth.care, there)
        + BLANKET * _each_for_itself(answers["B"], truth.blankets, there)
        + SKIPPED * _each_for_itself(answers["S"], truth.skipped, there)
        + USED * _each_for_itself(answers["U"], truth.used, there)
        + _one_of(answers["M"], truth.names, there)
        + LEFT_OUT * _one_of(answers["X"], truth.left_out, truth.left_out_marked)
    )


def _each_for_itself(scores: Tensor, truth: Tensor, trust: Tensor) -> Tensor:
    """Loss where any number of columns may hold."""
    loss = functional.binary_cross_entropy_with_logits(scores, truth, reduction="none")
    return (loss.sum(-1) * trust).sum()


def _one_of(scores: Tensor, truth: Tensor, trust: Tensor) -> Tensor:
    """Loss where exactly one column holds."""
    loss = functional.cross_entropy(
        scores.reshape(-1, scores.shape[-1]), truth.reshape(-1), reduction="none"
    )
    return (loss.view(truth.shape) * trust).sum()


@dataclass(frozen=True, slots=True)
class _At:
    """The answers at some words of a batch."""

    answers: Answers
    lessons: Sequence[int]
    words: Sequence[int]

    def of(self, name: str) -> Tensor:
        return self.answers[name][list(self.lessons), list(self.words)]

    def one_of(self, name: str, known: Sequence[str], said: Sequence[str]) -> Tensor:
        """Loss of an answer that is one of these codes; an unknown code counts as the first."""
        truth = torch.tensor([known.index(one) if one in known else 0 for one in said])
        return functional.cross_entropy(self.of(name), truth, reduction="sum")


def _of_signs(network: Network, lessons: Sequence[Lesson], answers: Answers) -> Tensor:
    """Of the words that carry a finding: where, on which side, how it stands."""
    found = signs_in(lessons, network.learned)
    if not found:
        return torch.zeros(())
    signs = [sign for _, sign in found]
    at = _At(answers, [number for number, _ in found], [sign.at for sign in signs])
    regions = torch.zeros(len(signs), len(network.learned.regions))
    for row, sign in enumerate(signs):
        for region in sign.regions:
            regions[row, network.learned.regions.index(region)] = 1
    loss = (
        _each_for_itself(at.of("R"), regions, torch.ones(len(signs)))
        + at.one_of("side", codes.SIDES, [one.side for one in signs])
        + at.one_of("stat", codes.STATUSES, [one.status for one in signs])
        + GRADE * at.one_of("grade", codes.GRADES, [one.grade for one in signs])
        + KIND * at.one_of("kind", codes.KINDS, [one.kind for one in signs])
    )
    changes = [row for row, sign in enumerate(signs) if sign.finding == "weight_change"]
    if changes:
        truth = torch.tensor([signs[row].change for row in changes])
        loss = loss + functional.cross_entropy(at.of("vs")[changes], truth, reduction="sum")
    return loss


def _of_care(lessons: Sequence[Lesson], answers: Answers) -> Tensor:
    """Of the words that tell care: how it stands, and on which side."""
    found = care_in(lessons)
    if not found:
        return torch.zeros(())
    care = [one for _, one in found]
    at = _At(answers, [number for number, _ in found], [one.at for one in care])
    return at.one_of(
        "kst", codes.CARE_STATUSES, [one.status for one in care]
    ) + SIDE_OF_CARE * at.one_of("kside", codes.SIDES, [one.side for one in care])


def _of_owners(network: Network, lesson: Lesson, states: Tensor) -> Tensor:
    """Of whom each word is said, where there are several it may be said of."""
    labels = lesson.labels
    owners = owners_in(labels, network.learned)
    nobody = len(labels.animals)
    if nobody <= 1 or not labels.named or not owners:
        return torch.zeros(())
    scores = owner_scores(network, states, lesson, [at for at, _ in owners])
    named = {animal for _, _, animal in labels.named}
    truth = torch.zeros(len(owners), nobody + 1)
    for row, (_, animals) in enumerate(owners):
        for animal in animals:
            truth[row, animal if animal in named else nobody] = 1
    columns = [*sorted(named), nobody]
    return functional.binary_cross_entropy_with_logits(
        scores[:, columns], truth[:, columns], reduction="sum"
    )
