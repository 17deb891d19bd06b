"""Whether a condition of the knowledge holds for an animal, and on what that rests."""

from cavyround.engines.conditions.matching import Matcher, Support

__all__ = ["Matcher", "Support"]
