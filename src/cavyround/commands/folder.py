"""The data folder: where it is, that it is there, and Django set up on it."""

import argparse
import os
import secrets
from pathlib import Path


def add_data_option(command: argparse.ArgumentParser) -> None:
    """The option that names the data folder."""
    command.add_argument(
        "--data",
        type=Path,
        default=Path(os.environ.get("CAVYROUND_DATA", "data")),
        metavar="FOLDER",
        help="where the database and the photos lie (default: ./data, or CAVYROUND_DATA)",
    )


def set_up(folder: Path, *, override: Path | None = None) -> Path:
    """Make the folder if need be, point Django at it, bring the database up to date."""
    folder = folder.resolve()
    folder.mkdir(parents=True, exist_ok=True)
    key = folder / "secret-key"
    if not key.exists():
        key.touch(mode=0o600)
        key.write_text(secrets.token_urlsafe(50))
    os.environ["CAVYROUND_DATA"] = str(folder)
    if override is not None:
        os.environ["CAVYROUND_OVERRIDE"] = str(override.resolve())
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "cavyround.web.settings")
    import django  # noqa: PLC0415 -- settings are read when Django is set up, not before
    from django.core.management import call_command  # noqa: PLC0415

    django.setup()
    call_command("migrate", verbosity=0, interactive=False)
    return folder
