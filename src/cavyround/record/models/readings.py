"""What the entries of the checks come to: rows to ask questions of.

Each row is keyed by the entry it is read from. When an entry is taken back or
corrected the row goes or changes; the entries themselves never do.
"""

from django.conf import settings
from django.db import models

from cavyround.record.models.animals import Animal
from cavyround.record.models.checks import Check


class Reading(models.Model):
    """Shared by all readings."""

    id = models.UUIDField(primary_key=True, editable=False)
    animal = models.ForeignKey(Animal, models.PROTECT, related_name="+")
    check_in = models.ForeignKey(Check, models.PROTECT, related_name="+")
    at = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    corrected = models.BooleanField(default=False)

    class Meta:
        """No table of its own."""

        abstract = True


class Observed(Reading):
    """A finding at a place: present, absent or uncertain."""

    step = models.CharField(max_length=16)
    region = models.CharField(max_length=20)
    side = models.CharField(max_length=4, default="N")
    finding = models.CharField(max_length=24)
    status = models.CharField(max_length=10, default="present")
    grade = models.CharField(max_length=10, blank=True)
    kinds = models.JSONField(default=list)
    value = models.DecimalField(max_digits=9, decimal_places=2, null=True)
    unit = models.CharField(max_length=8, blank=True)
    began_at = models.DateTimeField(null=True)
    mark = models.ForeignKey("record.StandingMark", models.PROTECT, null=True, related_name="+")

    class Meta:
        """Newest first for an animal."""

        indexes = [models.Index(fields=["animal", "-at"])]


class WeighIn(Reading):
    """A weight in grams, with what was typed and in which unit."""

    grams = models.DecimalField(max_digits=7, decimal_places=1)
    as_typed = models.CharField(max_length=24, blank=True)
    doubted = models.BooleanField(default=False)

    class Meta:
        """Newest first for an animal."""

        indexes = [models.Index(fields=["animal", "-at"])]


class StepState(Reading):
    """What was done about one step in a check; a step without a row was not checked."""

    step = models.CharField(max_length=16)
    state = models.CharField(max_length=8)

    class Meta:
        """One state for each step of a check."""

        constraints = [
            models.UniqueConstraint(fields=["check_in", "step"], name="one_state_for_a_step")
        ]
        indexes = [models.Index(fields=["animal", "state", "step", "-at"])]


class CareDone(Reading):
    """A small care item and how far it got."""

    care = models.CharField(max_length=24)
    side = models.CharField(max_length=4, default="N")
    status = models.CharField(max_length=10)
    product = models.CharField(max_length=60, blank=True)
    detail = models.CharField(max_length=200, blank=True)

    class Meta:
        """Newest first for an animal."""

        indexes = [models.Index(fields=["animal", "-at"])]


class Happened(Reading):
    """Something told or known to have happened to the animal."""

    what = models.CharField(max_length=32)
    on = models.DateField(null=True)
    note = models.CharField(max_length=200, blank=True)

    class Meta:
        """Newest first for an animal."""

        indexes = [models.Index(fields=["animal", "-at"])]


class BodyPlace(Reading):
    """A place marked on the outline of the body.

    ``x`` and ``y`` run from 0 to 1000 over the outline seen from above or
    below; ``size_mm`` is empty where nobody measured.
    """

    view = models.CharField(max_length=5)
    x = models.PositiveSmallIntegerField()
    y = models.PositiveSmallIntegerField()
    size_mm = models.DecimalField(max_digits=5, decimal_places=1, null=True)
    words = models.CharField(max_length=120, blank=True)
    observation_id = models.UUIDField(null=True)
