"""The people of the rescue and what each may do."""

from django.contrib.auth.models import AbstractUser
from django.db import models


class Role(models.TextChoices):
    """What a person may do; every page checks it."""

    CARER = "carer", "Carer"
    LEAD = "lead", "Lead"
    VET = "vet", "Vet"
    VIEWER = "viewer", "Viewer"


class Person(AbstractUser):
    """Someone who signs in.

    A carer records. A lead also corrects others' entries and sets up animals,
    pens and people. A vet reads everything and answers questions. A viewer reads.
    """

    role = models.CharField(max_length=8, choices=Role.choices, default=Role.VIEWER)
    shown_name = models.CharField(max_length=80, blank=True)

    def __str__(self) -> str:
        """The name colleagues know."""
        return self.shown_name or self.username

    @property
    def may_record(self) -> bool:
        """Whether this person enters checks, weights and care."""
        return self.role in (Role.CARER, Role.LEAD)

    @property
    def may_lead(self) -> bool:
        """Whether this person corrects others and sets up animals, pens and people."""
        return self.role == Role.LEAD

    @property
    def may_answer(self) -> bool:
        """Whether this person answers as the vet."""
        return self.role == Role.VET


class VetNumber(models.Model):
    """A vet's telephone number, and when it is answered; shown where a vet is needed now."""

    words = models.CharField(max_length=80)
    number = models.CharField(max_length=30)
    position = models.PositiveSmallIntegerField(default=0)

    class Meta:
        """In the order the lead gave."""

        ordering = ("position", "id")

    def __str__(self) -> str:
        """Who, and the number."""
        return f"{self.words}: {self.number}"
