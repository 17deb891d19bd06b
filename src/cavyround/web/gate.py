"""Who may see what: every page says its role, and one that says none is closed."""

from collections.abc import Callable
from functools import wraps
from typing import Any, cast
from urllib.parse import urlencode

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from cavyround.record.models import Person

View = Callable[..., HttpResponseBase]
OPEN_TO_ALL = "_open_to_all"
CHECKED = "_role_checked"


def open_to_all(view: View) -> View:
    """A page anybody may see, signed in or not."""
    setattr(view, OPEN_TO_ALL, True)
    return view


def for_readers(view: View) -> View:
    """A page for everyone who is signed in."""
    setattr(view, CHECKED, True)
    return view


def _for(may: Callable[[Person], bool], who: str) -> Callable[[View], View]:
    def decorate(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if not may(person_of(request)):
                return refuse(request, f"This is for {who}. Nothing was changed.")
            return view(request, *args, **kwargs)

        setattr(guarded, CHECKED, True)
        return guarded

    return decorate


for_recorders = _for(lambda person: person.may_record, "carers and leads")
for_leads = _for(lambda person: person.may_lead, "leads")
for_orders = _for(lambda person: person.may_record or person.may_answer, "carers, leads and vets")
for_vets = _for(lambda person: person.may_answer, "vets")


def person_of(request: HttpRequest) -> Person:
    """The signed-in person; only call behind the gate."""
    return cast("Person", request.user)


def wants_json(request: HttpRequest) -> bool:
    """Whether the screen, not a reader, asks."""
    return "application/json" in request.headers.get("Accept", "") or request.path.endswith(".json")


def refuse(request: HttpRequest, why: str) -> HttpResponse:
    """Say no, in the form that was asked for."""
    if wants_json(request):
        return JsonResponse({"why": why}, status=403)
    return render(request, "web/refused.html", {"why": why}, status=403)


class GateMiddleware:
    """Closes every page that does not say who may see it; sends strangers to sign in."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        """Keep what comes next."""
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Pass the request on; the decision falls when the view is known.

        What a page shows is for who is signed in now: no browser keeps it for the next
        person, unless the view says for itself how long it may be kept.
        """
        response = self.get_response(request)
        if not response.has_header("Cache-Control"):
            response["Cache-Control"] = "no-store"
        return response

    def process_view(
        self, request: HttpRequest, view: View, _args: Any, _kwargs: Any
    ) -> HttpResponseBase | None:
        """Let it through, ask for a sign-in, or ask for the first account."""
        if getattr(view, OPEN_TO_ALL, False) or request.path.startswith(settings.STATIC_URL):
            return None
        if not request.user.is_authenticated:
            if wants_json(request):
                return JsonResponse(
                    {"why": "Sign in again; what is on this phone is kept until then."}, status=401
                )
            if not Person.objects.exists():
                return redirect("first-account")
            wanted = urlencode({"next": request.get_full_path()})
            return redirect(f"{reverse('sign-in')}?{wanted}")
        if not getattr(view, CHECKED, False):
            return refuse(request, "This page does not say who may see it, so nobody may.")
        return None


def csrf_failed(request: HttpRequest, reason: str = "") -> HttpResponse:
    """The page was open too long, or came from elsewhere."""
    why = "This page is from an earlier sign-in. Go back, load it again, and send."
    return refuse(request, why)


def bad_request(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """400."""
    return render(request, "web/refused.html", {"why": "That request made no sense."}, status=400)


def not_allowed(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """403."""
    return refuse(request, "This is not for your role.")


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """404."""
    why = "There is nothing at this address. It may have been mistyped."
    if wants_json(request):
        return JsonResponse({"why": why}, status=404)
    return render(request, "web/refused.html", {"why": why}, status=404)


def broken(request: HttpRequest) -> HttpResponse:
    """500; says that nothing entered at the table is lost."""
    why = (
        "Something broke on our side. What was entered at the table is still on the phone and "
        "will be sent again. The fault is written to the log of the machine that serves this."
    )
    return render(request, "web/refused.html", {"why": why}, status=500)
