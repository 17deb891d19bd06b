"""Colours of a plot: those the page sets for day and night, or greys for paper."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Palette:
    """A colour for each thing drawn. Shapes and words tell them apart as well."""

    ink: str
    soft: str
    line: str
    card: str
    level: str
    band: str
    alarm: str
    font: str = "system-ui, sans-serif"


# Custom properties of the page: one drawing serves day and night.
SCREEN = Palette(
    ink="var(--ink)",
    soft="var(--soft)",
    line="var(--line)",
    card="var(--card)",
    level="var(--leaf)",
    band="var(--leaf-wash)",
    alarm="var(--fault)",
)
PAPER = Palette(
    ink="#000000",
    soft="#3d3d3d",
    line="#9a9a9a",
    card="#ffffff",
    level="#000000",
    band="#e2e2e2",
    alarm="#000000",
    font="sans-serif",
)
