"""The one table: what was measured, what was aimed at, and how it was counted."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from benchmarks.timing import Times

HEAD = (
    "# Results\n\nMade by `python -m benchmarks`, a section for each part; "
    "times depend on the machine, ratios do not."
)
LONGEST_MS = 50
LARGEST_RATIO = 2


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the table. ``met`` is None where nothing was aimed at."""

    what: str
    measured: str
    aim: str = ""
    met: bool | None = None


@dataclass(frozen=True, slots=True)
class Found:
    """What a part found: lines of the table, and notes on how it was counted."""

    lines: list[Line]
    notes: list[str]

    def __add__(self, other: "Found") -> "Found":
        return Found(self.lines + other.lines, self.notes + other.notes)


def page_lines(small: Mapping[str, Times], large: Mapping[str, Times]) -> list[Line]:
    """The pages at both sizes."""
    lines = []
    for name, here in small.items():
        shown = f"p50 {here.p50:.1f} ms, p95 {here.p95:.1f} ms"
        lines.append(Line(name, shown, f"p95 ≤ {LONGEST_MS} ms", here.p95 <= LONGEST_MS))
    for name, there in large.items():
        ratio = there.p50 / small[name].p50
        shown = f"{ratio:.2f} times (p50 {there.p50:.1f} ms, p95 {there.p95:.1f} ms)"
        what = f"{name}, long record"
        lines.append(Line(what, shown, f"≤ {LARGEST_RATIO} times", ratio <= LARGEST_RATIO))
    return lines


def as_text(lines: Sequence[Line]) -> str:
    """For the terminal."""
    wide = max(len(line.what) for line in lines)
    broad = max(len(line.measured) for line in lines)
    return "\n".join(
        f"{line.what:<{wide}}  {line.measured:<{broad}}  {line.aim}{_verdict(line)}".rstrip()
        for line in lines
    )


def as_markdown(parts: Mapping[str, Found], earlier: str) -> str:
    """For the file of results: the parts measured now, and the others as they stood."""
    sections = _sections(earlier) | {name: _section(found) for name, found in parts.items()}
    return "\n\n".join([HEAD, *(f"## {name}\n\n{text}" for name, text in sections.items())]) + "\n"


def _sections(text: str) -> dict[str, str]:
    """What stands under each heading of a file of results."""
    found = {}
    for part in text.split("\n## ")[1:]:
        name, _, rest = part.partition("\n")
        found[name.strip()] = rest.strip()
    return found


def _section(found: Found) -> str:
    rows = [f"| {one.what} | {one.measured} | {one.aim}{_verdict(one)} |" for one in found.lines]
    notes = [f"- {note}" for note in found.notes]
    return "\n".join(["| what | measured | aim |", "|---|---|---|", *rows, "", *notes]).strip()


def _verdict(line: Line) -> str:
    if line.met is None:
        return ""
    return ": met" if line.met else ": MISSED"
