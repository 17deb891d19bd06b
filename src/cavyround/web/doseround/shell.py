"""The frame of the dose round; everything in it is drawn by the client from the day's doses."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_safe

from cavyround.web.gate import for_recorders


@for_recorders
@require_safe
@ensure_csrf_cookie
def dose_round(request: HttpRequest) -> HttpResponse:
    """The day's doses, one animal after another."""
    # The moment tells a kept screen and a kept list apart by their age.
    page = {"now": timezone.now(), "here": "dose-round"}
    return render(request, "web/doseround/dose-round.html", page)
