"""Portraits drawn by program: a guinea pig from the front, in its own coat."""

from io import BytesIO

import numpy as np
from PIL import Image, ImageDraw

from cavyround.demo.coats import COLOURS, PATCHES, TICKING, Colour, Look
from cavyround.demo.features import draw_ears, draw_eyes, draw_muzzle, draw_whiskers
from cavyround.demo.fur import (
    MAP,
    Outline,
    Soft,
    Window,
    ellipse,
    lay_hair,
    lay_soft,
    smooth_outline,
)
from cavyround.demo.lying import body_hair, head_hair

EDGE_PX = 900
DRAWN_PX = 1200
BACKDROPS: tuple[tuple[Colour, Colour], ...] = (
    ((222, 232, 224), (178, 200, 184)),
    ((230, 226, 238), (192, 184, 210)),
    ((240, 228, 214), (216, 190, 164)),
    ((218, 230, 238), (172, 194, 212)),
    ((240, 222, 222), (214, 178, 180)),
    ((234, 234, 214), (198, 200, 160)),
)
_HALF_HEAD = [(0.5, 0.172), (0.585, 0.176), (0.655, 0.208), (0.71, 0.27), (0.742, 0.35)]
_HALF_HEAD += [(0.772, 0.44), (0.795, 0.535), (0.792, 0.63), (0.745, 0.715), (0.665, 0.775)]
_HALF_HEAD += [(0.58, 0.805), (0.5, 0.813)]
_HALF_BODY = [(0.5, 0.46), (0.66, 0.47), (0.8, 0.53), (0.9, 0.64), (0.95, 0.78), (0.94, 0.9)]
_HALF_BODY += [(0.88, 0.965), (0.7, 0.985), (0.5, 0.988)]


def _whole(half: Outline) -> Outline:
    mirrored = [(1 - x, y) for x, y in half[-2:0:-1]]
    return smooth_outline(half + mirrored)


def draw_portrait(look: Look, seed: int) -> BytesIO:
    """A portrait as a JPEG, held a little askew as a photo by hand is."""
    random = np.random.default_rng(seed)
    margin = 0.03
    window = Window(DRAWN_PX, left=-margin, top=-margin, across=1 + 2 * margin)
    image = draw_animal(look, window, random)
    held = int(EDGE_PX * (1 + 2 * margin))
    image = image.rotate(random.uniform(-3, 3), Image.Resampling.BILINEAR)
    image = image.resize((held, held), Image.Resampling.LANCZOS)
    edge = (held - EDGE_PX) // 2
    return as_jpeg(image.crop((edge, edge, edge + EDGE_PX, edge + EDGE_PX)))


def as_jpeg(image: Image.Image) -> BytesIO:
    """A drawing as a JPEG."""
    out = BytesIO()
    image.save(out, "JPEG", quality=90)
    out.seek(0)
    return out


def draw_animal(look: Look, window: Window, random: np.random.Generator) -> Image.Image:
    """The animal on its backdrop, seen through the window."""
    image = _backdrop(look, window)
    paint = paint_of(look, random)
    body, head = _whole(_HALF_BODY), _whole(_HALF_HEAD)
    if look.young:
        body = [(0.5 + (x - 0.5) * 0.86, 0.12 + y * 0.88) for x, y in body]
    ground = Soft(colour=(92, 78, 64), blur=0.02, strength=0.45)
    lay_soft(image, window, ellipse(0.5, 0.95, 0.47, 0.06), ground)
    lay_hair(image, window, body, paint, body_hair(look), random)
    _feet(image, window, look)
    lay_soft(
        image,
        window,
        ellipse(0.5, 0.66, 0.29, 0.19),
        Soft(colour=(40, 32, 30), blur=0.022, strength=0.42),
        within=body,
    )
    draw_ears(image, window, look, random)
    lay_hair(image, window, head, paint, head_hair(look, random), random)
    draw_muzzle(image, window, look)
    draw_eyes(image, window, look)
    draw_whiskers(image, window, random)
    if look.hair == "hairless":
        _wrinkles(image, window)
    _hay(image, window, random)
    return image


def paint_of(look: Look, random: np.random.Generator) -> Image.Image:
    """The colours of the coat as a small map."""
    paint = Image.new("RGB", (MAP, MAP), COLOURS[look.base])
    for where, colour in look.patches:
        draw = ImageDraw.Draw(paint)
        for x, y, rx, ry in PATCHES[where]:
            wobble = random.normal(0, 0.07, 14)
            turn = np.linspace(0, 2 * np.pi, 14, endpoint=False)
            points = [
                (
                    float(MAP * (x + np.cos(a) * rx * (1 + w))),
                    float(MAP * (y + np.sin(a) * ry * (1 + w))),
                )
                for a, w in zip(turn, wobble, strict=True)
            ]
            draw.polygon(smooth_outline(points, 6), fill=COLOURS[colour])
    pixels = np.asarray(paint, dtype=np.uint8).copy()
    for name, tick in TICKING.items():
        ticked = (pixels == COLOURS[name]).all(axis=2) & (random.random((MAP, MAP)) < 0.34)
        pixels[ticked] = tick
    if look.roan:
        white = random.random((MAP, MAP)) < 0.42
        white[: int(MAP * 0.34)] &= random.random((int(MAP * 0.34), MAP)) < 0.4
        pixels[white] = COLOURS["white"]
    if look.old:
        _grizzle(pixels, random)
    return Image.fromarray(pixels)


def _grizzle(pixels: np.ndarray, random: np.random.Generator) -> None:
    """White hairs round the muzzle and the eyes of an old animal."""
    y, x = np.mgrid[0:MAP, 0:MAP] / MAP
    near = np.exp(-(((x - 0.5) / 0.17) ** 2) - ((y - 0.66) / 0.12) ** 2)
    for eye in (0.335, 0.665):
        near += np.exp(-(((x - eye) / 0.1) ** 2) - ((y - 0.42) / 0.1) ** 2)
    pixels[random.random((MAP, MAP)) < near * 0.4] = (214, 208, 200)


def _backdrop(look: Look, window: Window) -> Image.Image:
    near, far = BACKDROPS[look.backdrop % len(BACKDROPS)]
    grid = (np.arange(MAP) + 0.5) / MAP * window.across
    x, y = np.meshgrid(grid + window.left, grid + window.top)
    away = np.clip(np.hypot(x - 0.5, y - 0.42) / 0.75, 0, 1)[:, :, None]
    pixels = np.array(near) * (1 - away) + np.array(far) * away
    ground = np.clip((y - 0.86) / 0.03, 0, 1)[:, :, None] * 0.55
    pixels = pixels * (1 - ground) + np.array([222, 204, 160]) * ground
    small = Image.fromarray(pixels.astype(np.uint8))
    return small.resize((window.px, window.px), Image.Resampling.BICUBIC)


def _feet(image: Image.Image, window: Window, look: Look) -> None:
    draw = ImageDraw.Draw(image)
    skin = COLOURS["dark_skin"] if look.dark_skin else (226, 176, 164)
    shade = tuple(int(part * 0.8) for part in skin)
    for middle in (0.385, 0.615):
        for toe in (-0.036, -0.012, 0.012, 0.036):
            draw.ellipse(
                window.box(middle + toe, 0.962 - abs(toe) * 0.16, 0.0135, 0.024), fill=shade
            )
            draw.ellipse(
                window.box(middle + toe, 0.958 - abs(toe) * 0.16, 0.0125, 0.022), fill=skin
            )
            draw.ellipse(
                window.box(middle + toe, 0.979 - abs(toe) * 0.16, 0.004, 0.008),
                fill=(236, 222, 208),
            )


def _wrinkles(image: Image.Image, window: Window) -> None:
    draw = ImageDraw.Draw(image)
    width = max(1, int(window.scale * 0.0022))
    for y, rx in ((0.27, 0.12), (0.3, 0.1), (0.845, 0.17), (0.87, 0.21), (0.9, 0.24)):
        box = window.box(0.5, y, rx, 0.02)
        draw.arc(box, 20, 160, fill=(196, 142, 128), width=width)


def _hay(image: Image.Image, window: Window, random: np.random.Generator) -> None:
    draw = ImageDraw.Draw(image)
    width = max(2, int(window.scale * 0.0042))
    for _ in range(80):
        x, y = random.uniform(-0.1, 1.05), random.uniform(0.955, 1.02)
        length, lean = random.uniform(0.08, 0.22), random.normal(0, 0.22)
        shade = random.uniform(0.8, 1.08)
        colour = tuple(int(min(255, part * shade)) for part in (206, 184, 116))
        end = window.at(x + length * np.cos(lean), y - abs(length * np.sin(lean)) * 0.7)
        draw.line([window.at(x, y), end], fill=colour, width=width)
