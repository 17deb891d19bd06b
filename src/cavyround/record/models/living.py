"""Sexings, castrations, litters, bonds and quarrels, introductions: dated facts, only added."""

from django.db import models

from cavyround.record.models.animals import Animal, SexChoice, SureChoice
from cavyround.record.models.entries import Append
from cavyround.record.models.places import Pen


class Sexing(Append):
    """Somebody looked at the sex of an animal; ``looked_by`` where it was another person."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="sexings")
    sex = models.CharField(max_length=8, choices=SexChoice.choices)
    sure = models.CharField(max_length=12, choices=SureChoice.choices)
    how = models.CharField(max_length=200, blank=True)
    looked_by = models.CharField(max_length=120, blank=True)

    def __str__(self) -> str:
        """Who and what."""
        return f"{self.animal} sexed as {self.sex}"


class Castration(Append):
    """The day an animal was neutered, and by whom."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="castrations")
    on = models.DateField()
    by_whom = models.CharField(max_length=120, blank=True)

    def __str__(self) -> str:
        """Who and when."""
        return f"{self.animal} neutered on {self.on}"


class PupsFelt(Append):
    """Pups were felt, seen to move, or counted by the vet on a day."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="pups_felt")
    on = models.DateField()
    moving = models.BooleanField(default=False)
    sure = models.BooleanField(default=True)
    pups = models.PositiveSmallIntegerField(null=True, blank=True)
    said_by = models.CharField(max_length=120, blank=True)

    def __str__(self) -> str:
        """In whom."""
        return f"Pups felt in {self.animal}"


class Litter(Append):
    """A litter: its mother, the day, how many were born alive and dead where that is known."""

    dam = models.ForeignKey(Animal, models.PROTECT, related_name="litters")
    born_on = models.DateField()
    born_alive = models.PositiveSmallIntegerField(null=True, blank=True)
    born_dead = models.PositiveSmallIntegerField(null=True, blank=True)
    note = models.TextField(blank=True)

    class Meta:
        """Those of the last weeks are looked for."""

        indexes = [models.Index(fields=["born_on"])]

    def __str__(self) -> str:
        """Whose and when."""
        return f"Litter of {self.dam}, {self.born_on}"


class LitterPup(Append):
    """A pup of a litter that has a page of its own."""

    litter = models.ForeignKey(Litter, models.PROTECT, related_name="pups")
    animal = models.ForeignKey(Animal, models.PROTECT, related_name="of_litters")

    def __str__(self) -> str:
        """Who."""
        return f"{self.animal}, of the {self.litter}"


class TieKind(models.TextChoices):
    """What is between two animals."""

    BONDED = "bonded", "Bonded: they stay together"
    BOND_OVER = "bond_over", "No longer bonded"
    QUARREL = "quarrel", "Quarrelled, no blood"
    BLOOD = "blood", "Fought, and one bled"
    NEVER = "never", "Never to be together"
    NEVER_OVER = "never_over", "May be tried again"


class Tie(Append):
    """A bond or a quarrel of two animals on a day; the last word on each counts."""

    one = models.ForeignKey(Animal, models.PROTECT, related_name="ties_as_one")
    other = models.ForeignKey(Animal, models.PROTECT, related_name="ties_as_other")
    kind = models.CharField(max_length=12, choices=TieKind.choices)
    on = models.DateField()
    words = models.CharField(max_length=200, blank=True)

    class Meta:
        """In the order they were on."""

        ordering = ("on", "made_at")
        indexes = [models.Index(fields=["-on", "-made_at"], name="record_tie_newest")]

    def __str__(self) -> str:
        """Both."""
        return f"{self.one} and {self.other}: {self.get_kind_display()}"


class Introduction(Append):
    """Animals were put together to be introduced, from a moment, in a pen."""

    pen = models.ForeignKey(Pen, models.PROTECT, related_name="+", null=True, blank=True)
    began_at = models.DateTimeField()
    words = models.CharField(max_length=200, blank=True)

    class Meta:
        """Those of the last weeks are looked for."""

        indexes = [models.Index(fields=["began_at"])]

    def __str__(self) -> str:
        """When."""
        return f"Introduction begun on {self.began_at:%d %B %Y}"


class Introduced(Append):
    """One of the animals of an introduction."""

    introduction = models.ForeignKey(Introduction, models.PROTECT, related_name="members")
    animal = models.ForeignKey(Animal, models.PROTECT, related_name="introductions")

    def __str__(self) -> str:
        """Who."""
        return f"{self.animal} introduced"


class IntroductionOutcome(Append):
    """How an introduction went; it is over then."""

    OUTCOMES = [
        ("bonded", "They are bonded"),
        ("together", "They live together, not bonded"),
        ("parted", "They were parted"),
    ]

    introduction = models.ForeignKey(Introduction, models.PROTECT, related_name="outcomes")
    outcome = models.CharField(max_length=8, choices=OUTCOMES)
    words = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        """What."""
        return f"{self.get_outcome_display()}"


class LivingTakenBack(Append):
    """A sexing, castration, pups felt or a litter was written down wrongly; it counts no more.

    ``entry`` is the key of what is taken back; that stays readable, with ``why``.
    """

    WHAT = [
        ("sexing", "A look at the sex"),
        ("castration", "Neutered"),
        ("pups_felt", "Pups felt"),
        ("litter", "A litter"),
    ]

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="living_taken_back")
    what = models.CharField(max_length=10, choices=WHAT)
    entry = models.UUIDField(unique=True)
    why = models.CharField(max_length=200)

    def __str__(self) -> str:
        """What."""
        return f"Taken back of {self.animal}: {self.get_what_display().lower()}"
