"""Checks and their entries: the log that everything clinical is read from."""

from django.conf import settings
from django.db import models

from cavyround.record.models.animals import Animal
from cavyround.record.models.entries import Append, new_id


class CheckKind(models.TextChoices):
    """What was meant to be done."""

    FULL = "full", "Full check"
    QUICK = "quick", "Quick feel"
    RECHECK = "recheck", "Look again"
    ARRIVAL = "arrival", "Arrival check"
    WEIGH_IN = "weigh_in", "Weigh-in"
    NOTE = "note", "Note"


class Check(models.Model):
    """One animal on the table once. Two phones at once are two checks; both are kept.

    ``finished_at`` and ``put_down_at`` are read from its entries.
    """

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    animal = models.ForeignKey(Animal, models.PROTECT, related_name="checks")
    kind = models.CharField(max_length=8, choices=CheckKind.choices, default=CheckKind.FULL)
    started_at = models.DateTimeField()
    started_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    # The steps that were on the screens: what is not among the states of these was not checked.
    planned = models.JSONField(default=list)
    finished_at = models.DateTimeField(null=True, blank=True)
    put_down_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """Newest first."""

        ordering = ("-started_at",)
        indexes = [
            models.Index(fields=["animal", "-started_at"]),
            models.Index(fields=["-started_at"]),
            # Not of the unfinished: whoever asks for those asks by animal or by when they began.
            models.Index(
                fields=["finished_at"],
                condition=models.Q(finished_at__isnull=False),
                name="check_finished_at",
            ),
        ]

    def __str__(self) -> str:
        """Which animal, when."""
        return f"{self.get_kind_display()} of {self.animal}, {self.started_at:%Y-%m-%d %H:%M}"


class CheckEntry(Append):
    """One touch at the table, as it was made; ``data`` is read by ``facts.sitting``."""

    check_in = models.ForeignKey(Check, models.PROTECT, related_name="entries")
    kind = models.CharField(max_length=16)
    data = models.JSONField()

    class Meta:
        """In the order they were made: the ids sort by time."""

        ordering = ("id",)

    def __str__(self) -> str:
        """What kind of touch."""
        return f'Entry "{self.kind}"'
