"""The page on which a scale is tried without any animal."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from cavyround.web.gate import for_recorders
from cavyround.web.scale_trial.settings import scale_settings


@for_recorders
@require_safe
def trial(request: HttpRequest) -> HttpResponse:
    """Connect a scale, see what its bytes say and what comes of them; nothing is kept."""
    page = {"settings": scale_settings(), "host": request.get_host()}
    return render(request, "web/scale/trial.html", page)


@for_recorders
@require_safe
def settings_json(request: HttpRequest) -> JsonResponse:
    """The numbers, for a page that has a bar."""
    return JsonResponse(scale_settings())
