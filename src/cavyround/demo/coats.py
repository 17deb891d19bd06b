"""What each animal looks like: colours, where they lie, hair, eyes and ears."""

from dataclasses import dataclass

Colour = tuple[int, int, int]

COLOURS: dict[str, Colour] = {
    "black": (47, 43, 44),
    "chocolate": (92, 62, 47),
    "slate": (104, 106, 114),
    "lilac": (168, 152, 148),
    "red": (176, 90, 44),
    "gold": (214, 148, 74),
    "buff": (231, 190, 132),
    "cream": (244, 225, 190),
    "white": (248, 244, 237),
    "agouti": (92, 76, 58),
    "silver": (128, 124, 120),
    "cinnamon": (160, 112, 74),
    "skin": (231, 184, 168),
    "dark_skin": (122, 98, 96),
}
TICKING: dict[str, Colour] = {
    "agouti": (206, 164, 104),
    "silver": (226, 222, 214),
    "cinnamon": (228, 176, 120),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """The looks of one animal.

    ``patches`` are (where, colour) in the order they are laid on; ``where`` is
    one of ``PATCHES``. ``hair`` is smooth, long, rosettes, satin or hairless.
    ``eyes`` are dark, ruby, pink or cloudy (one lens clouded).
    """

    base: str
    patches: tuple[tuple[str, str], ...] = ()
    hair: str = "smooth"
    eyes: str = "dark"
    dark_skin: bool = False
    roan: bool = False
    crest: str = ""
    young: bool = False
    old: bool = False
    backdrop: int = 0


# Each patch is made of ellipses (middle x, middle y, half width, half height) on a picture that
# runs from 0 to 1 both ways; left is the left of the picture.
PATCHES: dict[str, tuple[tuple[float, float, float, float], ...]] = {
    "blaze": ((0.5, 0.2, 0.05, 0.16), (0.5, 0.4, 0.055, 0.2), (0.5, 0.66, 0.16, 0.13)),
    "narrow_blaze": ((0.5, 0.24, 0.022, 0.16), (0.5, 0.45, 0.026, 0.14), (0.5, 0.63, 0.09, 0.075)),
    "muzzle": ((0.5, 0.67, 0.165, 0.135),),
    "nose": ((0.5, 0.55, 0.088, 0.105),),
    "left_face": ((0.3, 0.42, 0.205, 0.34),),
    "right_face": ((0.7, 0.42, 0.205, 0.34),),
    "left_eye": ((0.335, 0.4, 0.125, 0.135),),
    "right_eye": ((0.665, 0.4, 0.125, 0.135),),
    "left_cheek": ((0.27, 0.62, 0.14, 0.15),),
    "right_cheek": ((0.73, 0.62, 0.14, 0.15),),
    "crown": ((0.5, 0.19, 0.17, 0.1),),
    "chin": ((0.5, 0.79, 0.2, 0.065),),
    "chest": ((0.5, 0.9, 0.27, 0.13),),
    "left_shoulder": ((0.14, 0.76, 0.16, 0.25),),
    "right_shoulder": ((0.86, 0.76, 0.16, 0.25),),
    "body": ((0.5, 0.86, 0.6, 0.32),),
    "eye_rings": ((0.335, 0.42, 0.078, 0.085), (0.665, 0.42, 0.078, 0.085)),
}
