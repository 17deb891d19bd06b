"""Advice as it was given, so that it can be run again years later; questions to the vet."""

from django.db import models

from cavyround.record.models.animals import Animal
from cavyround.record.models.checks import Check
from cavyround.record.models.entries import Append


class AdviceGiven(Append):
    """One answer of the triage engine with all it rested on."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="advice")
    check_in = models.ForeignKey(
        Check, models.PROTECT, related_name="advice", null=True, blank=True
    )
    urgency = models.CharField(max_length=16)
    isolate = models.BooleanField(default=False)
    result = models.JSONField()
    inputs = models.JSONField()
    software_version = models.CharField(max_length=32)
    knowledge_version = models.CharField(max_length=80)

    class Meta:
        """Newest first."""

        ordering = ("-id",)
        indexes = [models.Index(fields=["animal", "-made_at"])]

    def __str__(self) -> str:
        """Urgency and animal."""
        return f"Advice for {self.animal}: {self.urgency}"


class VetQuestion(Append):
    """A question to the vet."""

    animal = models.ForeignKey(Animal, models.PROTECT, related_name="vet_questions")
    check_in = models.ForeignKey(Check, models.PROTECT, null=True, blank=True, related_name="+")
    text = models.TextField()

    class Meta:
        """The open ones are found without reading the texts of all."""

        indexes = [models.Index(fields=["made_at", "id"])]

    def __str__(self) -> str:
        """Its text."""
        return self.text


class VetAnswer(Append):
    """The vet's answer."""

    question = models.ForeignKey(VetQuestion, models.PROTECT, related_name="answers")
    text = models.TextField()

    class Meta:
        """The newest are found without reading all."""

        indexes = [models.Index(fields=["-made_at"])]

    def __str__(self) -> str:
        """Its text."""
        return self.text
