"""Weight: what is true behind the scatter, what it means, and whether a reading can be right."""

from cavyround.engines.weight.doubting import doubt_of
from cavyround.engines.weight.herd import read_herd
from cavyround.engines.weight.learning import learn
from cavyround.engines.weight.numbers import HerdNorms
from cavyround.engines.weight.signs import weight_doubt, weight_signs
from cavyround.engines.weight.story import read_days, read_stories, read_story

__all__ = [
    "HerdNorms",
    "doubt_of",
    "learn",
    "read_days",
    "read_herd",
    "read_stories",
    "read_story",
    "weight_doubt",
    "weight_signs",
]
