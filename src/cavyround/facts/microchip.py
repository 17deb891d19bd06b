"""Microchip numbers in the form ISO 11784 gives them: 15 digits, or why not."""

from dataclasses import dataclass

DIGITS = 15
COUNTRY_DIGITS = 3
# ISO 11784: 38 bits of national identification code.
LARGEST_IDENTIFICATION = 2**38 - 1
LARGEST_COUNTRY = 2**10 - 1
MANUFACTURERS_FROM = 900
TEST_CODE = 999


@dataclass(frozen=True, slots=True)
class Microchip:
    """A number that fits the form. ``warning`` is empty unless something is odd about it."""

    digits: str
    warning: str = ""

    @property
    def shown(self) -> str:
        """The number in the groups people read back to each other: 968 000 004 531 234."""
        return " ".join(self.digits[i : i + 3] for i in range(0, DIGITS, 3))

    @property
    def code_hex(self) -> str:
        """The 64-bit transponder code: animal flag, country or maker, identification."""
        country = int(self.digits[:COUNTRY_DIGITS])
        identification = int(self.digits[COUNTRY_DIGITS:])
        return f"0x{(1 << 63) | (country << 38) | identification:016X}"


@dataclass(frozen=True, slots=True)
class NotAMicrochip:
    """Why a text is no such number, and what to do."""

    reason: str


def read_microchip(text: str) -> Microchip | NotAMicrochip:
    """Read a microchip number as a reader shows or a paper prints it.

    Spaces, dots, hyphens and a leading star are dropped. There is no check
    digit in the 15, so a second person should read the number back.

    Source: ISO 11784 (64-bit code: 10 bits country or maker, 38 bits identification).
    """
    digits = text.strip().lstrip("*")
    for filler in (" ", ".", "-", "\u00a0"):
        digits = digits.replace(filler, "")
    if not digits.isascii() or not digits.isdigit():
        return NotAMicrochip(
            "A microchip number has digits only. Was the letter O typed for a nought, "
            "or the letter I for a one? Read it from the reader again."
        )
    if len(digits) != DIGITS:
        return NotAMicrochip(
            f"A microchip number has {DIGITS} digits; this has {len(digits)}. "
            "Older chips of 9 or 10 signs are not of this form: put them under marks."
        )
    country, identification = int(digits[:COUNTRY_DIGITS]), int(digits[COUNTRY_DIGITS:])
    if identification > LARGEST_IDENTIFICATION or not 0 < country <= LARGEST_COUNTRY:
        return NotAMicrochip(
            "No chip can hold this number: the part after the first three digits may not "
            f"exceed {LARGEST_IDENTIFICATION}, and the first three may not be 000. Read it again."
        )
    if country == TEST_CODE:
        return Microchip(digits, "999 marks a test chip: read it again with another reader.")
    return Microchip(digits)
