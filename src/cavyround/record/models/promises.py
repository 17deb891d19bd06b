"""Promises to look again, and things known to be harmless."""

from django.db import models

from cavyround.record.models.animals import Animal
from cavyround.record.models.checks import Check
from cavyround.record.models.entries import Append


class FollowUp(Append):
    """A promise to look again at something by a set time."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="follow_ups")
    due_at = models.DateTimeField()
    words = models.CharField(max_length=200)
    region = models.CharField(max_length=20, blank=True)
    finding = models.CharField(max_length=24, blank=True)
    side = models.CharField(max_length=4, default="N")
    urgency = models.CharField(max_length=16, default="carer_recheck")
    until_gone = models.BooleanField(default=True)
    advice = models.ForeignKey(
        "record.AdviceGiven", models.PROTECT, related_name="follow_ups", null=True, blank=True
    )

    class Meta:
        """Soonest first."""

        ordering = ("due_at",)
        indexes = [models.Index(fields=["animal", "due_at"])]

    def __str__(self) -> str:
        """What and for whom."""
        return f"Follow-up for {self.animal}: {self.words}"


class FollowUpOutcome(Append):
    """How a promise was kept, or why it was dropped."""

    OUTCOMES = [
        ("gone", "Gone"),
        ("better", "Better"),
        ("same", "The same"),
        ("worse", "Worse"),
        ("dropped", "Dropped"),
    ]

    follow_up = models.ForeignKey(FollowUp, models.PROTECT, related_name="outcomes")
    outcome = models.CharField(max_length=8, choices=OUTCOMES)
    check_in = models.ForeignKey(Check, models.PROTECT, null=True, blank=True, related_name="+")
    reason = models.TextField(blank=True)

    def __str__(self) -> str:
        """The outcome."""
        return f'Outcome "{self.outcome}" of a follow-up'


class StandingMark(Append):
    """A thing known and judged: "harmless fatty lump, vet saw it on …"."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="standing_marks")
    region = models.CharField(max_length=20)
    finding = models.CharField(max_length=24)
    side = models.CharField(max_length=4, default="N")
    size_mm = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    words = models.CharField(max_length=200)
    said_by = models.CharField(max_length=120)
    said_on = models.DateField()
    view = models.CharField(max_length=5, blank=True)
    x = models.PositiveSmallIntegerField(null=True, blank=True)
    y = models.PositiveSmallIntegerField(null=True, blank=True)

    def __str__(self) -> str:
        """Its words."""
        return self.words


class StandingMarkEnd(Append):
    """A standing mark no longer holds, and why."""

    mark = models.ForeignKey(StandingMark, models.PROTECT, related_name="ends")
    reason = models.TextField()

    def __str__(self) -> str:
        """Which mark."""
        return f'End of "{self.mark}"'
