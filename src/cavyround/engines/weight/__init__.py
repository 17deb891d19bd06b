"""Weight: signs from a row of weighings, and whether a new one is plausible."""

from cavyround.engines.weight.signs import weight_doubt, weight_signs

__all__ = ["weight_doubt", "weight_signs"]
