"""Who is kept apart, why and until when: the clocks of quarantine, and the exposed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from cavyround.advice.outbreaks_today import Watched, watched
from cavyround.advice.quarantine import Quarantined, in_quarantine
from cavyround.facts.housing import Health


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptApart:
    """How one animal is kept apart, and the words for why and until when."""

    health: Health
    because: str


@dataclass(frozen=True, slots=True)
class Apart:
    """All that are kept apart, by the key of the animal."""

    quarantined: Mapping[str, Quarantined] = field(default_factory=dict)
    exposed: Mapping[str, Watched] = field(default_factory=dict)

    def of(self, animal: str) -> KeptApart | None:
        """How this one is kept apart; the clock of a quarantine goes before being exposed."""
        quarantined, exposed = self.quarantined.get(animal), self.exposed.get(animal)
        if quarantined is not None and quarantined.via is None:
            return KeptApart(health=Health.QUARANTINE, because=_clock_words(quarantined))
        if exposed is not None:
            return KeptApart(health=Health.WATCHED, because=_watch_words(exposed))
        if quarantined is not None:
            # It stays where it is, as a closed group: a move would carry further what it may have.
            health = Health.WATCHED if not quarantined.stands_in_quarantine else Health.QUARANTINE
            return KeptApart(health=health, because=_clock_words(quarantined))
        return None


def apart_now(now: datetime, quarantined: Iterable[Quarantined] | None = None) -> Apart:
    """Everybody whose quarantine runs, wherever it stands, and the exposed that are watched.

    ``quarantined`` are those in quarantine, where they are known already.
    """
    running = in_quarantine(now) if quarantined is None else quarantined
    return Apart(
        quarantined={str(one.animal.pk): one for one in running},
        exposed=watched(now),
    )


def _clock_words(one: Quarantined) -> str:
    """An over-long clock still holds until somebody ends it: what is missing is said."""
    clock = one.clock
    why = f"{clock.began.words} on {_day(clock.began.on)}"
    if clock.days_left:
        return f"until {_day(clock.ends_on)} ({why})"
    missing = " ".join(need.what for need in clock.missing)
    left = f"still missing: {missing.rstrip('.')}" if missing else "nobody has ended it yet"
    return f"its days were over on {_day(clock.ends_on)}, {left} ({why})"


def _watch_words(one: Watched) -> str:
    if one.until is None:
        return f"{one.words}, until {one.days} days after the contact ends; it still lasts"
    return f"{one.words}, until {_day(one.until)} and looked at on that day"


def _day(day: date) -> str:
    return f"{day.day} {day:%B %Y}"
