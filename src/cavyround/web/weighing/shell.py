"""The frame of the weigh-in; everything in it is drawn by the client from the pens."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_safe

from cavyround.web.gate import for_recorders


@for_recorders
@require_safe
@ensure_csrf_cookie
def weigh_in(request: HttpRequest) -> HttpResponse:
    """The weigh-in of the pens, one after another."""
    # The moment tells a kept screen and kept pens apart by their age.
    page = {"now": timezone.now(), "here": "weigh-in"}
    return render(request, "web/weighing/weigh-in.html", page)
