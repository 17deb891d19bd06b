"""A taught network kept in a file, with the codes it was taught with."""

from pathlib import Path

import torch

from training.learned_codes import LearnedCodes, codes_as_saved
from training.network import Network

# The parts that have a row for each hint.
BY_HINT = ("e.h.weight", "h2.weight", "wide.weight")


def keep(network: Network, path: Path) -> None:
    """Write the network to a file."""
    torch.save({"sd": network.state_dict(), "voc": network.learned.as_saved()}, path)


def kept(path: Path) -> Network:
    """The network of a file."""
    saved = torch.load(path, weights_only=True)
    network = Network(codes_as_saved(saved["voc"]))
    network.load_state_dict(saved["sd"])
    return network


def with_codes(network: Network, learned: LearnedCodes) -> Network:
    """The same network with further hints at the end, which say nothing yet."""
    more = len(learned.hints) - len(network.learned.hints)
    numbers = network.state_dict()
    for name in BY_HINT:
        rows = numbers[name]
        numbers[name] = torch.cat([rows, torch.zeros(more, rows.shape[1])])
    grown = Network(learned)
    grown.load_state_dict(numbers)
    return grown
