"""Whether a condition of the knowledge holds for an animal, and on what that rests."""

from cavyround.engines.conditions.matching import Matcher, Support
from cavyround.engines.conditions.signalment import FOR_NAMING, FOR_PLANNING, FOR_URGENCY

__all__ = ["FOR_NAMING", "FOR_PLANNING", "FOR_URGENCY", "Matcher", "Support"]
