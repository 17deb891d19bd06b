"""Make the tool's own files of a taught network: ``python -m training.pack MODEL``.

Large tables are kept in eight bits with a scale for each row, and pieces of words that no English
note holds are left out: 90 MB become 21.
"""

import argparse
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from cavyround.knowledge.trained import SCALE, TrainedWeights
from training.base import pieces_kept
from training.lessons import LONGEST
from training.models import kept
from training.network import LAYERS, Network

PLACE = Path(__file__).parents[1] / "src/cavyround/knowledge/learned"
PIECES = "e.w.weight"
# Smaller tables, and those in which a little decides, are kept as they are.
SMALL = 20_000
KEPT_WHOLE = ("wide", "heads")
MOST = 127
Arrays = dict[str, NDArray[np.float32]]


def arrays_of(network: Network, rows: Iterable[int]) -> Arrays:
    """All numbers of a network by their names; of its pieces those in these rows."""
    arrays: Arrays = {
        name: numbers.numpy().astype(np.float32) for name, numbers in network.state_dict().items()
    }
    arrays[PIECES] = arrays[PIECES][list(rows)]
    return arrays


def weights_of(network: Network, pieces: Mapping[str, int]) -> TrainedWeights:
    """The network as the tool reads with it, its numbers not yet rounded.

    ``pieces``: the pieces of words the tool has, and the row of each in the network.
    """
    learned = network.learned
    return TrainedWeights(
        arrays=MappingProxyType(arrays_of(network, pieces.values())),
        pieces=MappingProxyType({piece: at for at, piece in enumerate(pieces)}),
        hints=MappingProxyType(learned.hint_rows),
        heads=MappingProxyType(learned.heads),
        codes=MappingProxyType(learned.named()),
        layers=LAYERS,
        longest=LONGEST,
    )


def rounded(arrays: Arrays) -> dict[str, NDArray[np.generic]]:
    """Large tables in eight bits, each row with its scale."""
    packed: dict[str, NDArray[np.generic]] = {}
    for name, numbers in arrays.items():
        if numbers.ndim == 1 or numbers.size <= SMALL or name.startswith(KEPT_WHOLE):
            packed[name] = numbers
            continue
        scale = np.abs(numbers).max(axis=1) / MOST
        scale[scale == 0] = 1
        packed[name] = np.round(numbers / scale[:, None]).astype(np.int8)
        packed[name + SCALE] = scale.astype(np.float32)
    return packed


def pack(network: Network, place: Path) -> None:
    """Write ``reader.npz`` and ``reader.json``."""
    learned, pieces = network.learned, pieces_kept()
    place.mkdir(parents=True, exist_ok=True)
    np.savez_compressed(
        place / "reader.npz", allow_pickle=False, **rounded(arrays_of(network, pieces.values()))
    )
    told = {
        "layers": LAYERS,
        "longest": LONGEST,
        "heads": [[name, begin, width] for name, (begin, width) in learned.heads.items()],
        "codes": learned.named(),
        "hints": learned.hints,
        "pieces": list(pieces),
    }
    (place / "reader.json").write_text(json.dumps(told, indent=0), encoding="utf-8")


def main() -> None:
    """Pack the model that is named."""
    parser = argparse.ArgumentParser(prog="python -m training.pack", description=__doc__)
    parser.add_argument("model", type=Path, metavar="MODEL")
    parser.add_argument("--to", type=Path, default=PLACE, metavar="FOLDER")
    told = parser.parse_args()
    pack(kept(told.model), told.to)
    size = (told.to / "reader.npz").stat().st_size / 1e6
    print(f"{told.to}: {size:.1f} MB")


if __name__ == "__main__":
    main()
