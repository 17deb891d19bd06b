"""Forms that make rows: a form sent twice makes one, and what was typed outlives a fault."""

from collections.abc import Callable, Mapping
from typing import Any, cast
from uuid import UUID

from django import forms
from django.contrib.sessions.models import Session
from django.db import transaction
from django.http import HttpRequest, HttpResponseBase, QueryDict
from django.shortcuts import redirect, render

from cavyround.record.animals import ImpossibleError
from cavyround.record.models.entries import new_id

REMEMBERED = "made_once"
KEPT_IN_MIND = 60


class OnceForm(forms.Form):
    """A form that makes something; ``once`` names this one filling-in of it."""

    use_required_attribute = False
    once = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Give an unsent form its id."""
        kwargs["initial"] = {"once": new_id()} | dict(kwargs.get("initial") or {})
        super().__init__(*args, **kwargs)

    @property
    def sending(self) -> UUID:
        """The id of this filling-in; a form without one is a new one each time."""
        return cast("UUID | None", self.cleaned_data.get("once")) or new_id()

    def blame(self, field: str, words: str) -> None:
        """Put a fault beside its field, or on top where the form has no such field."""
        if field not in self.errors:
            self.add_error(field if field in self.fields else None, words)


def sent(request: HttpRequest) -> QueryDict | None:
    """What was sent, for a form; None where a page is only asked for."""
    return request.POST if request.method == "POST" else None


def fill_in(
    request: HttpRequest,
    form: OnceForm,
    make: Callable[[], str],
    template: str,
    page: Mapping[str, Any],
) -> HttpResponseBase:
    """Show the form; once it is sent and fits, ``make`` it and go where that leads.

    A faulty form comes back as it was typed, with status 422.
    """
    if form.is_bound:
        again = led_to(request)
        if again is not None:
            return redirect(again)
        if form.is_valid():
            try:
                return redirect(do_once(request, form.sending, make))
            except ImpossibleError as refused:
                form.blame(refused.field, str(refused))
    status = 422 if form.is_bound else 200
    return render(request, template, {**page, "form": form}, status=status)


def do_once(request: HttpRequest, sending: UUID, make: Callable[[], str]) -> str:
    """Do ``make`` and give the address it leads to; for a known ``sending`` only the address.

    The whole lies in one transaction together with the note that it was done,
    so that two sendings at the same moment cannot both pass.
    """
    with transaction.atomic():
        done = _done_before(request)
        address = done.get(str(sending))
        if address is None:
            address = make()
            done[str(sending)] = address
            request.session[REMEMBERED] = dict(list(done.items())[-KEPT_IN_MIND:])
            request.session.save()
        return address


def _done_before(request: HttpRequest) -> dict[str, str]:
    """What this sign-in has made, as the store holds it now, not as this request began."""
    key = request.session.session_key
    stored = Session.objects.select_for_update().filter(pk=key).first()
    return dict(stored.get_decoded().get(REMEMBERED, {})) if stored else {}


def led_to(request: HttpRequest) -> str | None:
    """Where this same filling-in led before; None where it is new."""
    known: dict[str, str] = request.session.get(REMEMBERED, {})
    return known.get(request.POST.get("once", ""))
