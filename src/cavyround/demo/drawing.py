"""Portraits drawn by program: a guinea pig from the front, in its own coat."""

from collections.abc import Callable
from io import BytesIO

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from cavyround.demo.coats import COLOURS, PATCHES, TICKING, Colour, Look
from cavyround.demo.features import draw_ears, draw_eyes, draw_muzzle, draw_whiskers
from cavyround.demo.fur import MAP, Floats, Hair, Window, lay_hair, smooth_outline, soft_shape

EDGE_PX = 900
DRAWN_PX = 1500
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


def _whole(half: list[tuple[float, float]]) -> list[tuple[float, float]]:
    mirrored = [(1 - x, y) for x, y in half[-2:0:-1]]
    return smooth_outline(half + mirrored)


def draw_portrait(look: Look, seed: int) -> BytesIO:
    """A portrait as a JPEG."""
    random = np.random.default_rng(seed)
    window = Window(DRAWN_PX)
    return as_jpeg(draw_animal(look, window, random, tilt=random.uniform(-4, 4)))


def as_jpeg(image: Image.Image) -> BytesIO:
    """A drawing, made smaller for smooth edges, as a JPEG."""
    out = BytesIO()
    small = image.resize((EDGE_PX, EDGE_PX), Image.Resampling.LANCZOS)
    small.save(out, "JPEG", quality=88)
    out.seek(0)
    return out


def draw_animal(
    look: Look, window: Window, random: np.random.Generator, tilt: float = 0.0
) -> Image.Image:
    """The animal on its backdrop, seen through the window."""
    image = _backdrop(look, window)
    animal = image.copy()
    paint = paint_of(look, random)
    body, head = _whole(_HALF_BODY), _whole(_HALF_HEAD)
    if look.young:
        body = [(0.5 + (x - 0.5) * 0.86, 0.12 + y * 0.88) for x, y in body]
    _ground_shadow(animal, window)
    lay_hair(animal, window, body, paint, _body_hair(look), random)
    _feet(animal, window, look)
    _head_shadow(animal, window)
    draw_ears(animal, window, look, random)
    lay_hair(animal, window, head, paint, _head_hair(look, random), random)
    draw_muzzle(animal, window, look)
    draw_eyes(animal, window, look)
    draw_whiskers(animal, window, random)
    if look.hair == "hairless":
        _wrinkles(animal, window)
    if tilt:
        animal = animal.rotate(tilt, Image.Resampling.BICUBIC, center=window.at(0.5, 0.8))
        seen = Image.new("L", animal.size, 255).rotate(tilt, center=window.at(0.5, 0.8))
        seen = seen.filter(ImageFilter.MinFilter(5))
        image.paste(animal, (0, 0), seen)
        animal = image
    _hay(animal, window, random)
    return animal


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


def _head_light(x: Floats, y: Floats) -> Floats:
    lit = 1.08 - 0.42 * ((x - 0.44) / 0.36) ** 2 * 0.6 - 0.3 * np.clip(y - 0.55, 0, 1)
    lit += 0.1 * np.exp(-(((x - 0.46) / 0.13) ** 2) - ((y - 0.3) / 0.14) ** 2)
    for eye in (0.335, 0.665):
        lit -= 0.16 * np.exp(-(((x - eye) / 0.06) ** 2) - ((y - 0.43) / 0.065) ** 2)
    lit -= 0.1 * np.exp(-(((x - 0.5) / 0.12) ** 2) - ((y - 0.715) / 0.03) ** 2)
    return np.asarray(lit)


def _body_light(x: Floats, y: Floats) -> Floats:
    lit = 0.95 - 0.75 * (x - 0.46) ** 2 - 0.35 * np.clip(y - 0.72, 0, 1)
    return np.asarray(lit)


def _from_nose(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Hair lies backwards from the nose, and sinks a little at the cheeks."""
    dx, dy = x - 0.5, y - 0.56
    return dx * 1.25, dy + 0.08 * np.clip(y - 0.45, 0, 1)


def _downwards(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    return (x - 0.5) * 0.9, np.full_like(y, 0.45)


def _falling(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Long hair parts in the middle and falls to both sides."""
    side = np.where(x < 0.5, -1.0, 1.0)
    return side * (0.5 - 0.42 * np.clip((y - 0.2) / 0.5, 0, 1)), np.full_like(y, 0.55)


def _rosettes(centres: list[tuple[float, float]]) -> Callable[[Floats, Floats], tuple[Floats, Floats]]:
    """Hair that stands out from the nearest of several whorls, with ridges where they meet."""
    places = np.asarray(centres)

    def flow(x: Floats, y: Floats) -> tuple[Floats, Floats]:
        dx, dy = x[:, None] - places[None, :, 0], y[:, None] - places[None, :, 1]
        nearest = np.argmin(np.hypot(dx, dy), axis=1)
        rows = np.arange(len(x))
        out_x, out_y = dx[rows, nearest], dy[rows, nearest]
        return out_x - out_y * 0.55, out_y + out_x * 0.55

    return flow


def _head_hair(look: Look, random: np.random.Generator) -> Hair:
    match look.hair:
        case "long":
            return Hair(flow=_long_head, light=_head_light, long=0.085, broad=0.0042, many=9500,
                        bend=0.28, shine=0.05)
        case "rosettes":
            whorls = [(0.36, 0.3), (0.64, 0.29), (0.29, 0.6), (0.71, 0.6), (0.5, 0.56)]
            moved = [(x + random.normal(0, 0.012), y + random.normal(0, 0.012)) for x, y in whorls]
            return Hair(flow=_rosettes(moved), light=_whorled(_head_light, moved[:4]), long=0.056,
                        broad=0.0046, many=11000)
        case "satin":
            return Hair(flow=_from_nose, light=_head_light, long=0.036, broad=0.0036, many=15000,
                        shine=0.5, wild=0.09)
        case "hairless":
            return Hair(flow=_from_nose, light=_head_light, long=0.012, broad=0.002, many=900)
        case _ if look.crest:
            flow = _crested
            return Hair(flow=flow, light=_head_light, long=0.036, broad=0.004, many=13000)
        case _:
            return Hair(flow=_from_nose, light=_head_light, long=0.036, broad=0.004, many=13000)


def _whorled(light: Callable[[Floats, Floats], Floats], centres: list[tuple[float, float]]) -> (
    Callable[[Floats, Floats], Floats]
):
    def lit(x: Floats, y: Floats) -> Floats:
        out = light(x, y)
        for cx, cy in centres:
            away = np.hypot(x - cx, y - cy)
            out = out - 0.3 * np.exp(-((away / 0.022) ** 2))
            out = out + 0.1 * np.exp(-(((away - 0.06) / 0.03) ** 2))
        return np.asarray(out)

    return lit


def _crested(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """One whorl on the forehead."""
    dx, dy = _from_nose(x, y)
    near = np.hypot(x - 0.5, y - 0.27) < 0.1
    return np.where(near, x - 0.5, dx), np.where(near, y - 0.27, dy)


def _long_head(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Short on the face, falling from a parting above it."""
    short_x, short_y = _from_nose(x, y)
    long_x, long_y = _falling(x, y)
    face = np.exp(-(((x - 0.5) / 0.14) ** 2) - ((y - 0.58) / 0.2) ** 2)
    return short_x * face * 4 + long_x * (1 - face), short_y * face * 4 + long_y * (1 - face)


def _body_hair(look: Look) -> Hair:
    match look.hair:
        case "long":
            return Hair(flow=_falling, light=_body_light, long=0.16, broad=0.0046, many=7000,
                        bend=0.2, shine=0.05, wild=0.12)
        case "rosettes":
            whorls = [(0.16, 0.66), (0.84, 0.66), (0.3, 0.88), (0.7, 0.88)]
            return Hair(flow=_rosettes(whorls), light=_whorled(_body_light, whorls), long=0.06,
                        broad=0.005, many=9000)
        case "hairless":
            return Hair(flow=_downwards, light=_body_light, long=0.012, broad=0.002, many=300)
        case "satin":
            return Hair(flow=_downwards, light=_body_light, long=0.045, broad=0.004, many=10000,
                        shine=0.45, wild=0.1)
        case _:
            return Hair(flow=_downwards, light=_body_light, long=0.045, broad=0.0046, many=9000)


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


def _ground_shadow(image: Image.Image, window: Window) -> None:
    box = window.box(0.5, 0.95, 0.47, 0.06)
    mask = soft_shape(image, lambda on: on.ellipse(box, fill=255), window.scale * 0.02, 0.45)
    image.paste((92, 78, 64), (0, 0), mask)


def _head_shadow(image: Image.Image, window: Window) -> None:
    box = window.box(0.5, 0.66, 0.29, 0.19)
    mask = soft_shape(image, lambda on: on.ellipse(box, fill=255), window.scale * 0.022, 0.42)
    image.paste((40, 32, 30), (0, 0), mask)


def _feet(image: Image.Image, window: Window, look: Look) -> None:
    draw = ImageDraw.Draw(image)
    skin = COLOURS["dark_skin"] if look.dark_skin else (226, 176, 164)
    shade = tuple(int(part * 0.8) for part in skin)
    for middle in (0.385, 0.615):
        for toe in (-0.036, -0.012, 0.012, 0.036):
            draw.ellipse(window.box(middle + toe, 0.962 - abs(toe) * 0.16, 0.0135, 0.024), fill=shade)
            draw.ellipse(window.box(middle + toe, 0.958 - abs(toe) * 0.16, 0.0125, 0.022), fill=skin)
            draw.ellipse(window.box(middle + toe, 0.979 - abs(toe) * 0.16, 0.004, 0.008),
                         fill=(236, 222, 208))


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
