"""Of whom a word is said, while teaching: the tool's own is ``trained.owners``."""

import math
from collections.abc import Sequence

import torch
from torch import Tensor

from training.lessons import Lesson
from training.network import OWNER_WIDTH, Network

FURTHEST = 3
# An animal that is never named can be nobody's owner.
NEVER_NAMED = -9.0


def owner_scores(network: Network, states: Tensor, lesson: Lesson, words: Sequence[int]) -> Tensor:
    """For each of the words a score for each animal, and last for none that is named."""
    labels = lesson.labels
    words = list(words)
    said = network.qa(states[words])
    naming = network.ka(states[[begin for begin, _, _ in labels.named]])
    scores = said @ naming.T / math.sqrt(OWNER_WIDTH)
    relations = torch.tensor([relations_of(lesson, at) for at in words])
    scores = scores + network.rel(relations)[..., 0]
    columns = []
    for animal in range(len(labels.animals)):
        of_it = [index for index, (_, _, who) in enumerate(labels.named) if who == animal]
        columns.append(
            torch.logsumexp(scores[:, of_it], 1)
            if of_it
            else torch.full((len(words),), NEVER_NAMED)
        )
    return torch.stack([*columns, network.null(states[words])[:, 0]], 1)


def relations_of(lesson: Lesson, at: int) -> list[int]:
    """How each naming stands to a word: so many back or ahead, same sentence, as ruled."""
    labels, sentence = lesson.labels, lesson.sentence
    begins = [begin for begin, _, _ in labels.named]
    found = []
    for begin, _, who in labels.named:
        if begin <= at:
            rank = min(FURTHEST, sum(begin < other <= at for other in begins))
        else:
            rank = FURTHEST + 1 + min(FURTHEST, sum(at < other < begin for other in begins))
        same = int(sentence[begin] == sentence[at])
        ruled = int(labels.animals[who] in labels.by_rules[at])
        found.append(rank * 4 + 2 * same + ruled)
    return found
