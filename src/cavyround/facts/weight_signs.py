"""What the weighings say, as codes that rules may ask for, each with its words."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightSigns:
    """The signs that hold. ``words`` has a sentence with numbers, units and days for each."""

    words: Mapping[str, str] = field(default_factory=dict)

    def __contains__(self, sign: object) -> bool:
        """Whether a sign holds."""
        return sign in self.words
