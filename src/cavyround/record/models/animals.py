"""Animals, what has been said of them, how they came, moved and left."""

from django.db import models

from cavyround.record.models.entries import Append, new_id
from cavyround.record.models.places import Pen


class SexChoice(models.TextChoices):
    """Sex as last stated."""

    SOW = "sow", "Sow"
    BOAR = "boar", "Boar"
    UNKNOWN = "unknown", "Not known"


class KnownChoice(models.TextChoices):
    """An answer that may be missing; missing is not no."""

    YES = "yes", "Yes"
    NO = "no", "No"
    POSSIBLE = "possible", "Possibly"
    UNKNOWN = "unknown", "Not known"


class SureChoice(models.TextChoices):
    """How sure the last sexing was."""

    SURE = "sure", "Sure"
    TWO_PEOPLE = "two_people", "Two people agree"
    LIKELY = "likely", "Likely"
    TOLD = "told", "Only told"
    UNKNOWN = "unknown", "Not known"


class Animal(models.Model):
    """One animal as it stands now.

    These columns are the sum of its statements, moves, arrivals and
    departures, written only together with them; the history is in those.
    """

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    name = models.CharField(max_length=60)
    sex = models.CharField(max_length=8, choices=SexChoice.choices, default=SexChoice.UNKNOWN)
    sex_sure = models.CharField(
        max_length=12, choices=SureChoice.choices, default=SureChoice.UNKNOWN
    )
    neutered = models.CharField(
        max_length=8, choices=KnownChoice.choices, default=KnownChoice.UNKNOWN
    )
    born_earliest = models.DateField(null=True, blank=True)
    born_latest = models.DateField(null=True, blank=True)
    pregnant = models.CharField(
        max_length=8, choices=KnownChoice.choices, default=KnownChoice.UNKNOWN
    )
    due_from = models.DateField(null=True, blank=True)
    coat = models.JSONField(default=list, blank=True)
    colour = models.CharField(max_length=120, blank=True)
    dark_skin = models.BooleanField(null=True, blank=True)
    identity_marks = models.TextField(blank=True)
    microchip = models.CharField(max_length=15, blank=True)
    pen = models.ForeignKey(Pen, models.PROTECT, related_name="animals", null=True, blank=True)
    arrived_on = models.DateField(null=True, blank=True)
    left_on = models.DateField(null=True, blank=True)
    face = models.ForeignKey(
        "record.Photo", models.PROTECT, related_name="+", null=True, blank=True
    )
    added_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        """By name."""

        ordering = ("name",)
        # Those here, in order; and a page of all, found without reading those before it.
        indexes = [
            models.Index(fields=["left_on", "name"]),
            models.Index(fields=["name", "id", "left_on"]),
        ]

    def __str__(self) -> str:
        """Its name."""
        return self.name

    @property
    def is_here(self) -> bool:
        """Whether the rescue still has it."""
        return self.left_on is None


class AnimalStatement(Append):
    """Something said of an animal: field by field, by whom, why."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="statements")
    fields = models.JSONField()
    reason = models.TextField(blank=True)

    def __str__(self) -> str:
        """Which animal."""
        return f"A statement about {self.animal}"


class ArrivalHow(models.TextChoices):
    """The ways an animal comes."""

    SURRENDERED = "surrendered", "Surrendered"
    FOUND = "found", "Found"
    TRANSFERRED_IN = "transferred_in", "Transferred in"
    RETURNED = "returned", "Returned"
    BORN_HERE = "born_here", "Born here"


class ArrivalSource(models.TextChoices):
    """What is known of the health of where it comes from: it decides how long it is kept apart."""

    HOME = "home", "A home where all animals are known to be well"
    MANY = "many", "A shop, a breeder, or many animals in one place"
    NOT_KNOWN = "not_known", "Not known"


class Arrival(Append):
    """How and when an animal came, and what was told of it."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="arrivals")
    on = models.DateField()
    how = models.CharField(max_length=16, choices=ArrivalHow.choices)
    came_from = models.CharField(max_length=120, blank=True)
    told = models.TextField(blank=True)
    sexed_as = models.CharField(max_length=8, choices=SexChoice.choices, default=SexChoice.UNKNOWN)
    source = models.CharField(
        max_length=12, choices=ArrivalSource.choices, default=ArrivalSource.NOT_KNOWN
    )

    def __str__(self) -> str:
        """Who and when."""
        return f"Arrival of {self.animal} on {self.on}"


class DepartureHow(models.TextChoices):
    """The ways an animal leaves."""

    FOSTERED = "fostered", "Fostered"
    ADOPTED = "adopted", "Adopted"
    TRANSFERRED_OUT = "transferred_out", "Transferred out"
    DIED = "died", "Died"
    PUT_TO_SLEEP = "put_to_sleep", "Put to sleep"
    OTHER = "other", "Other"


class Departure(Append):
    """How and when an animal left."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="departures")
    on = models.DateField()
    how = models.CharField(max_length=16, choices=DepartureHow.choices)
    went_to = models.CharField(max_length=120, blank=True)
    note = models.TextField(blank=True)

    def __str__(self) -> str:
        """Who and when."""
        return f"Departure of {self.animal} on {self.on}"


class Move(Append):
    """An animal goes into a pen, or out of all pens (pen empty), from a moment on."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="moves")
    pen = models.ForeignKey(Pen, models.PROTECT, related_name="moves", null=True, blank=True)
    at = models.DateTimeField()
    why = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        """Who and where to."""
        return f"Move of {self.animal} to {self.pen or 'no pen'}"
