"""Weight: what is true behind the scatter, what it means, and whether a reading can be right."""

from cavyround.engines.weight.doubting import doubt_of
from cavyround.engines.weight.herd import read_herd
from cavyround.engines.weight.learning import learn
from cavyround.engines.weight.numbers import HerdNorms
from cavyround.engines.weight.signs import plain_signs, weight_doubt
from cavyround.engines.weight.story import read_days, read_stories, read_story
from cavyround.engines.weight.together import signs_with, weight_signs, with_plain_signs

__all__ = [
    "HerdNorms",
    "doubt_of",
    "learn",
    "plain_signs",
    "read_days",
    "read_herd",
    "read_stories",
    "read_story",
    "signs_with",
    "weight_doubt",
    "weight_signs",
    "with_plain_signs",
]
