"""Days on which nobody is there to give a dose: an order may let a dose be moved off them."""

from django.db import models

from cavyround.record.models.entries import Append


class DayOff(Append):
    """Nobody is there on this day."""

    day = models.DateField()
    why = models.CharField(max_length=120, blank=True)

    class Meta:
        """Soonest first."""

        ordering = ("day", "id")
        indexes = [models.Index(fields=["day"])]

    def __str__(self) -> str:
        """Which day."""
        return f"Nobody is there on {self.day}"


class DayOffTakenBack(Append):
    """Somebody is there after all."""

    day_off = models.ForeignKey(DayOff, models.PROTECT, related_name="taken_back")

    def __str__(self) -> str:
        """Which day."""
        return f"Taken back: {self.day_off}"
