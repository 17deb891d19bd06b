"""Rooms, which share their air, and the pens in them."""

from django.db import models


class PenKind(models.TextChoices):
    """What a pen is for; it decides the order of the round."""

    NURSERY = "nursery", "Nursery"
    RESIDENTS = "residents", "Residents"
    FOSTER = "foster", "Foster home"
    QUARANTINE = "quarantine", "Quarantine"
    SICK_BAY = "sick_bay", "Sick bay"
    ISOLATION = "isolation", "Isolation"


class Room(models.Model):
    """A room: animals in it share their air."""

    name = models.CharField(max_length=60, unique=True)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        """In the order of the house."""

        ordering = ("position", "name")

    def __str__(self) -> str:
        """Its name."""
        return self.name


class Pen(models.Model):
    """A pen in a room."""

    room = models.ForeignKey(Room, models.PROTECT, related_name="pens")
    name = models.CharField(max_length=60)
    kind = models.CharField(max_length=12, choices=PenKind.choices, default=PenKind.RESIDENTS)
    position = models.PositiveSmallIntegerField(default=0)
    # The floor that can be walked on, of all levels; None where nobody measured it.
    area_cm2 = models.PositiveIntegerField(null=True, blank=True)
    levels = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        """In the order of the house."""

        ordering = ("room__position", "position", "name")
        constraints = [models.UniqueConstraint(fields=["room", "name"], name="pen_once_in_room")]

    def __str__(self) -> str:
        """Its name and room."""
        return f"{self.name}, {self.room.name}"
