"""What every page knows."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest


def page(request: HttpRequest) -> dict[str, Any]:
    """Whether this is the demo herd."""
    return {"demo": settings.DEMO}
