"""How well notes are read with a network, beside the rules alone; needs no torch.

``python -m training.figures [FILE ...]`` tells it of the network the tool has.
"""

import argparse
from collections.abc import Iterable, Sequence
from pathlib import Path

from tests.scoring_notes import Note, notes_in, score

from cavyround.engines.spoken import as_gold, read_note
from cavyround.knowledge.trained import TrainedWeights, trained_weights
from training import codes
from training.examples import Example
from training.paths import HELD_BACK


def print_figures(weights: TrainedWeights, files: Iterable[Path]) -> None:
    """One line for each file, with and without the pen's names, by the rules and by both."""
    for path in files:
        notes = notes_in(path)
        for names in (False, True):
            for reader, trained in (("rules", None), ("both", weights)):
                told = _figures(notes, trained, names=names)
                given = "names given" if names else "no names"
                print(f"{path.stem:14} {given:11} {reader:5} {told}", flush=True)


def _figures(notes: Sequence[Note], trained: TrainedWeights | None, *, names: bool) -> str:
    answers = [_answer(note, trained, names=names) for note in notes]
    lenient = score(notes, answers, codes.book())
    strict = score(notes, answers, codes.book(), strict=True)
    return f"F1 {lenient.f1():.3f} / {strict.f1():.3f} care {lenient.f1('care '):.3f}"


def _answer(note: Note, trained: TrainedWeights | None, *, names: bool) -> Note:
    text = note["text"]
    pen = Example(text, tuple(one["animal"] for one in note["animals"])).pen if names else ()
    read = read_note(text, book=codes.book(), pen=pen, trained=trained)
    return {"id": note["id"], "animals": as_gold(read)}


def main() -> None:
    """Tell the figures of the tool's own network."""
    parser = argparse.ArgumentParser(prog="python -m training.figures", description=__doc__)
    parser.add_argument("files", nargs="*", type=Path, default=HELD_BACK, metavar="FILE")
    print_figures(trained_weights(), parser.parse_args().files)


if __name__ == "__main__":
    main()
