"""``python -m benchmarks``: measure, print one table, write results.md.

Only the sections of the parts that are run are written anew.
"""

import argparse
import os
import platform
import signal
import sys
import tempfile
from pathlib import Path

from benchmarks.contacts import contacts
from benchmarks.dosing import dosing
from benchmarks.long_record import Size
from benchmarks.pen_plans import pen_plans
from benchmarks.report import Found, as_markdown, as_text
from cavyround.knowledge.loading import load_knowledge

RESULTS = Path(__file__).parent / "results.md"
PARTS = ("touches", "pages", "engines", "doses", "weights", "words", "contacts", "pens")


def main() -> int:
    """Run the parts that were asked for."""
    arguments = _arguments()
    # Ended from outside it still takes its gigabytes away.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))
    found: dict[str, Found] = {}
    with tempfile.TemporaryDirectory(prefix="cavyround-bench-", dir=arguments.folder) as name:
        folder = Path(name)
        if "touches" in arguments.parts:
            from benchmarks.touching import touches  # noqa: PLC0415 -- needs a browser

            found["touches"] = touches(folder / "table")
        if "words" in arguments.parts:
            from benchmarks.reading import reading  # noqa: PLC0415 -- loads a general tool

            found["words"] = reading(load_knowledge())
        if "pens" in arguments.parts:
            found["pens"] = pen_plans(load_knowledge())
        if "doses" in arguments.parts:
            found["doses"] = dosing(load_knowledge(), orders=arguments.orders)
        if "weights" in arguments.parts:
            from benchmarks.weighed.part import weights  # noqa: PLC0415 -- slow to load

            found["weights"] = weights(load_knowledge(), animals=arguments.invented, say=_say)
        if "contacts" in arguments.parts:
            found["contacts"] = contacts(arguments.stays)
        os.environ.pop("DATABASE_URL", None)
        from cavyround.commands.folder import set_up  # noqa: PLC0415

        set_up(folder / "record")
        from benchmarks import parts  # noqa: PLC0415 -- models can be read only now

        if "pages" in arguments.parts:
            past = Size(max(0, arguments.animals - 200), arguments.weighings)
            found["pages"] = parts.pages(folder / "record", past, times=arguments.times, say=_say)
        if "engines" in arguments.parts:
            found["engines"] = parts.engines(_say)
    measured = {name: one + Found([], [_machine()]) for name, one in found.items()}
    print(as_text([line for one in measured.values() for line in one.lines]))
    earlier = arguments.out.read_text() if arguments.out.exists() else ""
    arguments.out.write_text(as_markdown(measured, earlier))
    return 0


def _arguments() -> argparse.Namespace:
    asked = argparse.ArgumentParser(prog="python -m benchmarks", description=__doc__)
    asked.add_argument("--parts", nargs="+", choices=PARTS, default=PARTS)
    asked.add_argument("--animals", type=int, default=100_000, help="animals on record")
    asked.add_argument("--weighings", type=int, default=5_000_000, help="weighings on record")
    asked.add_argument("--times", type=int, default=60, help="how often each page is asked for")
    asked.add_argument("--orders", type=int, default=100_000, help="random orders of medicines")
    asked.add_argument("--stays", type=int, default=100_000, help="stays that are traced")
    asked.add_argument(
        "--invented", type=int, default=1_000, help="animals in each scenario of weights"
    )
    asked.add_argument(
        "--quick",
        action="store_true",
        help="2,000 animals and orders, 50,000 weighings, 100 invented animals",
    )
    asked.add_argument("--folder", type=Path, help="where the temporary data lie (about 5 GB)")
    asked.add_argument("--out", type=Path, default=RESULTS, help="(default: results.md here)")
    arguments = asked.parse_args()
    if arguments.quick:
        arguments.animals, arguments.weighings, arguments.times = 2_000, 50_000, 20
        arguments.orders, arguments.invented, arguments.stays = 2_000, 100, 5_000
    return arguments


def _machine() -> str:
    cores = os.cpu_count()
    return f"Machine: {platform.machine()}, {cores} cores, Python {platform.python_version()}."


def _say(words: str) -> None:
    print(f"  {words}", file=sys.stderr, flush=True)


if __name__ == "__main__":
    sys.exit(main())
