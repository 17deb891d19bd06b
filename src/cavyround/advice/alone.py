"""Why animals live alone, and whether that spares them the search for company."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from uuid import UUID

from cavyround.advice.book import book
from cavyround.facts.housing import Health
from cavyround.knowledge.living import AloneReason
from cavyround.record.alone import alone_now
from cavyround.record.models import LivesAlone

KEPT_FOR_HEALTH = frozenset({Health.QUARANTINE, Health.WATCHED, Health.ISOLATED})


@dataclass(frozen=True, slots=True)
class Alone:
    """What stands of why an animal lives alone; without a row nothing was said."""

    row: LivesAlone | None = None
    reason: AloneReason | None = None

    @property
    def words(self) -> str:
        """Why, in words: what was typed where the reason is another one."""
        if self.row is None or self.reason is None:
            return ""
        if self.reason.id == "other":
            return self.row.words
        said_by = f" ({self.row.said_by})" if self.row.said_by else ""
        more = f": {self.row.words}" if self.row.words else ""
        return f"{self.reason.words}{said_by}{more}"

    @property
    def told(self) -> str:
        """Why and since when."""
        if self.row is None:
            return ""
        return f"{self.words}, since {self.row.on.day} {self.row.on:%B %Y}"

    @property
    def keeps(self) -> bool:
        """Whether it is to live alone: nobody is put with it until somebody ends it."""
        return self.reason is not None and self.reason.company == "none"

    def needs_company(self, health: Health) -> bool:
        """Whether company is still to be found: a reason is not always an excuse."""
        if self.reason is None or self.reason.company == "needed":
            return True
        return self.reason.company == "later" and health not in KEPT_FOR_HEALTH

    def excuse(self, health: Health) -> str:
        """Why it may live alone, empty where it needs company all the same."""
        return "" if self.needs_company(health) else self.told


def alone_of(animals: Collection[UUID]) -> Mapping[UUID, Alone]:
    """What stands for each of these animals that has something said of it."""
    return {key: alone_by(row) for key, row in alone_now(animals).items()}


def alone_by(row: LivesAlone) -> Alone:
    """What one row says; a reason the knowledge no longer has counts as another one."""
    known = {reason.id: reason for reason in book().living.alone_reasons}
    return Alone(row, known.get(row.because, known["other"]))
