"""Ears, eyes, nose, mouth and whiskers."""

import numpy as np
from PIL import Image, ImageDraw

from cavyround.demo.coats import COLOURS, Colour, Look
from cavyround.demo.fur import Outline, Soft, Window, ellipse, lay_soft, smooth_outline

# The middle of an eye and the light round its edge.
EYES: dict[str, tuple[Colour, Colour]] = {
    "dark": ((20, 15, 15), (66, 46, 38)),
    "ruby": ((70, 12, 18), (150, 42, 46)),
    "pink": ((132, 26, 42), (206, 92, 98)),
}
EYE_PLACES = ((0.338, 0.425), (0.662, 0.425))
EAR: Outline = [(0.642, 0.27), (0.662, 0.235), (0.715, 0.207), (0.785, 0.215), (0.842, 0.26)]
EAR += [(0.876, 0.335), (0.878, 0.41), (0.85, 0.452), (0.822, 0.428), (0.795, 0.444), (0.755, 0.42)]
EAR += [(0.71, 0.37)]


def _mirrored(points: Outline) -> Outline:
    return [(1 - x, y) for x, y in points]


def _darker(colour: Colour, by: float) -> Colour:
    red, green, blue = (int(min(255, part * by)) for part in colour)
    return (red, green, blue)


def skin_of(look: Look) -> Colour:
    """The colour of nose and ears."""
    return (92, 74, 74) if look.dark_skin else (230, 172, 162)


def draw_ears(image: Image.Image, window: Window, look: Look, random: np.random.Generator) -> None:
    """Two petals that hang to the sides."""
    grow = 1.08 if look.young else 1.0
    for points in (EAR, _mirrored(EAR)):
        root = points[0]
        nudged = [
            (
                root[0] + (x - root[0]) * grow + random.normal(0, 0.003),
                root[1] + (y - root[1]) * grow + random.normal(0, 0.003),
            )
            for x, y in points
        ]
        _ear(image, window, smooth_outline(nudged), look, random)


def _ear(
    image: Image.Image,
    window: Window,
    outline: Outline,
    look: Look,
    random: np.random.Generator,
) -> None:
    skin = skin_of(look)
    pixels = [window.at(*point) for point in outline]
    ImageDraw.Draw(image).polygon(pixels, fill=_darker(skin, 0.92))
    middle = (sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline))
    inner = [
        (middle[0] + (x - middle[0]) * 0.66, middle[1] + (y - middle[1]) * 0.62 + 0.01)
        for x, y in outline
    ]
    hollow = Soft(colour=_darker(skin, 0.66), blur=0.014, strength=0.55)
    lay_soft(image, window, inner, hollow, within=outline)
    draw = ImageDraw.Draw(image)
    rim = _darker(skin, 1.07)
    draw.line(
        [*pixels, pixels[0]], fill=rim, width=max(2, int(window.scale * 0.006)), joint="curve"
    )
    if look.hair == "hairless":
        return
    fur = COLOURS[look.base]
    for _ in range(150):
        x, y = outline[int(random.integers(0, len(outline)))]
        along = random.uniform(0.72, 1.0)
        x, y = middle[0] + (x - middle[0]) * along, middle[1] + (y - middle[1]) * along
        end = (x + random.normal(0, 0.006), y + random.uniform(0.004, 0.018))
        blend = tuple((a + b) // 2 for a, b in zip(fur, rim, strict=True))
        draw.line([window.at(x, y), window.at(*end)], fill=blend, width=1)


def draw_eyes(image: Image.Image, window: Window, look: Look) -> None:
    """Two bright eyes, each with the light of a window in it."""
    size = 0.05 if look.young else 0.046
    for side, (x, y) in enumerate(EYE_PLACES):
        clouded = look.eyes == "cloudy" and side == 1
        _eye(image, window, (x, y), size, look, clouded=clouded)


def _eye(
    image: Image.Image,
    window: Window,
    place: tuple[float, float],
    size: float,
    look: Look,
    *,
    clouded: bool,
) -> None:
    x, y = place
    rim = Soft(
        colour=_darker(skin_of(look), 0.5 if look.dark_skin else 0.62), blur=0.008, strength=0.85
    )
    lay_soft(image, window, ellipse(x, y, size * 1.17, size * 1.23), rim)
    middle, edge = EYES["dark" if look.eyes == "cloudy" else look.eyes]
    ball = ellipse(x, y, size, size * 1.07)
    ImageDraw.Draw(image).polygon([window.at(*point) for point in ball], fill=middle)
    low = ellipse(x, y + size * 0.42, size * 0.72, size * 0.52)
    lay_soft(image, window, low, Soft(colour=edge, blur=0.014, strength=0.9), within=ball)
    if clouded:
        lens = ellipse(x, y, size * 0.6, size * 0.64)
        milk = Soft(colour=(178, 196, 206), blur=0.008, strength=0.85)
        lay_soft(image, window, lens, milk, within=ball)
    draw = ImageDraw.Draw(image)
    draw.ellipse(window.box(x - size * 0.3, y - size * 0.4, size * 0.25, size * 0.25), fill="white")
    draw.ellipse(
        window.box(x + size * 0.36, y + size * 0.36, size * 0.1, size * 0.1), fill=(214, 206, 204)
    )


def draw_muzzle(image: Image.Image, window: Window, look: Look) -> None:
    """Nose, the line below it, and the mouth."""
    skin = skin_of(look)
    dark = _darker(skin, 0.5)
    bare = Soft(colour=skin, blur=0.016, strength=0.5 if look.dark_skin else 0.62)
    lay_soft(image, window, ellipse(0.5, 0.628, 0.07, 0.045), bare)
    nose = [(0.5, 0.59), (0.532, 0.592), (0.553, 0.612), (0.543, 0.637), (0.515, 0.652)]
    outline = smooth_outline([*nose, (0.5, 0.656), *_mirrored(nose)[:0:-1]])
    lay_soft(image, window, outline, Soft(colour=skin, blur=0.004))
    draw = ImageDraw.Draw(image)
    width = max(2, int(window.scale * 0.0068))
    for side in (-1, 1):
        slit = [(0.5 + side * dx, y) for dx, y in ((0.014, 0.634), (0.024, 0.628), (0.036, 0.617))]
        slit.append((0.5 + side * 0.041, 0.611))
        draw.line([window.at(*p) for p in slit], fill=dark, width=width + 2, joint="curve")
    gloss = Soft(colour=(255, 240, 234), blur=0.006, strength=0.6)
    lay_soft(image, window, ellipse(0.492, 0.604, 0.026, 0.007), gloss)
    _mouth(image, window, _darker(COLOURS[look.base], 0.4) if look.base == "black" else dark)


def _mouth(image: Image.Image, window: Window, dark: Colour) -> None:
    draw = ImageDraw.Draw(image)
    width = max(2, int(window.scale * 0.0056))
    draw.line([window.at(0.5, 0.653), window.at(0.5, 0.7)], fill=dark, width=width)
    for side in (-1, 1):
        along = np.linspace(0, 1, 12).tolist()
        points = [
            window.at(0.5 + side * 0.072 * t, 0.699 + 0.02 * float(np.sin(np.pi * t**0.9)))
            for t in along
        ]
        draw.line(points, fill=dark, width=width, joint="curve")


def draw_whiskers(image: Image.Image, window: Window, random: np.random.Generator) -> None:
    """Fine long whiskers to both sides."""
    draw = ImageDraw.Draw(image)
    width = max(1, int(window.scale * 0.0017))
    for side in (-1, 1):
        for number in range(7):
            y = 0.618 + number * 0.012
            x = 0.5 + side * (0.075 + 0.012 * (number % 3))
            reach, drop = random.uniform(0.2, 0.32), random.uniform(-0.06, 0.1)
            points = [
                window.at(x + side * reach * t, y + drop * t + 0.06 * t**2)
                for t in np.linspace(0, 1, 9).tolist()
            ]
            draw.line(points, fill=(246, 242, 234), width=width, joint="curve")
