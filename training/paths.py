"""Where the notes are that the reader is taught with and judged by."""

from pathlib import Path

ROOT = Path(__file__).parents[1]
WORKED = ROOT / "tests" / "scenarios" / "spoken"
WORKED_NOTES = tuple(
    WORKED / f"{name}_notes.jsonl"
    for name in ("dev", "second", "third", "fourth", "unread", "fifth", "sixth")
)
NOTES = tuple(sorted((ROOT / "training" / "notes").glob("*.jsonl")))
# No network is taught with these.
HELD_BACK = tuple(
    WORKED / f"{name}_notes.jsonl"
    for name in ("tenth", "eleventh", "twelfth", "thirteenth", "fourteenth")
)
