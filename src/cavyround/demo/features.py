"""Ears, eyes, nose, mouth and whiskers."""

import numpy as np
from PIL import Image, ImageChops, ImageDraw, ImageFilter

from cavyround.demo.coats import COLOURS, Colour, Look
from cavyround.demo.fur import Window, smooth_outline, soft_shape

# The middle of an eye and the light round its edge.
EYES: dict[str, tuple[Colour, Colour]] = {
    "dark": ((20, 15, 15), (66, 46, 38)),
    "ruby": ((70, 12, 18), (150, 42, 46)),
    "pink": ((170, 48, 62), (224, 120, 122)),
}
EYE_PLACES = ((0.338, 0.425), (0.662, 0.425))
EAR = [(0.645, 0.262), (0.668, 0.222), (0.72, 0.19), (0.79, 0.192), (0.85, 0.232), (0.888, 0.3)]
EAR += [(0.893, 0.365), (0.868, 0.402), (0.838, 0.386), (0.812, 0.404), (0.772, 0.4), (0.725, 0.37)]


def _mirrored(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    return [(1 - x, y) for x, y in points]


def _darker(colour: Colour, by: float) -> Colour:
    red, green, blue = (int(min(255, part * by)) for part in colour)
    return (red, green, blue)


def skin_of(look: Look) -> Colour:
    """The colour of nose and ears."""
    return (92, 74, 74) if look.dark_skin else (230, 172, 162)


def draw_ears(
    image: Image.Image, window: Window, look: Look, random: np.random.Generator
) -> None:
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
    outline: list[tuple[float, float]],
    look: Look,
    random: np.random.Generator,
) -> None:
    skin = skin_of(look)
    pixels = [window.at(*point) for point in outline]
    petal = Image.new("L", image.size)
    ImageDraw.Draw(petal).polygon(pixels, fill=255)
    image.paste(_darker(skin, 0.92), (0, 0), petal)
    middle = (sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline))
    inner = [
        window.at(middle[0] + (x - middle[0]) * 0.66, middle[1] + (y - middle[1]) * 0.62 + 0.012)
        for x, y in outline
    ]
    hollow = soft_shape(image, lambda on: on.polygon(inner, fill=255), window.scale * 0.014, 0.5)
    image.paste(_darker(skin, 0.68), (0, 0), ImageChops.multiply(hollow, petal))
    draw = ImageDraw.Draw(image)
    rim = _darker(skin, 1.07)
    draw.line([*pixels, pixels[0]], fill=rim, width=max(2, int(window.scale * 0.006)), joint="curve")
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
    lid = window.box(x, y, size * 1.17, size * 1.23)
    soft = soft_shape(image, lambda on: on.ellipse(lid, fill=255), window.scale * 0.008, 0.85)
    image.paste(_darker(skin_of(look), 0.62 if not look.dark_skin else 0.5), (0, 0), soft)
    middle, edge = EYES["dark" if look.eyes == "cloudy" else look.eyes]
    draw = ImageDraw.Draw(image)
    draw.ellipse(window.box(x, y, size, size * 1.07), fill=middle)
    low = window.box(x, y + size * 0.42, size * 0.72, size * 0.52)
    glow = soft_shape(image, lambda on: on.ellipse(low, fill=255), window.scale * 0.014, 0.9)
    ball = Image.new("L", image.size)
    ImageDraw.Draw(ball).ellipse(window.box(x, y, size * 0.94, size), fill=255)
    image.paste(edge, (0, 0), ImageChops.multiply(glow, ball))
    if clouded:
        lens = window.box(x, y, size * 0.62, size * 0.66)
        milk = soft_shape(image, lambda on: on.ellipse(lens, fill=255), window.scale * 0.008, 0.9)
        image.paste((178, 196, 206), (0, 0), ImageChops.multiply(milk, ball))
    draw = ImageDraw.Draw(image)
    draw.ellipse(window.box(x - size * 0.3, y - size * 0.4, size * 0.25, size * 0.25), fill="white")
    draw.ellipse(window.box(x + size * 0.36, y + size * 0.36, size * 0.1, size * 0.1),
                 fill=(214, 206, 204))


def draw_muzzle(image: Image.Image, window: Window, look: Look) -> None:
    """Nose, the line below it, and the mouth."""
    skin = skin_of(look)
    dark = _darker(skin, 0.5)
    shade = soft_shape(
        image,
        lambda on: on.ellipse(window.box(0.5, 0.628, 0.07, 0.045), fill=255),
        window.scale * 0.016,
        0.5 if look.dark_skin else 0.62,
    )
    image.paste(skin, (0, 0), shade)
    nose = [(0.5, 0.59), (0.532, 0.592), (0.553, 0.612), (0.543, 0.637), (0.515, 0.652)]
    outline = smooth_outline([*nose, (0.5, 0.656), *_mirrored(nose)[:0:-1]])
    pixels = [window.at(*point) for point in outline]
    mask = soft_shape(image, lambda on: on.polygon(pixels, fill=255), window.scale * 0.004, 1.0)
    image.paste(skin, (0, 0), mask)
    draw = ImageDraw.Draw(image)
    width = max(2, int(window.scale * 0.0068))
    for side in (-1, 1):
        slit = [(0.5 + side * dx, y) for dx, y in ((0.014, 0.634), (0.024, 0.628), (0.036, 0.617))]
        slit.append((0.5 + side * 0.041, 0.611))
        draw.line([window.at(*p) for p in slit], fill=dark, width=width + 2, joint="curve")
    gloss = soft_shape(
        image,
        lambda on: on.ellipse(window.box(0.492, 0.604, 0.026, 0.007), fill=255),
        window.scale * 0.006,
        0.6,
    )
    image.paste((255, 240, 234), (0, 0), gloss)
    _mouth(image, window, _darker(COLOURS[look.base], 0.4) if look.base == "black" else dark)


def _mouth(image: Image.Image, window: Window, dark: Colour) -> None:
    lines = Image.new("L", image.size)
    draw = ImageDraw.Draw(lines)
    width = max(2, int(window.scale * 0.0058))
    draw.line([window.at(0.5, 0.653), window.at(0.5, 0.7)], fill=255, width=width)
    for side in (-1, 1):
        curve = [(0.0, 0.699), (0.016, 0.712), (0.036, 0.718), (0.056, 0.712), (0.07, 0.7)]
        points = [window.at(0.5 + side * dx, y) for dx, y in curve]
        draw.line(points, fill=255, width=width, joint="curve")
    lines = lines.filter(ImageFilter.GaussianBlur(window.scale * 0.0012))
    image.paste(dark, (0, 0), lines)


def draw_whiskers(image: Image.Image, window: Window, random: np.random.Generator) -> None:
    """Fine long whiskers to both sides."""
    layer = Image.new("L", image.size)
    draw = ImageDraw.Draw(layer)
    width = max(1, int(window.scale * 0.0017))
    for side in (-1, 1):
        for number in range(7):
            y = 0.618 + number * 0.012
            x = 0.5 + side * (0.075 + 0.012 * (number % 3))
            reach, drop = random.uniform(0.2, 0.32), random.uniform(-0.06, 0.1)
            t = np.linspace(0, 1, 9)
            points = [
                window.at(x + side * reach * float(a), y + drop * float(a) + 0.06 * float(a) ** 2)
                for a in t
            ]
            draw.line(points, fill=170, width=width, joint="curve")
    image.paste((252, 248, 240), (0, 0), layer)
