"""The plan of the house."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from cavyround.web.gate import for_readers
from cavyround.web.house.plan import house_plan


@for_readers
def house(request: HttpRequest) -> HttpResponse:
    """Rooms and pens with who lives in them; an animal is dragged, or moved by its own page."""
    page = {"plan": house_plan(timezone.now()), "here": "house"}
    return render(request, "web/house/plan.html", page)
