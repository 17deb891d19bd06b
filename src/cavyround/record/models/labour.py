"""A labour as it is timed: when it began, what was seen, and how it ended; only added."""

from django.db import models

from cavyround.record.models.animals import Animal
from cavyround.record.models.entries import Append
from cavyround.record.models.living import Litter


class Labour(Append):
    """A sow began to strain: ``since`` None where nobody knows, ``noticed_at`` when it was seen."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="labours")
    since = models.DateTimeField(null=True, blank=True)
    noticed_at = models.DateTimeField()

    def __str__(self) -> str:
        """Who."""
        return f"{self.animal} in labour"


class LabourSeen(Append):
    """One thing seen of it at a moment; ``sign`` is a sign of the knowledge.

    ``at`` is None only of a start that turned out not to be known.
    """

    WHAT = [
        ("pup_alive", "A pup is born alive"),
        ("pup_dead", "A pup is born dead"),
        ("pup", "A pup is born, not known whether it lives"),
        ("rests", "She rests, no straining"),
        ("strains", "She strains again"),
        ("since", "She began to strain"),
        ("sign", "A sign that is an emergency"),
        ("vet_rung", "The vet was rung"),
    ]

    labour = models.ForeignKey(Labour, models.PROTECT, related_name="seen")
    what = models.CharField(max_length=10, choices=WHAT)
    at = models.DateTimeField(null=True, blank=True)
    sign = models.CharField(max_length=40, blank=True)
    words = models.CharField(max_length=200, blank=True)

    def __str__(self) -> str:
        """What."""
        return f"{self.labour}: {self.get_what_display()}"


class LabourTakenBack(Append):
    """Something of a labour was a slip of the thumb; it stays readable and counts no more."""

    seen = models.ForeignKey(LabourSeen, models.PROTECT, related_name="taken_back")

    def __str__(self) -> str:
        """What."""
        return f"Taken back: {self.seen}"


class LabourOver(Append):
    """The birth is over, or went on at the vet's; ``litter`` where pups were born."""

    HOW = [
        ("born", "The birth is over"),
        ("vet", "She is with the vet"),
        ("none", "She strained no more, and no pup came"),
        ("mistaken", "She was not in labour"),
    ]

    labour = models.ForeignKey(Labour, models.PROTECT, related_name="ends")
    how = models.CharField(max_length=8, choices=HOW)
    at = models.DateTimeField()
    litter = models.ForeignKey(
        Litter, models.PROTECT, related_name="labours", null=True, blank=True
    )
    words = models.CharField(max_length=400, blank=True)

    def __str__(self) -> str:
        """What."""
        return f"{self.labour}: {self.get_how_display()}"
