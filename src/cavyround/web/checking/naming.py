"""Ids as they come from outside."""

from uuid import UUID

# Names nothing: what an unreadable id is taken as, and the gap in an address the screen fills.
NOTHING = UUID(int=0)


def id_of(text: str) -> UUID:
    """The id a text names; an unreadable one names nothing."""
    try:
        return UUID(text)
    except ValueError:
        return NOTHING
