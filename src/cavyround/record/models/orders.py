"""What a vet ordered, as it was said; and what was set aside, declined or noted about it.

The words of dose and strength are kept as they were entered and read anew each time: what
cannot be read is refused with words, never guessed.
"""

from django.db import models

from cavyround.record.models.animals import Animal
from cavyround.record.models.entries import Append


class OrderWord(models.TextChoices):
    """How the vet's word came to the rescue."""

    WRITTEN = "written", "In writing"
    LABEL = "label", "On the label of what the vet handed out"
    TELEPHONE = "telephone", "By telephone"
    SPOKEN = "spoken", "Spoken, on the spot"
    SELF = "self", "The vet enters it"


class Order(Append):
    """One order: a medicine, or care that is no medicine (``care`` is its code).

    A ``standing`` order is for newcomers who fit it: it proposes, a person confirms.
    ``schedule`` and ``limits`` are read by ``record.orders``. None or empty: the vet did
    not say.
    """

    drug = models.CharField(max_length=80, blank=True)
    care = models.CharField(max_length=24, blank=True)
    vet = models.CharField(max_length=80, blank=True)
    word = models.CharField(max_length=9, choices=OrderWord.choices, default=OrderWord.WRITTEN)
    ordered_at = models.DateTimeField()
    why = models.CharField(max_length=200)
    dose = models.CharField(max_length=60, blank=True)
    route = models.CharField(max_length=24, blank=True)
    schedule = models.JSONField()
    standing = models.BooleanField(default=False)
    strength = models.CharField(max_length=60, blank=True)
    counted_as = models.CharField(max_length=60, blank=True)
    diluent = models.CharField(max_length=60, blank=True)
    limits = models.JSONField(default=dict)
    withdrawal_days = models.PositiveSmallIntegerField(null=True, blank=True)
    weight_within_days = models.PositiveSmallIntegerField(null=True, blank=True)
    recheck_days = models.PositiveSmallIntegerField(null=True, blank=True)
    against = models.JSONField(default=list)
    lasts_days = models.PositiveSmallIntegerField(null=True, blank=True)
    kills_eggs = models.BooleanField(null=True, blank=True)
    second_check = models.BooleanField(default=False)
    product = models.ForeignKey(
        "record.Product", models.PROTECT, related_name="orders", null=True, blank=True
    )
    replaces = models.ForeignKey(
        "self", models.PROTECT, related_name="replaced_by", null=True, blank=True
    )
    note = models.TextField(blank=True)

    class Meta:
        """Newest first."""

        ordering = ("-ordered_at", "-id")
        indexes = [
            models.Index(fields=["-ordered_at"], name="record_order_newest"),
            models.Index(
                fields=["ordered_at"], condition=models.Q(standing=True), name="standing_orders"
            ),
        ]

    def __str__(self) -> str:
        """What was ordered."""
        return " ".join(part for part in (self.drug or self.care, self.dose) if part)


class OrderStopped(Append):
    """An order no longer holds, and why."""

    order = models.ForeignKey(Order, models.PROTECT, related_name="stops")
    why = models.CharField(max_length=200)

    def __str__(self) -> str:
        """Which order."""
        return f"End of the order of {self.order}"


class StandingDeclined(Append):
    """A standing order was not followed for one animal, and why."""

    order = models.ForeignKey(Order, models.PROTECT, related_name="declined")
    animal = models.ForeignKey(Animal, models.PROTECT, related_name="declined_orders")
    why = models.CharField(max_length=200)

    def __str__(self) -> str:
        """Who and what."""
        return f"{self.order} not for {self.animal}"


class ReasonSetAside(Append):
    """Who set one reason against a dose aside, and why; for all animals of the order or for one.

    ``key`` names the reason, ``words`` are the reason as it then read. ``by_name`` decided,
    ``made_by`` wrote it down; ``word`` and ``said_on`` say how and when a vet's word came
    that another wrote down. A reason only a vet may set aside needs
    the vet's name and words.
    """

    ROLES = [("vet", "Vet"), ("carer", "Carer")]

    order = models.ForeignKey(Order, models.PROTECT, related_name="set_aside")
    animal = models.ForeignKey(
        Animal, models.PROTECT, related_name="set_aside", null=True, blank=True
    )
    key = models.CharField(max_length=120)
    words = models.CharField(max_length=400, blank=True)
    by_name = models.CharField(max_length=80)
    role = models.CharField(max_length=5, choices=ROLES)
    why = models.CharField(max_length=200, blank=True)
    word = models.CharField(max_length=9, choices=OrderWord.choices, blank=True)
    said_on = models.DateField(null=True, blank=True)

    @property
    def decided_by(self) -> str:
        """Who decided; where another wrote it down, on whose word, how it came and when."""
        if self.role != "vet" or self.word == OrderWord.SELF:
            return self.by_name
        how = f" {self.get_word_display().lower()}" if self.word else ""
        when = f" on {self.said_on.day} {self.said_on:%B %Y}" if self.said_on else ""
        return f"on the word of {self.by_name}{how}{when}, entered by {self.made_by}"

    def __str__(self) -> str:
        """The reason and who."""
        return f"{self.words or self.key} set aside by {self.by_name}"


class SetAsideEnded(Append):
    """A setting aside no longer holds, and why."""

    set_aside = models.ForeignKey(ReasonSetAside, models.PROTECT, related_name="ends")
    why = models.CharField(max_length=200)

    def __str__(self) -> str:
        """Which one."""
        return f"End of: {self.set_aside}"


class Allergy(Append):
    """A medicine, or a class of them, an animal did not bear."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="allergies")
    name = models.CharField(max_length=80)
    note = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        """To what."""
        return f"{self.animal} does not bear {self.name}"


class AllergyEnded(Append):
    """A note of an allergy no longer holds, and why."""

    allergy = models.ForeignKey(Allergy, models.PROTECT, related_name="ends")
    why = models.CharField(max_length=200)

    def __str__(self) -> str:
        """Which one."""
        return f"End of: {self.allergy}"
