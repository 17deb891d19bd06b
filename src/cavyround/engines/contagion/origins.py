"""From whom a case may have caught it: whom it met in the time in which it must have."""

from collections.abc import Collection, Sequence
from datetime import datetime

from cavyround.engines.contagion.cases import CaseWindow
from cavyround.engines.contagion.meetings import Contact, contacts_of
from cavyround.engines.contagion.presences import WAYS, Lasts, Way, presences_of
from cavyround.engines.contagion.reach import LONG_AGO, Catching
from cavyround.facts.stays import SharedUse, Stay


def met_before(
    window: CaseWindow,
    stays: Sequence[Stay],
    uses: Sequence[SharedUse],
    *,
    lasts: Lasts,
    ways: Collection[Way] = WAYS,
) -> tuple[Contact, ...]:
    """Meetings of a case with others between the days on which it can have caught it.

    The other comes first in each contact (``case``): it would be the one that passed it on.
    Empty where no incubation is published: then any earlier contact may be the one.
    """
    if window.caught_from is None or window.caught_until is None:
        return ()
    presences = presences_of(stays, uses, lasts)
    own = window.case.animal
    places = {one.place for one in presences if one.animal == own}
    there = [one for one in presences if one.place in places]
    others = sorted({one.animal for one in there} - {own})
    sources = [Catching(animal=name, since=LONG_AGO) for name in others]
    met = contacts_of(there, sources, ways, met_by=own)
    return tuple(
        sorted(
            (one for one in met if _within(one, window.caught_from, window.caught_until)),
            key=lambda one: (WAYS.index(one.way), one.since, one.case),
        )
    )


def _within(contact: Contact, begin: datetime, end: datetime) -> bool:
    return contact.since <= end and (contact.until is None or contact.until > begin)
