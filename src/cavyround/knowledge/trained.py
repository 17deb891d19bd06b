"""What the network of the trained reading has learned: kept as data beside the words.

``training/`` in the source tree tells from which notes and how it was made.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

PLACE = files("cavyround.knowledge") / "learned"
SCALE = ".scale"


@dataclass(frozen=True, slots=True, eq=False)
class TrainedWeights:
    """The learned numbers by name, and what the places in them stand for.

    ``pieces``: piece of a word to its number; ``hints``: code of a hint to its number, from 1 on;
    ``heads``: name of an answer to its first column and its width; ``codes``: for each answer that
    names something, what its columns are.
    """

    arrays: Mapping[str, NDArray[np.float32]]
    pieces: Mapping[str, int]
    hints: Mapping[str, int]
    heads: Mapping[str, tuple[int, int]]
    codes: Mapping[str, tuple[str, ...]]
    layers: int
    longest: int

    def __getitem__(self, name: str) -> NDArray[np.float32]:
        """The numbers of a name."""
        return self.arrays[name]


@cache
def trained_weights() -> TrainedWeights:
    """What is shipped; read once for the life of the process, in about a tenth of a second.

    Raises FileNotFoundError where the file is not there: a broken installation.
    """
    told = json.loads((PLACE / "reader.json").read_text(encoding="utf-8"))
    with (PLACE / "reader.npz").open("rb") as file, np.load(file) as kept:
        arrays = {
            name: _as_learned(kept[name], kept.get(name + SCALE))
            for name in kept.files
            if not name.endswith(SCALE)
        }
    return TrainedWeights(
        arrays=MappingProxyType(arrays),
        pieces=MappingProxyType({piece: at for at, piece in enumerate(told["pieces"])}),
        hints=MappingProxyType({hint: at for at, hint in enumerate(told["hints"], 1)}),
        heads=MappingProxyType({name: (at, width) for name, at, width in told["heads"]}),
        codes=MappingProxyType({name: tuple(codes) for name, codes in told["codes"].items()}),
        layers=told["layers"],
        longest=told["longest"],
    )


def _as_learned(
    kept: NDArray[np.generic], scale: NDArray[np.generic] | None
) -> NDArray[np.float32]:
    """Numbers are kept in eight bits a row with the row's scale: a quarter of the room."""
    numbers = kept.astype(np.float32)
    if scale is not None:
        numbers *= scale.astype(np.float32)[:, None]
    numbers.setflags(write=False)
    return numbers
