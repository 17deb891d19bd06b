"""Hair, stroke by stroke: where each hair starts, which way it lies, how light falls on it."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageChops, ImageDraw, ImageFilter

Floats = NDArray[np.float64]
Flow = Callable[[Floats, Floats], tuple[Floats, Floats]]
Light = Callable[[Floats, Floats], Floats]
MAP = 360
Outline = list[tuple[float, float]]
Colour = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Window:
    """The part of the picture drawn: from (left, top), ``across`` wide, on ``px`` pixels."""

    px: int
    left: float = 0.0
    top: float = 0.0
    across: float = 1.0

    @property
    def scale(self) -> float:
        """Pixels to one whole picture."""
        return self.px / self.across

    def at(self, x: float, y: float) -> tuple[float, float]:
        """A place of the picture as pixels."""
        return ((x - self.left) * self.scale, (y - self.top) * self.scale)

    def box(self, x: float, y: float, rx: float, ry: float) -> tuple[float, float, float, float]:
        """The box of an ellipse round a place."""
        return (*self.at(x - rx, y - ry), *self.at(x + rx, y + ry))


@dataclass(frozen=True, slots=True, kw_only=True)
class Hair:
    """How hair lies: the way it flows, how long and broad it is, how many hairs."""

    flow: Flow
    light: Light
    long: float
    broad: float
    many: int
    bend: float = 0.0
    shine: float = 0.0
    wild: float = 0.16


def smooth_outline(points: Outline, steps: int = 10) -> Outline:
    """A closed smooth line through the points (Catmull-Rom)."""
    p = np.asarray(points, dtype=float)
    before, after, beyond = np.roll(p, 1, 0), np.roll(p, -1, 0), np.roll(p, -2, 0)
    out = [
        0.5
        * (
            2 * p
            + (after - before) * t
            + (2 * before - 5 * p + 4 * after - beyond) * t**2
            + (3 * p - before - 3 * after + beyond) * t**3
        )
        for t in np.arange(steps) / steps
    ]
    line = np.stack(out, axis=1).reshape(-1, 2)
    return [(float(x), float(y)) for x, y in line]


def lay_hair(
    image: Image.Image,
    window: Window,
    outline: Outline,
    paint: Image.Image,
    hair: Hair,
    random: np.random.Generator,
) -> None:
    """Fill an outline with its colours and lay hair over it, the nearest to the nose last."""
    _underpaint(image, window, outline, paint, hair)
    inside = Image.new("L", (MAP, MAP))
    ImageDraw.Draw(inside).polygon([(x * MAP, y * MAP) for x, y in outline], fill=255)
    mask = np.asarray(inside) > 0
    x, y = _roots(mask, window, hair, random)
    colours = _colours(paint, x, y, hair, random)
    dx, dy = hair.flow(x, y)
    angle = np.arctan2(dy, dx) + random.normal(0, hair.wild, len(x))
    length = hair.long * random.uniform(0.6, 1.25, len(x))
    bend = hair.bend * random.normal(1, 0.25, len(x))
    mid_x, mid_y = x + np.cos(angle) * length * 0.55, y + np.sin(angle) * length * 0.55
    end_x = mid_x + np.cos(angle) * length * 0.45
    end_y = mid_y + np.sin(angle) * length * 0.45 + bend * length
    broad = hair.broad / 2
    side_x, side_y = -np.sin(angle) * broad, np.cos(angle) * broad
    rootward = [x + side_x, y + side_y, mid_x + side_x * 0.8, mid_y + side_y * 0.8]
    tipward = [end_x, end_y, mid_x - side_x * 0.8, mid_y - side_y * 0.8, x - side_x, y - side_y]
    corners = np.stack([*rootward, *tipward], axis=1)
    corners[:, 0::2] = (corners[:, 0::2] - window.left) * window.scale
    corners[:, 1::2] = (corners[:, 1::2] - window.top) * window.scale
    draw = ImageDraw.Draw(image)
    for hair_corners, colour in zip(corners.tolist(), colours.tolist(), strict=True):
        draw.polygon(hair_corners, fill=tuple(colour))


def _roots(
    mask: NDArray[np.bool_], window: Window, hair: Hair, random: np.random.Generator
) -> tuple[Floats, Floats]:
    rows, columns = np.nonzero(mask)
    x, y = columns / MAP, rows / MAP
    margin = hair.long * 1.5
    seen = (
        (x > window.left - margin)
        & (x < window.left + window.across + margin)
        & (y > window.top - margin)
        & (y < window.top + window.across + margin)
    )
    x, y = x[seen], y[seen]
    # As many hairs to the drawn area as to the whole, so that a close view is not bald.
    many = int(hair.many * max(0.25, seen.mean()) / max(window.across, 0.3))
    chosen = random.integers(0, len(x), many)
    x = x[chosen] + random.uniform(0, 1 / MAP, many)
    y = y[chosen] + random.uniform(0, 1 / MAP, many)
    far_first = np.argsort(-np.hypot(x - 0.5, (y - 0.6) * 1.1))
    return x[far_first], y[far_first]


def _colours(
    paint: Image.Image, x: Floats, y: Floats, hair: Hair, random: np.random.Generator
) -> NDArray[np.int64]:
    pixels = np.asarray(paint, dtype=float)
    across = np.clip(((x + random.normal(0, 0.007, len(x))) * MAP).astype(int), 0, MAP - 1)
    down = np.clip(((y + random.normal(0, 0.007, len(x))) * MAP).astype(int), 0, MAP - 1)
    light = hair.light(x, y) * random.normal(1, 0.075, len(x))
    colours = pixels[down, across] * light[:, None]
    if hair.shine:
        glints = random.random(len(x)) < hair.shine * np.clip(hair.light(x, y) - 0.75, 0, 1) * 2.4
        colours[glints] = colours[glints] * 0.45 + np.array([255, 250, 236]) * 0.55
    whole: NDArray[np.int64] = np.clip(colours, 0, 255).astype(np.int64)
    return whole


def _underpaint(
    image: Image.Image, window: Window, outline: Outline, paint: Image.Image, hair: Hair
) -> None:
    places = (np.arange(MAP) + 0.5) / MAP
    x, y = np.meshgrid(places, places)
    lit = np.asarray(paint, dtype=float) * (hair.light(x, y) * 0.93)[:, :, None]
    whole = Image.fromarray(np.clip(lit, 0, 255).astype(np.uint8))
    whole = whole.filter(ImageFilter.GaussianBlur(2.5))
    left, top = (max(0.0, edge) for edge in (window.left, window.top))
    right = min(1.0, window.left + window.across)
    bottom = min(1.0, window.top + window.across)
    seen = whole.resize(
        (round((right - left) * window.scale), round((bottom - top) * window.scale)),
        Image.Resampling.BILINEAR,
        box=(left * MAP, top * MAP, right * MAP, bottom * MAP),
    )
    view = Image.new("RGB", image.size)
    corner_x, corner_y = window.at(left, top)
    view.paste(seen, (round(corner_x), round(corner_y)))
    mask = Image.new("L", image.size)
    ImageDraw.Draw(mask).polygon([window.at(*point) for point in outline], fill=255)
    image.paste(view, (0, 0), mask)


def ellipse(x: float, y: float, rx: float, ry: float) -> Outline:
    """An ellipse as an outline."""
    turn = np.linspace(0, 2 * np.pi, 40, endpoint=False)
    return [(float(x + np.cos(a) * rx), float(y + np.sin(a) * ry)) for a in turn]


@dataclass(frozen=True, slots=True, kw_only=True)
class Soft:
    """A soft-edged patch of colour; ``blur`` in parts of the picture, ``strength`` from 0 to 1."""

    colour: Colour
    blur: float
    strength: float = 1.0


def lay_soft(
    image: Image.Image, window: Window, outline: Outline, soft: Soft, within: Outline | None = None
) -> None:
    """Lay a soft patch on, kept within another outline if one is given."""
    points = [window.at(*point) for point in outline]
    blur = soft.blur * window.scale
    room = int(blur * 3) + 2
    left = int(min(x for x, _ in points)) - room
    top = int(min(y for _, y in points)) - room
    right, bottom = max(x for x, _ in points) + room, max(y for _, y in points) + room
    size = (max(1, int(right - left)), max(1, int(bottom - top)))
    mask = Image.new("L", size)
    shifted = [(x - left, y - top) for x, y in points]
    ImageDraw.Draw(mask).polygon(shifted, fill=int(255 * soft.strength))
    mask = mask.filter(ImageFilter.GaussianBlur(blur))
    if within is not None:
        kept = Image.new("L", size)
        edge = [window.at(*point) for point in within]
        ImageDraw.Draw(kept).polygon([(x - left, y - top) for x, y in edge], fill=255)
        mask = ImageChops.multiply(mask, kept)
    image.paste(soft.colour, (left, top), mask)
