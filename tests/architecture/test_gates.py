"""Every address says who may see it; one that says nothing would be closed to all."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest, HttpResponse
from django.test import RequestFactory
from django.urls import URLPattern, URLResolver, get_resolver

from cavyround.record.models import Person
from cavyround.web.gate import CHECKED, OPEN_TO_ALL, GateMiddleware

# Nobody is signed in yet where these are needed.
OPEN = {"sign_in", "sign_out", "first_account"}


def patterns(resolver: Any = None) -> Iterator[URLPattern]:
    for entry in (resolver or get_resolver()).url_patterns:
        if isinstance(entry, URLResolver):
            yield from patterns(entry)
        else:
            yield entry


def test_every_view_says_who_may_see_it() -> None:
    silent = [
        str(pattern.pattern)
        for pattern in patterns()
        if not (getattr(pattern.callback, OPEN_TO_ALL, 0) or getattr(pattern.callback, CHECKED, 0))
    ]
    assert list(patterns())
    assert silent == []


def test_only_the_way_in_is_open_to_strangers() -> None:
    open_views = {p.callback.__name__ for p in patterns() if getattr(p.callback, OPEN_TO_ALL, 0)}
    assert {view for view in open_views if view not in OPEN} <= {"worker"}


def test_every_address_has_a_name_of_its_own() -> None:
    names = [pattern.name for pattern in patterns()]
    assert None not in names
    assert len(names) == len(set(names))


@pytest.mark.parametrize("wants", ["text/html", "application/json"])
def test_a_view_that_says_nothing_is_closed_even_to_a_lead(
    lead: Person, rf: RequestFactory, wants: str
) -> None:
    def silent(request: HttpRequest) -> HttpResponse:
        return HttpResponse("a secret")

    request = rf.get("/secret", headers={"accept": wants})
    request.user = lead
    answer = GateMiddleware(silent).process_view(request, silent, (), {})
    assert answer is not None
    assert answer.status_code == 403


def test_a_stranger_is_told_to_sign_in_again_by_the_screen_too(
    rf: RequestFactory, db: None
) -> None:
    def silent(request: HttpRequest) -> HttpResponse:
        return HttpResponse("a secret")

    request = rf.post("/check/touches", headers={"accept": "application/json"})
    request.user = AnonymousUser()
    answer = GateMiddleware(silent).process_view(request, silent, (), {})
    assert isinstance(answer, HttpResponse)
    assert answer.status_code == 401
    assert b"Sign in again" in answer.content
