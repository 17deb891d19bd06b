"""Photos: turned upright, scaled, without location data; the files lie in the data folder."""

from django.db import models

from cavyround.record.models.animals import Animal
from cavyround.record.models.checks import Check
from cavyround.record.models.entries import Append


class Photo(Append):
    """A photo of an animal. ``digest`` names the JPEG file in the data folder."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="photos")
    check_in = models.ForeignKey(
        Check, models.PROTECT, related_name="photos", null=True, blank=True
    )
    digest = models.CharField(max_length=64)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    caption = models.CharField(max_length=120, blank=True)
    drawn = models.BooleanField(default=False)

    def __str__(self) -> str:
        """Of whom."""
        return f"Photo of {self.animal}"
