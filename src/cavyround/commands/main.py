"""The command line: one word for each thing, and help that helps."""

import argparse
import sys
from collections.abc import Sequence

from cavyround import __version__
from cavyround.commands import contacts, demo, dose, knowledge, pens, read, serve, triage, weights
from cavyround.commands.folder import CannotStartError

COMMANDS = (serve, demo, knowledge, triage, weights, dose, contacts, pens, read)
EPILOG = """\
Begin with:
  cavyround demo --data demo-data     make an invented herd to look around in
  cavyround serve --data demo-data    serve it, then open the address it prints

The data (one database file and the photos) lie in the folder you name, nowhere else.
cavyround sorts, reminds and computes.
It diagnoses nothing and prescribes nothing: that is the vet's.
"""


def parser() -> argparse.ArgumentParser:
    """The whole command line."""
    top = argparse.ArgumentParser(
        prog="cavyround",
        description="The hands-on check for a guinea pig rescue.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--version", action="version", version=f"cavyround {__version__}")
    commands = top.add_subparsers(title="commands", required=True, metavar="COMMAND")
    for command in COMMANDS:
        command.add_to(commands)
    return top


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns 0 when all went well, 2 when something given does not fit."""
    arguments = parser().parse_args(argv)
    try:
        return int(arguments.run(arguments))
    except CannotStartError as why:
        print(why, file=sys.stderr)
        return 2
    except BrokenPipeError:
        # The reader of a pipe (`| head`) has seen enough.
        sys.stderr.close()
        return 0


if __name__ == "__main__":
    sys.exit(main())
