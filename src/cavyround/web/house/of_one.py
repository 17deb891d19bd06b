"""What the pages about one animal's breeding have in common."""

from typing import Any

from django.urls import reverse
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.breeding import may_be_expecting
from cavyround.record.models import Animal


def page_of(animal: Animal, title: str) -> dict[str, Any]:
    """Its title, and the way back to the animal."""
    return {
        "title": title,
        "back": reverse("animal", args=[animal.pk]),
        "back_to": animal,
        "here": "animals",
    }


def how_to_hold(animal: Animal) -> str:
    """What keeps the animal safe while it is looked at, and whether it is to be tipped at all."""
    words = book().living.care("hold_to_look").words
    if animal.pregnant in ("yes", "possible") or may_be_expecting(animal, timezone.now()):
        return f"▲ {book().living.care('hold_expectant').words} {words}"
    return words
