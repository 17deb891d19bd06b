"""What stands on the shelf: products and their lots, what comes and goes, other supplies.

What is left is never a column: it is the sum of what came, was thrown away, was counted and
was drawn for doses, so that nobody can change it without an entry.
"""

from django.conf import settings
from django.db import models

from cavyround.record.models.entries import Append, new_id


class ProductKind(models.TextChoices):
    """What a product is for."""

    MEDICINE = "medicine", "Medicine"
    CARE = "care", "Care that is no medicine"
    SUPPLY = "supply", "Supply for checks and care"
    FEED = "feed", "Feed"


class Product(models.Model):
    """A product as its label says it now; what it said before is in its statements.

    ``strength``, ``drop`` are the label's words. ``unit`` is what its lots are counted in:
    ``mL``, ``g`` or pieces. ``low_at`` is how much left asks for more. A syringe is of a kind
    the knowledge has (``syringe`` is its code) or says itself what it holds and how it is
    marked: marks are never assumed.
    """

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=8, choices=ProductKind.choices, default=ProductKind.MEDICINE)
    drug = models.CharField(max_length=80, blank=True)
    strength = models.CharField(max_length=60, blank=True)
    contains = models.JSONField(default=list)
    counted_as = models.CharField(max_length=60, blank=True)
    drop = models.CharField(max_length=60, blank=True)
    g_per_ml = models.DecimalField(max_digits=6, decimal_places=4, null=True, blank=True)
    unit = models.CharField(max_length=8, default="mL")
    use_within_days = models.PositiveSmallIntegerField(null=True, blank=True)
    controlled = models.BooleanField(default=False)
    low_at = models.DecimalField(max_digits=12, decimal_places=3, null=True, blank=True)
    keep = models.CharField(max_length=120, blank=True)
    syringe = models.CharField(max_length=24, blank=True)
    holds_ml = models.DecimalField(max_digits=6, decimal_places=3, null=True, blank=True)
    mark_ml = models.DecimalField(max_digits=6, decimal_places=3, null=True, blank=True)

    class Meta:
        """By name."""

        ordering = ("name", "strength", "id")

    def __str__(self) -> str:
        """Name and strength."""
        return f"{self.name}, {self.strength}" if self.strength else self.name


class Lot(models.Model):
    """One bottle, tube or box. None: nobody knows. ``strength`` where this very label differs."""

    id = models.UUIDField(primary_key=True, default=new_id, editable=False)
    product = models.ForeignKey(Product, models.PROTECT, related_name="lots")
    number = models.CharField(max_length=40, blank=True)
    expires_on = models.DateField(null=True, blank=True)
    opened_on = models.DateField(null=True, blank=True)
    strength = models.CharField(max_length=60, blank=True)
    gone_on = models.DateField(null=True, blank=True)

    class Meta:
        """What must be used first comes first."""

        ordering = ("expires_on", "id")
        # Those still there are few; those used up grow with the years.
        indexes = [models.Index(fields=["gone_on"], name="lot_gone_on")]

    def __str__(self) -> str:
        """Product and lot."""
        return f"{self.product}, lot {self.number or 'without a number'}"


class ShelfStatement(Append):
    """Something said of a product or a lot: field by field, by whom, why."""

    product = models.ForeignKey(
        Product, models.PROTECT, related_name="statements", null=True, blank=True
    )
    lot = models.ForeignKey(Lot, models.PROTECT, related_name="statements", null=True, blank=True)
    fields = models.JSONField()
    why = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        """Of what."""
        return f"A statement about {self.product or self.lot}"


class MovementKind(models.TextChoices):
    """Why the amount of a lot changed."""

    CAME = "came", "Came in"
    USED = "used", "Used"
    THROWN_AWAY = "thrown_away", "Thrown away"
    COUNTED = "counted", "Counted"


class StockMovement(Append):
    """Something came, was used or thrown away, or what is left was counted.

    Counted sets what is left; every other kind adds to it or takes from it. A controlled
    item is counted and thrown away by two: ``second`` is the other.
    """

    lot = models.ForeignKey(Lot, models.PROTECT, related_name="movements")
    kind = models.CharField(max_length=11, choices=MovementKind.choices)
    at = models.DateTimeField()
    amount = models.DecimalField(max_digits=12, decimal_places=6)
    second = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", null=True, blank=True
    )
    why = models.CharField(max_length=200, blank=True)

    class Meta:
        """In the order of time."""

        ordering = ("at", "id")
        indexes = [models.Index(fields=["lot", "at"])]

    def __str__(self) -> str:
        """What happened to which lot."""
        return f"{self.get_kind_display()}: {self.amount} of {self.lot}"
