"""What the tracing says, in the words of the pages."""

from datetime import date, datetime, timedelta

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.engines.contagion.changes import ChangeKind
from cavyround.engines.contagion.presences import Way
from cavyround.engines.contagion.quarantine import Restart
from cavyround.engines.contagion.reach import LONG_AGO
from cavyround.engines.contagion.tracing import Strength

STRENGTHS = {
    Strength.CLOSE_DIRECT: "Shared a pen or run with a case",
    Strength.WEAK_DIRECT: "Weaker contact with a case",
    Strength.CLOSE_THROUGH: "Shared a pen or run with one of those",
    Strength.WEAK_THROUGH: "Weaker contact with one of those",
    Strength.NOT_KNOWN: "Not known: nobody knows where it, or a case, was",
}
CHANGES = {
    ChangeKind.NEW_CASE: "new case",
    ChangeKind.CASE_OVER: "case over",
    ChangeKind.RULED_OUT: "ruled out",
    ChangeKind.NEWLY_EXPOSED: "newly exposed",
    ChangeKind.MORE_STRONGLY: "more strongly exposed than was known",
    ChangeKind.NO_LONGER: "no longer counts as exposed",
    ChangeKind.LOOKED_AT: "looked at",
}
RESTARTS = {
    Restart.CAME: "began",
    Restart.MET: "contact",
    Restart.CONTACT: "last contact",
    Restart.NEWCOMER_PEN: "newcomer in the pen",
    Restart.NEWCOMER_AIR: "newcomer in the room",
    Restart.NEW_SIGN: "new sign",
}
TASKS = {
    "isolate": "Isolate",
    "say": "Is it a case?",
    "check": "Look at on these days",
    "together": "Treat together",
    "no_adoption": "Keep from adoption",
    "tell": "Tell fosters and adopters",
    "people": "People who handled them",
    "clean": "Clean",
}


def way_words(way: Way | None) -> str:
    """A way of contact in words."""
    return book().contagion.ways[way.value].words if way is not None else ""


def since_words(moment: datetime | None) -> str:
    """Since when; long ago where nobody can say."""
    if moment is None:
        return "nobody knows since when"
    if moment <= LONG_AGO + timedelta(days=2):
        return "since before anything was written down"
    return f"since {short_day(timezone.localdate(moment))}"


def last_words(moment: datetime | None) -> str:
    """Until when."""
    if moment is None:
        return "still in contact"
    return f"last on {short_day(timezone.localdate(moment))}"


def short_day(day: date) -> str:
    """``3 March``; with its year where that is not this one."""
    year = "" if day.year == timezone.localdate().year else f" {day.year}"
    return f"{day.day} {day:%B}{year}"


def days_words(days: int) -> str:
    """``today``, ``in 1 day``, ``in 5 days``."""
    if days <= 0:
        return "today"
    return "in 1 day" if days == 1 else f"in {days} days"
