"""The three parts of the benchmarks; imported once Django is set up on a temporary folder."""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from benchmarks import serving, thinking
from benchmarks.long_record import Size
from benchmarks.report import Found, Line, page_lines
from cavyround.advice.book import book

HERD = 10_000
HERD_AIM_S = 2
CASE_ROUNDS = 5
Say = Callable[[str], None]


def pages(folder: Path, past: Size, *, times: int, say: Say) -> Found:
    """Server time of every page, with little and with much on record."""
    database = folder / "cavyround.sqlite3"
    now = datetime.now(UTC)
    small, large = serving.at_two_sizes(database, past, times=times, now=now, say=say)
    on_record = f"{past.animals + serving.HERE:,} animals and {past.weighings:,} weighings"
    note = (
        f"Pages: {serving.HERE} animals here, then the same with {on_record} on record; in process "
        f"by Django's test client, signed in as a lead, packed as a browser asks, warm, {times} "
        "times each; every animal here has its weekly weights since it came; SQLite, "
        f"{database.stat().st_size / 1e9:.1f} GB at the end."
    )
    return Found(page_lines(small, large), [note])


def engines(say: Say) -> Found:
    """Cases in a second, and a whole herd."""
    say("measuring the engines")
    rate, cases = thinking.cases_per_second(book(), rounds=CASE_ROUNDS)
    herd = thinking.herd_seconds(book(), animals=HERD)
    due = thinking.due_seconds(HERD)
    whole = herd + due
    lines = [
        Line("triage, one core", f"{rate:,.0f} cases a second", ""),
        Line(f"weight signs and urgency of {HERD:,}", f"{herd:.2f} s"),
        Line(f"who is due of {HERD:,}, from the record", f"{due:.2f} s"),
        Line(
            f"whole herd of {HERD:,}, all three",
            f"{whole:.2f} s",
            f"≤ {HERD_AIM_S} s",
            whole <= HERD_AIM_S,
        ),
    ]
    note = (
        f"Engines: one core. A case is a full answer with reasons and questions, over {cases} "
        "worked cases. In the herd every fifth animal carries the findings of a worked case, and "
        f"each has {thinking.WEIGHINGS_EACH} weighings; the urgency alone is asked for."
    )
    return Found(lines, [note])
