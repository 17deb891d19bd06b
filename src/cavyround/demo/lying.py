"""How the hair of each kind of coat lies on head and body, and where the light falls."""

from collections.abc import Callable

import numpy as np

from cavyround.demo.coats import Look
from cavyround.demo.fur import Floats, Flow, Hair, Outline


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


def _rosettes(centres: Outline) -> Flow:
    """Hair that stands out from the nearest of several whorls, with ridges where they meet."""
    places = np.asarray(centres)

    def flow(x: Floats, y: Floats) -> tuple[Floats, Floats]:
        dx, dy = x[:, None] - places[None, :, 0], y[:, None] - places[None, :, 1]
        nearest = np.argmin(np.hypot(dx, dy), axis=1)
        rows = np.arange(len(x))
        out_x, out_y = dx[rows, nearest], dy[rows, nearest]
        return out_x - out_y * 0.55, out_y + out_x * 0.55

    return flow


def head_hair(look: Look, random: np.random.Generator) -> Hair:
    """How the hair of the head lies."""
    match look.hair:
        case "long":
            return Hair(
                flow=_long_head,
                light=_head_light,
                long=0.085,
                broad=0.0046,
                many=7400,
                bend=0.28,
                shine=0.05,
            )
        case "rosettes":
            whorls = [(0.36, 0.3), (0.64, 0.29), (0.29, 0.6), (0.71, 0.6), (0.5, 0.56)]
            moved = [(x + random.normal(0, 0.012), y + random.normal(0, 0.012)) for x, y in whorls]
            return Hair(
                flow=_rosettes(moved),
                light=_whorled(_head_light, moved[:4]),
                long=0.056,
                broad=0.0051,
                many=8500,
            )
        case "satin":
            return Hair(
                flow=_from_nose,
                light=_head_light,
                long=0.036,
                broad=0.0040,
                many=11700,
                shine=0.5,
                wild=0.09,
            )
        case "hairless":
            return Hair(flow=_from_nose, light=_head_light, long=0.012, broad=0.0022, many=900)
        case _ if look.crest:
            return Hair(flow=_crested, light=_head_light, long=0.036, broad=0.0044, many=10100)
        case _:
            return Hair(flow=_from_nose, light=_head_light, long=0.036, broad=0.0044, many=10100)


def _whorled(
    light: Callable[[Floats, Floats], Floats], centres: Outline
) -> Callable[[Floats, Floats], Floats]:
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


def body_hair(look: Look) -> Hair:
    """How the hair of the body lies."""
    match look.hair:
        case "long":
            return Hair(
                flow=_falling,
                light=_body_light,
                long=0.16,
                broad=0.0051,
                many=5400,
                bend=0.2,
                shine=0.05,
                wild=0.12,
            )
        case "rosettes":
            whorls = [(0.16, 0.66), (0.84, 0.66), (0.3, 0.88), (0.7, 0.88)]
            return Hair(
                flow=_rosettes(whorls),
                light=_whorled(_body_light, whorls),
                long=0.06,
                broad=0.0055,
                many=7000,
            )
        case "hairless":
            return Hair(flow=_downwards, light=_body_light, long=0.012, broad=0.0022, many=300)
        case "satin":
            return Hair(
                flow=_downwards,
                light=_body_light,
                long=0.045,
                broad=0.0044,
                many=7800,
                shine=0.45,
                wild=0.1,
            )
        case _:
            return Hair(flow=_downwards, light=_body_light, long=0.045, broad=0.0051, many=7000)
