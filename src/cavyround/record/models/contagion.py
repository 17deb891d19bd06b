"""What was shared and cleaned, quarantines, outbreaks, and moves that were written down wrongly."""

from django.db import models

from cavyround.record.models.animals import Animal, Move
from cavyround.record.models.entries import Append
from cavyround.record.models.places import Pen


class MoveCorrected(Append):
    """A move was at another moment (``at``), or never was (``withdrawn``); the last word counts."""

    move = models.ForeignKey(Move, models.PROTECT, related_name="corrections")
    at = models.DateTimeField(null=True, blank=True)
    withdrawn = models.BooleanField(default=False)
    why = models.CharField(max_length=200)

    def __str__(self) -> str:
        """Which move."""
        return f"Correction of a {self.move}"


class SharedUse(Append):
    """An animal in a shared run, at a shared thing, or in a person's hands besides its checks."""

    KINDS = [("run", "Run"), ("things", "Brush, box, scale, towel"), ("hands", "Hands of a person")]

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="shared_uses")
    kind = models.CharField(max_length=8, choices=KINDS)
    name = models.CharField(max_length=60)
    began_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """Found by when they began."""

        indexes = [models.Index(fields=["began_at"])]

    def __str__(self) -> str:
        """Who and what."""
        return f"{self.animal} at {self.name}"


class PenCleaned(Append):
    """A pen was cleaned so that it no longer counts as catching, and how."""

    pen = models.ForeignKey(Pen, models.PROTECT, related_name="cleanings")
    at = models.DateTimeField()
    how = models.CharField(max_length=200)

    def __str__(self) -> str:
        """Which pen."""
        return f"{self.pen} cleaned"


class QuarantineSet(Append):
    """How long an animal is kept apart, from when, and why; the last one counts."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="quarantines")
    began_on = models.DateField()
    days = models.PositiveSmallIntegerField()
    second_look_days = models.PositiveSmallIntegerField()
    last_check_days = models.PositiveSmallIntegerField()
    air_counts = models.BooleanField(default=True)
    suspected = models.CharField(max_length=24, blank=True)
    why = models.CharField(max_length=200)

    def __str__(self) -> str:
        """Who and for how long."""
        return f"Quarantine of {self.animal}, {self.days} days from {self.began_on}"


class QuarantineEnd(Append):
    """A quarantine ended. ``missing`` are the codes of what was not met, then ``why`` says why."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="quarantine_ends")
    on = models.DateField()
    missing = models.JSONField(default=list)
    why = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        """Who and when."""
        return f"End of the quarantine of {self.animal} on {self.on}"


class Outbreak(Append):
    """Something catching was found: what it may be, and the case definition as it stood."""

    kind = models.CharField(max_length=24)
    name = models.CharField(max_length=80)
    definition = models.TextField()
    opened_on = models.DateField()
    advice = models.ForeignKey(
        "record.AdviceGiven", models.PROTECT, related_name="outbreaks", null=True, blank=True
    )

    def __str__(self) -> str:
        """Its name."""
        return self.name


class OutbreakCase(Append):
    """What is said of one animal as a case; of several the last counts."""

    SURE = [
        ("suspected", "Suspected"),
        ("confirmed", "Confirmed"),
        ("ruled_out", "Ruled out"),
    ]

    outbreak = models.ForeignKey(Outbreak, models.PROTECT, related_name="cases")
    animal = models.ForeignKey(Animal, models.PROTECT, related_name="outbreak_cases")
    signs_at = models.DateTimeField()
    sure = models.CharField(max_length=10, choices=SURE, default="suspected")
    over_at = models.DateTimeField(null=True, blank=True)
    why = models.CharField(max_length=200)

    def __str__(self) -> str:
        """Who and how sure."""
        return f"{self.animal}: {self.get_sure_display().lower()} case of {self.outbreak}"


class OutbreakSaid(Append):
    """Somebody says that a condition of closing is met."""

    outbreak = models.ForeignKey(Outbreak, models.PROTECT, related_name="said")
    code = models.CharField(max_length=24)
    words = models.CharField(max_length=200)

    def __str__(self) -> str:
        """What was said."""
        return f"{self.outbreak}: {self.code}"


class OutbreakClosed(Append):
    """An outbreak was closed; ``unmet`` are the codes of what was not met, and ``why`` says why."""

    outbreak = models.OneToOneField(Outbreak, models.PROTECT, related_name="closed")
    on = models.DateField()
    unmet = models.JSONField(default=list)
    why = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        """Which and when."""
        return f"{self.outbreak} closed on {self.on}"
