"""What all entries of the record share: made once, by someone, at a moment, and never changed."""

from typing import Any, NoReturn, TypeVar
from uuid import UUID

from django.conf import settings
from django.db import models
from uuid6 import uuid7


class ChangeRefusedError(RuntimeError):
    """Somebody tried to change or delete an entry. Add a correction instead."""

    def __init__(self, what: str) -> None:
        """Say which entry, and what to do."""
        super().__init__(
            f"{what} is part of the record and is never changed or deleted. "
            "Add a new entry that corrects it and says why; the old one stays readable."
        )


def new_id() -> UUID:
    """A new id, made at the source and sortable by time (RFC 9562, UUIDv7)."""
    return UUID(bytes=uuid7().bytes)


class AppendQuerySet(models.QuerySet[Any]):
    """Rows that can be read and added, nothing else."""

    def update(self, **_kwargs: object) -> NoReturn:
        """Refuse."""
        raise ChangeRefusedError(self.model.__name__)

    def delete(self) -> NoReturn:
        """Refuse."""
        raise ChangeRefusedError(self.model.__name__)

    def bulk_create(self, *args: Any, **kwargs: Any) -> list[Any]:
        """Add several at once; refuse to write over one that is there."""
        if kwargs.get("update_conflicts"):
            raise ChangeRefusedError(self.model.__name__)
        return super().bulk_create(*args, **kwargs)


class Append(models.Model):
    """An entry: only ever added.

    ``made_at`` is when it was made at the table, ``received_at`` when the
    server got it, ``made_by`` who made it and ``sent_by`` whose sign-in sent
    it (another person may pick up a phone that still holds unsent entries).
    """

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    made_at = models.DateTimeField()
    received_at = models.DateTimeField(auto_now_add=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    sent_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", null=True, blank=True
    )

    objects = AppendQuerySet.as_manager()

    class Meta:
        """No table of its own."""

        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Insert; refuse to write over an entry that is there."""
        if not self._state.adding:
            raise ChangeRefusedError(str(self))
        kwargs["force_insert"] = True
        super().save(*args, **kwargs)

    def delete(self, *_args: object, **_kwargs: object) -> NoReturn:
        """Refuse."""
        raise ChangeRefusedError(str(self))


A = TypeVar("A", bound=Append)


def kept_already(table: type[A], entry: UUID | None) -> A | None:
    """The entry of this id, where it was kept before: sending twice is harmless."""
    if entry is None:
        return None
    found: A | None = table.objects.filter(pk=entry).first()
    return found
