"""Close views of a finding, drawn by program."""

from collections.abc import Callable
from io import BytesIO

import numpy as np
from PIL import Image, ImageDraw

from cavyround.demo.coats import Colour, Look
from cavyround.demo.drawing import DRAWN_PX, EDGE_PX, as_jpeg, draw_animal
from cavyround.demo.fur import Outline, Soft, Window, ellipse, lay_soft, smooth_outline

PINK: Colour = (226, 164, 152)
SORE: Colour = (186, 84, 84)


def draw_closeup(kind: str, look: Look, seed: int) -> BytesIO:
    """A close view; ``kind`` is one of ``CLOSEUPS``."""
    random = np.random.default_rng(seed)
    image = CLOSEUPS[kind](look, random)
    return as_jpeg(image.resize((EDGE_PX, EDGE_PX), Image.Resampling.LANCZOS))


def _bald_nose(look: Look, random: np.random.Generator) -> Image.Image:
    window = Window(DRAWN_PX, left=0.3, top=0.32, across=0.4)
    image = draw_animal(look, window, random)
    place = (0.512, 0.535)
    patch = _uneven(*place, 0.036, 0.03, random)
    lay_soft(image, window, patch, Soft(colour=SORE, blur=0.005, strength=0.75))
    inner = [(place[0] + (x - place[0]) * 0.8, place[1] + (y - place[1]) * 0.8) for x, y in patch]
    lay_soft(image, window, inner, Soft(colour=PINK, blur=0.004))
    _flecks(image, window, place, (0.032, 0.026), random, (244, 228, 210), 130)
    _stubble(image, window, place, (0.036, 0.03), random)
    return image


def _waxy_ear(look: Look, random: np.random.Generator) -> Image.Image:
    window = Window(DRAWN_PX, left=0.6, top=0.16, across=0.34)
    image = draw_animal(look, window, random)
    place = (0.79, 0.33)
    hollow = Soft(colour=(96, 62, 56), blur=0.012, strength=0.6)
    lay_soft(image, window, ellipse(*place, 0.03, 0.034), hollow)
    _flecks(image, window, place, (0.03, 0.034), random, (132, 86, 44), 90)
    _flecks(image, window, place, (0.022, 0.026), random, (168, 118, 62), 50)
    return image


def _wet_chin(look: Look, random: np.random.Generator) -> Image.Image:
    window = Window(DRAWN_PX, left=0.3, top=0.52, across=0.4)
    image = draw_animal(look, window, random)
    chin = _uneven(0.5, 0.765, 0.095, 0.04, random)
    lay_soft(image, window, chin, Soft(colour=(84, 66, 54), blur=0.016, strength=0.42))
    draw = ImageDraw.Draw(image)
    for _ in range(70):
        x, y = 0.5 + random.normal(0, 0.042), random.uniform(0.735, 0.79)
        end = (x + (x - 0.5) * 0.14, y + random.uniform(0.02, 0.04))
        shade = _shaded((164, 148, 132), random.uniform(0.75, 1.1))
        draw.line([window.at(x, y), window.at(*end)], fill=shade, width=4)
    for x, y in ((0.478, 0.812), (0.519, 0.823), (0.502, 0.79)):
        drop = Soft(colour=(226, 234, 240), blur=0.0022, strength=0.85)
        lay_soft(image, window, ellipse(x, y, 0.0055, 0.0085), drop)
        shine = window.box(x - 0.0018, y - 0.003, 0.0014, 0.0018)
        ImageDraw.Draw(image).ellipse(shine, fill="white")
    return image


def _sore_sole(look: Look, random: np.random.Generator) -> Image.Image:
    window = Window(DRAWN_PX)
    image = Image.new("RGB", (DRAWN_PX, DRAWN_PX), (206, 218, 212))
    lay_soft(image, window, ellipse(0.5, 0.5, 0.42, 0.42), Soft(colour=(228, 236, 230), blur=0.12))
    skin: Colour = (150, 118, 112) if look.dark_skin else (232, 180, 168)
    shade: Colour = (118, 90, 86) if look.dark_skin else (206, 148, 138)
    sole = [(0.4, 0.3), (0.5, 0.27), (0.6, 0.3), (0.63, 0.45), (0.61, 0.62), (0.59, 0.78)]
    sole += [(0.56, 0.9), (0.5, 0.93), (0.44, 0.9), (0.41, 0.78), (0.39, 0.62), (0.37, 0.45)]
    shadow = Soft(colour=(120, 128, 124), blur=0.03, strength=0.5)
    lay_soft(image, window, [(x + 0.02, y + 0.02) for x, y in smooth_outline(sole)], shadow)
    for middle, top in ((0.405, 0.145), (0.5, 0.105), (0.595, 0.145)):
        _toe(image, window, (middle, top), skin, shade)
    lay_soft(image, window, smooth_outline(sole), Soft(colour=skin, blur=0.003))
    for x, y, rx, ry in ((0.5, 0.38, 0.09, 0.075), (0.5, 0.74, 0.065, 0.15)):
        pad = Soft(colour=shade, blur=0.02, strength=0.4)
        lay_soft(image, window, ellipse(x, y, rx, ry), pad)
        light = Soft(colour=(250, 214, 202), blur=0.025, strength=0.4)
        lay_soft(image, window, ellipse(x - 0.02, y - 0.03, rx * 0.5, ry * 0.5), light)
    place = (0.505, 0.66)
    lay_soft(
        image,
        window,
        _uneven(*place, 0.06, 0.065, random),
        Soft(colour=(206, 96, 92), blur=0.02, strength=0.8),
    )
    lay_soft(
        image, window, _uneven(*place, 0.026, 0.028, random), Soft(colour=(142, 70, 58), blur=0.005)
    )
    _flecks(image, window, place, (0.03, 0.032), random, (214, 150, 128), 45)
    return image


def _toe(
    image: Image.Image, window: Window, tip: tuple[float, float], skin: Colour, shade: Colour
) -> None:
    x, y = tip
    claw = smooth_outline([(x - 0.014, y), (x, y - 0.065), (x + 0.014, y), (x, y + 0.02)])
    lay_soft(image, window, claw, Soft(colour=(226, 206, 186), blur=0.003))
    lay_soft(image, window, ellipse(x, y + 0.1, 0.045, 0.115), Soft(colour=skin, blur=0.003))
    pad = Soft(colour=shade, blur=0.012, strength=0.45)
    lay_soft(image, window, ellipse(x, y + 0.05, 0.025, 0.038), pad)


def _uneven(x: float, y: float, rx: float, ry: float, random: np.random.Generator) -> Outline:
    turn = np.linspace(0, 2 * np.pi, 12, endpoint=False)
    far = 1 + random.normal(0, 0.1, 12)
    return smooth_outline(
        [
            (float(x + np.cos(a) * rx * f), float(y + np.sin(a) * ry * f))
            for a, f in zip(turn, far, strict=True)
        ]
    )


def _flecks(
    image: Image.Image,
    window: Window,
    place: tuple[float, float],
    reach: tuple[float, float],
    random: np.random.Generator,
    colour: Colour,
    many: int,
) -> None:
    draw = ImageDraw.Draw(image)
    for _ in range(many):
        turn, far = random.uniform(0, 2 * np.pi), float(np.sqrt(random.uniform(0, 1)))
        x, y = place[0] + np.cos(turn) * far * reach[0], place[1] + np.sin(turn) * far * reach[1]
        size = random.uniform(0.02, 0.07) * reach[0]
        shade = _shaded(colour, random.uniform(0.86, 1.06))
        draw.ellipse(window.box(x, y, size, size * random.uniform(0.5, 1)), fill=shade)


def _stubble(
    image: Image.Image,
    window: Window,
    place: tuple[float, float],
    reach: tuple[float, float],
    random: np.random.Generator,
) -> None:
    draw = ImageDraw.Draw(image)
    for _ in range(60):
        turn, far = random.uniform(0, 2 * np.pi), random.uniform(0.6, 1.0)
        x, y = place[0] + np.cos(turn) * far * reach[0], place[1] + np.sin(turn) * far * reach[1]
        end = (x + np.cos(turn) * 0.006, y + np.sin(turn) * 0.006)
        draw.line([window.at(x, y), window.at(*end)], fill=(92, 66, 52), width=3)


def _shaded(colour: Colour, by: float) -> Colour:
    red, green, blue = (int(min(255, part * by)) for part in colour)
    return (red, green, blue)


CLOSEUPS: dict[str, Callable[[Look, np.random.Generator], Image.Image]] = {
    "bald_nose": _bald_nose,
    "waxy_ear": _waxy_ear,
    "wet_chin": _wet_chin,
    "sore_sole": _sore_sole,
}
