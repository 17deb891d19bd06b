"""``cavyround demo``: an invented herd to look around in."""

import argparse
import shutil
import sys
from datetime import datetime
from typing import Any

from cavyround.commands.folder import DATABASE, add_data_option, set_up, usable

# The story's oldest animals are some years older than its last day.
FIRST_YEAR, LAST_YEAR = 2021, 2099


def add_to(commands: Any) -> None:
    """Add the command."""
    command = commands.add_parser(
        "demo",
        help="make a data folder with an invented herd",
        description=(
            "Make an invented rescue with about 45 animals and eighteen months of history. "
            "Everything in it is made up, and the same every time."
        ),
    )
    add_data_option(command)
    command.add_argument(
        "--if-missing", action="store_true", help="do nothing where the folder has data already"
    )
    command.add_argument(
        "--as-of",
        type=_day,
        metavar="DAY",
        help="the day the history runs up to, as 2026-03-03 (default: today)",
    )
    command.set_defaults(run=run)


def _day(text: str) -> datetime:
    """A day the story can end on."""
    try:
        day = datetime.fromisoformat(text)
    except ValueError:
        day = None
    if day is None or not FIRST_YEAR <= day.year <= LAST_YEAR:
        msg = f"'{text}' is no day from {FIRST_YEAR} to {LAST_YEAR}: write it like 2026-03-03"
        raise argparse.ArgumentTypeError(msg)
    return day


def run(arguments: argparse.Namespace) -> int:
    """Make the herd unless there is data already."""
    database = arguments.data / DATABASE
    if database.exists():
        if arguments.if_missing:
            return 0
        print(
            f"{arguments.data} holds data already, and a demo is never mixed into it. "
            "Name another folder with --data.",
            file=sys.stderr,
        )
        return 2
    usable(arguments.data)  # told now, not when the herd is made
    # Made beside its place and moved there whole: an interrupted demo leaves no half a herd.
    making = arguments.data.resolve().with_name(f"{arguments.data.resolve().name}.making")
    shutil.rmtree(making, ignore_errors=True)
    folder = set_up(making)
    from django.db import connections  # noqa: PLC0415 -- after Django is set up

    from cavyround.demo.herd import make_demo_herd  # noqa: PLC0415

    (folder / "demo.txt").write_text("This folder holds the invented demo herd.\n")
    make_demo_herd(as_of=arguments.as_of, say=lambda words: print(words, flush=True))
    connections.close_all()
    arguments.data.mkdir(parents=True, exist_ok=True)
    # The database comes last: where it is, the herd is whole.
    for made in sorted(making.iterdir(), key=lambda one: one.name == database.name):
        shutil.move(made, arguments.data / made.name)
    making.rmdir()
    return 0
