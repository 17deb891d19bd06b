"""Why an animal lives alone: said on a day, and ended with a reason; only added."""

from django.db import models

from cavyround.record.models.animals import Animal
from cavyround.record.models.entries import Append


class LivesAlone(Append):
    """From ``on`` an animal lives alone; ``because`` is an id of the knowledge's reasons."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="lives_alone")
    because = models.CharField(max_length=20)
    on = models.DateField()
    said_by = models.CharField(max_length=120, blank=True)
    words = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        """Who."""
        return f"{self.animal} lives alone"


class LivesAloneEnd(Append):
    """That no longer holds, since a day; ``why`` says what changed."""

    alone = models.ForeignKey(LivesAlone, models.PROTECT, related_name="ends")
    on = models.DateField()
    why = models.CharField(max_length=200)

    def __str__(self) -> str:
        """Whose."""
        return f"{self.alone}: over"
