"""Ears, eyes, nose, mouth and whiskers."""

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from cavyround.demo.coats import COLOURS, Colour, Look
from cavyround.demo.fur import Window, smooth_outline, soft_shape

EYES: dict[str, tuple[Colour, Colour]] = {
    "dark": (22, 17, 17), "ruby": (84, 18, 22), "pink": (186, 62, 74), "cloudy": (22, 17, 17)
}  # type: ignore[dict-item]
