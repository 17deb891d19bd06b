"""What the weights of each animal say, kept so that no page reckons a herd anew.

Neither table holds anything that cannot be computed again from the weighings.
"""

from django.db import models

from cavyround.record.models.animals import Animal


class WeightSaid(models.Model):
    """The last reading of one animal's weights. ``said`` is the reading as it is shown.

    ``score`` rises with concern and is 0 where an alarm begins; ``level`` is the
    urgency as a number; ``weigh_next_at`` is when it should be weighed again.
    """

    animal = models.OneToOneField(
        Animal, models.CASCADE, primary_key=True, related_name="weight_said"
    )
    last_at = models.DateTimeField(null=True)
    said_at = models.DateTimeField()
    level = models.PositiveSmallIntegerField(default=0)
    kind = models.CharField(max_length=12, blank=True)
    score = models.FloatField(default=0)
    weigh_next_at = models.DateTimeField(null=True)
    weigh_why = models.CharField(max_length=120, blank=True)
    said = models.JSONField(default=dict)

    class Meta:
        """Those to worry about first."""

        indexes = [models.Index(fields=["-score"]), models.Index(fields=["weigh_next_at"])]

    def __str__(self) -> str:
        """Whose."""
        return f"What the weights of {self.animal} say"


class HerdTaught(models.Model):
    """What the herd's own weighings had taught by one day."""

    on = models.DateField(primary_key=True)
    noise_pct = models.FloatField()
    wander_pct = models.FloatField()
    growth_per_day = models.FloatField()
    weighings = models.PositiveIntegerField()

    class Meta:
        """Newest first."""

        ordering = ("-on",)

    def __str__(self) -> str:
        """By which day."""
        return f"What the herd had taught by {self.on}"
