"""The frame of the check screen, and the worker that keeps it and the two rounds on the phone."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_safe

from cavyround.web.checking.naming import NOTHING
from cavyround.web.gate import for_recorders, open_to_all


@for_recorders
@require_safe
@ensure_csrf_cookie
def check(request: HttpRequest) -> HttpResponse:
    """The check screen; everything in it is drawn by the client from the round."""
    page = {
        "advise": reverse("advise", args=[NOTHING]),
        "blank": NOTHING,
        "now": timezone.now(),  # tells a kept screen and a kept round apart by their age
    }
    return render(request, "web/checking/check.html", page)


@open_to_all
@require_safe
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker. It may serve the whole site's scripts, but acts for these alone."""
    shells = [reverse("check"), reverse("weigh-in"), reverse("dose-round")]
    page = {"shells": shells, "static": settings.STATIC_URL}
    response = render(
        request, "web/checking/worker.js", page, content_type="text/javascript; charset=utf-8"
    )
    response["Service-Worker-Allowed"] = "/"
    response["Cache-Control"] = "no-cache"
    return response
