"""What every page knows."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest

from cavyround.record.models import Person


def page(request: HttpRequest) -> dict[str, Any]:
    """Whether this is the demo herd, and whether its reader may enter what a vet orders."""
    person = request.user
    may_order = isinstance(person, Person) and (person.may_record or person.may_answer)
    return {"demo": settings.DEMO, "may_order": may_order}
