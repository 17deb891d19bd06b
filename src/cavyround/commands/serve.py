"""``cavyround serve``: one process serves it all."""

import argparse
import socket
import sys
from errno import EADDRINUSE
from pathlib import Path
from typing import Any

from cavyround.commands.folder import CannotStartError, add_data_option, set_up
from cavyround.knowledge.loading import load_knowledge
from cavyround.knowledge.reading import KnowledgeFaultError

DEFAULT_PORT = 8420
HIGHEST_PORT = 65535
LONGEST_PORT = 6  # digits; more than these decide nothing
THREADS = 8


def add_to(commands: Any) -> None:
    """Add the command."""
    command = commands.add_parser(
        "serve",
        help="serve the pages to phones and computers on the rescue's network",
        description="Serve the pages. The first visit asks for the first account.",
    )
    add_data_option(command)
    command.add_argument("--host", default="0.0.0.0", help="address to listen on (default: all)")  # noqa: S104 -- phones reach it over the rescue's own network
    command.add_argument(
        "--port", type=_port, default=DEFAULT_PORT, help=f"(default: {DEFAULT_PORT})"
    )
    command.add_argument(
        "--override",
        type=Path,
        metavar="FILE",
        help="your own vet's changes to the knowledge, named and dated",
    )
    command.set_defaults(run=run)


def _port(text: str) -> int:
    """A port that can be listened on."""
    if not text.isdecimal() or not 0 < int(text[:LONGEST_PORT]) <= HIGHEST_PORT:
        msg = f"'{text}' is no port: give a number from 1 to {HIGHEST_PORT}"
        raise argparse.ArgumentTypeError(msg)
    return int(text)


def run(arguments: argparse.Namespace) -> int:
    """Serve until stopped."""
    try:
        knowledge = load_knowledge(override=arguments.override)
    except KnowledgeFaultError as fault:
        print(f"The knowledge files have faults; nothing is served:\n{fault}", file=sys.stderr)
        return 2
    folder = set_up(arguments.data, override=arguments.override)
    if arguments.override is not None:
        _keep_override(arguments.override, folder, knowledge.version)
    from waitress.server import create_server  # noqa: PLC0415 -- after Django is set up

    from cavyround.web.wsgi import application  # noqa: PLC0415

    try:
        server = create_server(
            application, host=arguments.host, port=arguments.port, threads=THREADS
        )
    except (OSError, ValueError) as fault:
        raise CannotStartError(_why_not_listening(arguments, fault)) from None
    print(f"Data:      {folder}")
    print(f"Knowledge: {knowledge.version}")
    for address in _addresses(arguments.host, arguments.port):
        print(f"Open:      {address}")
    print("Stop with Ctrl-C; nothing acknowledged is lost.", flush=True)
    try:
        server.run()
    except KeyboardInterrupt:
        server.close()
    return 0


def _why_not_listening(arguments: argparse.Namespace, fault: OSError | ValueError) -> str:
    if isinstance(fault, OSError) and fault.errno == EADDRINUSE:
        return (
            f"Port {arguments.port} cannot be used ({fault.strerror}). Is cavyround running "
            "already? Stop it, or name another with --port."
        )
    why = getattr(fault, "strerror", None) or str(fault)
    return (
        f"Nothing can listen on {arguments.host}, port {arguments.port} ({why}). Name an address "
        "of this machine with --host, and a port above 1023 with --port."
    )


def _keep_override(override: Path, folder: Path, version: str) -> None:
    """Keep each vet's file that advice was given on: the advice can be run again years later."""
    kept = folder / "overrides" / f"{version.rpartition('.')[2]}.yaml"
    try:
        kept.parent.mkdir(exist_ok=True)
        kept.write_bytes(override.read_bytes())
    except OSError as fault:
        msg = f"Your vet's file cannot be kept as {kept} ({fault.strerror}). Nothing is served."
        raise CannotStartError(msg) from None


def _addresses(host: str, port: int) -> list[str]:
    if host not in ("0.0.0.0", "::"):  # noqa: S104
        return [f"http://{host}:{port}/"]
    addresses = [f"http://localhost:{port}/"]
    if own := _own_address():
        addresses.append(f"http://{own}:{port}/ (from a phone on the same network)")
    return addresses


def _own_address() -> str:
    """The address other machines reach this one by; nothing is sent to find it out."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        try:
            # An address set aside for documentation (RFC 5737): only the route is looked up.
            asked.connect(("192.0.2.1", 9))
        except OSError:
            return ""
        own = str(asked.getsockname()[0])
    return "" if own.startswith("127.") else own
