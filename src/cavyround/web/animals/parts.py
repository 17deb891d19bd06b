"""Whether the whole page is asked for, or only the part of it that changes."""

from collections.abc import Mapping
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import patch_vary_headers

ASKS_PART, ASKS_WHOLE = "HX-Request", "HX-History-Restore-Request"


def wants_part(request: HttpRequest) -> bool:
    """True for a part; somebody going back in the browser gets the whole page."""
    return request.headers.get(ASKS_PART) == "true" and ASKS_WHOLE not in request.headers


def show(request: HttpRequest, template: str, page: Mapping[str, Any]) -> HttpResponse:
    """Render, and tell caches that the same address may answer with a part."""
    answer = render(request, template, dict(page))
    patch_vary_headers(answer, [ASKS_PART, ASKS_WHOLE])
    return answer
