"""Doses as they were given or tried, their corrections, and what was answered about them."""

from django.conf import settings
from django.db import models

from cavyround.record.models.courses import Course
from cavyround.record.models.entries import Append
from cavyround.record.models.shelf import Lot


class DoseOutcome(models.TextChoices):
    """What became of a dose. Guinea pigs cannot vomit, so it is not offered."""

    GIVEN = "given", "Given"
    PARTLY = "partly", "Partly taken"
    REFUSED = "refused", "Refused, nothing went in"
    SPAT_OUT = "spat_out", "Spat out, perhaps some went in"
    NOT_GIVEN = "not_given", "Not given"


class DoseEntry(Append):
    """One try at one dose: when, what became of it, and what it was worked out from.

    ``number`` is the due dose it answers, None where nobody said. ``amount`` in ``unit`` is
    what was drawn from the ``lot``. ``second`` is the person who checked it, ``second_said``
    what that person worked out. ``worked`` is the dose as it was shown: mark, sum by hand,
    cautions, versions.
    """

    course = models.ForeignKey(Course, models.PROTECT, related_name="doses")
    number = models.PositiveSmallIntegerField(null=True, blank=True)
    at = models.DateTimeField()
    outcome = models.CharField(max_length=9, choices=DoseOutcome.choices)
    why = models.CharField(max_length=200, blank=True)
    weight_g = models.DecimalField(max_digits=7, decimal_places=1, null=True, blank=True)
    weighed_at = models.DateTimeField(null=True, blank=True)
    amount = models.DecimalField(max_digits=12, decimal_places=6, null=True, blank=True)
    unit = models.CharField(max_length=8, blank=True)
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="doses", null=True, blank=True)
    syringe = models.CharField(max_length=40, blank=True)
    second = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", null=True, blank=True
    )
    second_said = models.CharField(max_length=60, blank=True)
    worked = models.JSONField(default=dict)

    class Meta:
        """In the order of time."""

        ordering = ("at", "id")
        indexes = [models.Index(fields=["course", "at"])]

    def __str__(self) -> str:
        """What became of it."""
        return f"Dose of {self.course}: {self.get_outcome_display()}"


class DoseCorrection(Append):
    """A dose entry no longer stands, and why; ``replacement`` stands instead, if any."""

    corrects = models.ForeignKey(DoseEntry, models.PROTECT, related_name="corrections")
    replacement = models.ForeignKey(
        DoseEntry, models.PROTECT, related_name="replaces", null=True, blank=True
    )
    why = models.CharField(max_length=200)

    def __str__(self) -> str:
        """Which entry."""
        return f"Correction of: {self.corrects}"


class DoseAnswer(Append):
    """An answer to a question after a dose: the question's id and the words chosen."""

    course = models.ForeignKey(Course, models.PROTECT, related_name="answers")
    dose = models.ForeignKey(
        DoseEntry, models.PROTECT, related_name="answers", null=True, blank=True
    )
    question = models.CharField(max_length=40)
    answer = models.CharField(max_length=120)
    note = models.CharField(max_length=200, blank=True)
    at = models.DateTimeField()

    class Meta:
        """In the order of time."""

        ordering = ("at", "id")
        indexes = [models.Index(fields=["course", "at"])]

    def __str__(self) -> str:
        """Its words."""
        return self.answer


class DoseAnswerTakenBack(Append):
    """An answer no longer stands, and why; the question may be asked again."""

    answer = models.ForeignKey(DoseAnswer, models.PROTECT, related_name="taken_back")
    why = models.CharField(max_length=200)

    def __str__(self) -> str:
        """Which answer."""
        return f"Taken back: {self.answer}"
