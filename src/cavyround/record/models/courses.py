"""Courses: one order carried out on one animal, from its beginning to the look that ends it."""

from django.db import models

from cavyround.record.models.animals import Animal
from cavyround.record.models.entries import Append
from cavyround.record.models.orders import Order


class Course(Append):
    """One order on one animal, with its own beginning: a day, or a moment where hours count."""

    order = models.ForeignKey(Order, models.PROTECT, related_name="courses")
    animal = models.ForeignKey(Animal, models.PROTECT, related_name="courses")
    first_on = models.DateField(null=True, blank=True)
    first_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        """One order runs once on one animal: sent twice it begins once."""

        constraints = [
            models.UniqueConstraint(fields=["order", "animal"], name="one_course_of_an_order"),
            models.CheckConstraint(
                condition=models.Q(first_on__isnull=True) ^ models.Q(first_at__isnull=True),
                name="a_course_begins_once",
            ),
        ]

    def __str__(self) -> str:
        """What, for whom."""
        return f"{self.order} for {self.animal}"


class CourseStopped(Append):
    """A course was stopped before its end, and why."""

    course = models.ForeignKey(Course, models.PROTECT, related_name="stops")
    why = models.CharField(max_length=200)

    def __str__(self) -> str:
        """Which course."""
        return f"End of {self.course}"


class CourseLook(Append):
    """A look after the last dose; ``clear`` None where whoever looked was not sure."""

    course = models.ForeignKey(Course, models.PROTECT, related_name="looks")
    at = models.DateTimeField()
    clear = models.BooleanField(null=True)
    note = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        """What it came to."""
        said = {True: "clear", False: "not clear", None: "not sure"}[self.clear]
        return f"Look after {self.course}: {said}"
