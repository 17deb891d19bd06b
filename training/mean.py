"""``python -m training.mean A B --to C``: the mean of two taught networks.

Wortsman et al., "Model soups", 2022: the numbers of networks that were taught from the same
beginning may be averaged, often to something better than either. The second
may know further hints; their rows are then its own.
"""

import argparse
from pathlib import Path

import torch

Numbers = dict[str, torch.Tensor]


def mean_of(first: Numbers, second: Numbers) -> Numbers:
    """The numbers of both, averaged; rows that only the second has stay as they are."""
    mean: Numbers = {}
    for name, numbers in second.items():
        both = numbers.clone()
        rows = first[name].shape[0]
        both[:rows] = (both[:rows] + first[name]) / 2
        mean[name] = both
    return mean


def main() -> None:
    """Read two networks and write their mean."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("first", type=Path)
    parser.add_argument("second", type=Path)
    parser.add_argument("--to", type=Path, required=True)
    arguments = parser.parse_args()
    first, second = (torch.load(path) for path in (arguments.first, arguments.second))
    torch.save({"sd": mean_of(first["sd"], second["sd"]), "voc": second["voc"]}, arguments.to)


if __name__ == "__main__":
    main()
