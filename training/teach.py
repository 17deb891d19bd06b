"""Teach the network.

``python -m training.teach --to reader.pt`` begins anew from the base weights; with ``--from`` a
network that was taught before is taught further.
"""

import argparse
import random
import time
from collections.abc import Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import torch
from torch import nn

from training.base import pieces_kept, pieces_known
from training.figures import print_figures
from training.labelled import Labelled, labelled, unaided
from training.learned_codes import LearnedCodes, codes_of
from training.lessons import Lesson, batches_of, lesson_of
from training.losses import loss_of
from training.marked import examples_in
from training.models import keep, kept, with_codes
from training.network import Network
from training.pack import weights_of
from training.paths import HELD_BACK, NOTES, WORKED_NOTES
from training.varied import Variations, names_of

RATE = 2e-4
# What does not come from the base weights learns so much faster.
FASTER = 6
DECAY, BETAS, STEEPEST = 0.01, (0.9, 0.98), 5.0
WARMING_UP, LEAST_SHARE = 60, 0.02


class Teaching:
    """One run: a network, the notes in ever new words, and how fast it learns."""

    def __init__(
        self, network: Network, variations: Variations, epochs: int, *, first: int, rate: float
    ) -> None:
        """``first``: the number of the first epoch, by which the variations are drawn."""
        self.network = network
        self.variations = variations
        self.epochs = epochs
        self.first = first
        self._chance = random.Random(1)
        self._begun = lessons_in(variations, first, network.learned)
        self._steps = epochs * len(batches_of(self._begun, random.Random(0)))
        self._done = 0
        self._optimizer = torch.optim.AdamW(
            _by_rate(network, rate), weight_decay=DECAY, betas=BETAS, fused=True
        )
        self._rates = [group["lr"] for group in self._optimizer.param_groups]

    def run(self, to: Path) -> None:
        """Teach all epochs; after each the network is kept, and it is said how it went."""
        # The next epoch's texts are read by the rules while this one's are taught.
        with ProcessPoolExecutor(1, mp_context=get_context("forkserver")) as ahead:
            lessons = self._begun
            for epoch in range(self.epochs):
                begun = time.monotonic()
                last = epoch + 1 == self.epochs
                coming = None if last else self._coming(ahead, epoch + 1)
                loss = self._epoch(lessons)
                keep(self.network, to)
                took = time.monotonic() - begun
                print(f"epoch {epoch} loss {loss:.3f} {took:.0f}s", flush=True)
                lessons = coming.result() if coming else []

    def _coming(self, ahead: ProcessPoolExecutor, epoch: int) -> "Future[list[Lesson]]":
        return ahead.submit(lessons_in, self.variations, self.first + epoch, self.network.learned)

    def _epoch(self, lessons: list[Lesson]) -> float:
        """Teach all once, and say how far the answers were off."""
        batches = batches_of(lessons, self._chance)
        self.network.train()
        return sum(self._step(batch) for batch in batches) / len(batches)

    def _step(self, batch: Sequence[Lesson]) -> float:
        share = min(1, (self._done + 1) / WARMING_UP)
        share *= max(LEAST_SHARE, 1 - self._done / self._steps)
        for group, rate in zip(self._optimizer.param_groups, self._rates, strict=True):
            group["lr"] = rate * share
        loss = loss_of(self.network, batch)
        self._optimizer.zero_grad()
        loss.backward()
        nn.utils.clip_grad_norm_(self.network.parameters(), STEEPEST)
        self._optimizer.step()
        self._done += 1
        return float(loss.detach())


def _by_rate(network: Network, rate: float) -> list[dict[str, object]]:
    base: list[nn.Parameter] = []
    new: list[nn.Parameter] = []
    for name, numbers in network.named_parameters():
        is_base = name.startswith("e.") and not name.startswith("e.h")
        (base if is_base else new).append(numbers)
    return [{"params": base, "lr": rate}, {"params": new, "lr": rate * FASTER}]


def labels_of(variations: Variations, epoch: int) -> list[Labelled]:
    """What the words of an epoch's texts say."""
    return [
        unaided(labels) if one.unaided else labels
        for one in variations.of(epoch)
        for labels in [labelled(one.example, one.pen)]
    ]


def lessons_in(variations: Variations, epoch: int, learned: LearnedCodes) -> list[Lesson]:
    """The texts of an epoch as numbers."""
    known = pieces_known()
    return [lesson_of(each, learned, known) for each in labels_of(variations, epoch)]


def network_for(labels: Sequence[Labelled], before: Path | None) -> Network:
    """A network to be taught: a new one, or the one of a file with the hints that are new."""
    hints = [each.hints for each in labels]
    if before is None:
        network = Network(codes_of(hints))
        network.begin()
        return network
    network = kept(before)
    return with_codes(network, network.learned.with_hints_of(hints))


def main() -> None:
    """Teach, keep, and say how well the notes held back are read."""
    parser = argparse.ArgumentParser(prog="python -m training.teach", description=__doc__)
    parser.add_argument(
        "--notes", nargs="+", type=Path, default=[*WORKED_NOTES, *NOTES], metavar="FILE"
    )
    parser.add_argument("--epochs", type=int, default=8)
    parser.add_argument("--from", dest="before", type=Path, metavar="MODEL")
    parser.add_argument("--to", type=Path, required=True, metavar="MODEL")
    parser.add_argument("--first-epoch", type=int, default=0, help="how many were taught before")
    parser.add_argument("--rate", type=float, default=RATE, help="how fast it learns")
    told = parser.parse_args()
    examples = examples_in(told.notes)
    print(f"{len(examples)} notes", flush=True)
    variations = Variations(examples, names_of(examples))
    network = network_for(labels_of(variations, told.first_epoch), told.before)
    Teaching(network, variations, told.epochs, first=told.first_epoch, rate=told.rate).run(told.to)
    print_figures(weights_of(network, pieces_kept()), HELD_BACK)


if __name__ == "__main__":
    main()
