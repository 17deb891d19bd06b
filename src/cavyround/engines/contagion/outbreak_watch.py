"""Who of the exposed is watched, and who is not here any more."""

from datetime import date, datetime, tzinfo

from cavyround.engines.contagion.outbreak_said import OutbreakFacts
from cavyround.engines.contagion.tracing import Exposure, Strength, Traced


def is_gone(facts: OutbreakFacts, animal: str) -> bool:
    """Whether it left the rescue; one in a foster home did not."""
    left = facts.left.get(animal)
    return left is not None and left.how != "fostered"


def watched_of(traced: Traced) -> list[Exposure]:
    """Whom to look at on days of their own. Weak contact with one that is itself only exposed is
    listed and looked at in the usual checks: else every animal of a house were on the list.
    """
    return [one for one in traced.exposures if is_watched(one)]


def is_watched(one: Exposure) -> bool:
    """Whether it is looked at: not for a weak contact through others."""
    return one.strength is not Strength.WEAK_THROUGH


def day_of(moment: datetime, zone: tzinfo) -> date:
    """The day of a moment in the rescue."""
    return moment.astimezone(zone).date()
