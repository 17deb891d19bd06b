"""Forms that make rows: a form sent twice makes one, and what was typed outlives a fault.

A form that comes a second time and says something else (somebody went back and typed on) is
no second sending: it is shown again with what was typed, and says that the first was kept.
"""

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, cast
from uuid import UUID

from django import forms
from django.contrib.sessions.models import Session
from django.db import transaction
from django.http import HttpRequest, HttpResponseBase, QueryDict
from django.shortcuts import redirect, render
from django.utils.html import format_html

from cavyround.record.animals import ImpossibleError
from cavyround.record.models.entries import new_id

REMEMBERED = "made_once"
KEPT_IN_MIND = 60
# What belongs to the sending of a form rather than to what it says.
NOT_SAID = frozenset({"once", "csrfmiddlewaretoken"})


class SentOtherwiseError(ValueError):
    """This filling-in of a form was kept before, and said something else."""

    def __init__(self, address: str) -> None:
        """Keep where the first sending led."""
        super().__init__(address)
        self.address = address


@dataclass(frozen=True, slots=True)
class Done:
    """What a filling-in of a form led to, and what it said."""

    address: str
    said: str

    def is_said_by(self, request: HttpRequest) -> bool:
        """Whether this request says the same; of one kept without its words nobody knows."""
        return self.said in ("", _said_in(request))


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

    def begin_anew(self, address: str) -> None:
        """Say that the first sending was kept, keep what was typed, and let it be sent again."""
        self.is_valid()
        words = format_html(
            "This form was sent before, and what it said then is kept: <a href='{}'>look at "
            "it</a>. What is typed here now says something else and is not kept. If it shall "
            "replace what was sent, change it there; if it shall be kept as well, send it again.",
            address,
        )
        self.blame("", words)
        again = cast("QueryDict", self.data).copy()
        again["once"] = str(new_id())
        self.data = again

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
        try:
            again = led_to(request)
            if again is not None:
                return redirect(again)
            if form.is_valid():
                return redirect(do_once(request, form.sending, make))
        except SentOtherwiseError as before:
            form.begin_anew(before.address)
        except ImpossibleError as refused:
            form.blame(refused.field, str(refused))
    status = 422 if form.is_bound else 200
    return render(request, template, {**page, "form": form}, status=status)


def do_once(request: HttpRequest, sending: UUID, make: Callable[[], str]) -> str:
    """Do ``make`` and give the address it leads to; for a known ``sending`` only the address.

    Raises SentOtherwiseError where a known ``sending`` now says something else.

    The whole lies in one transaction together with the note that it was done,
    so that two sendings at the same moment cannot both pass.
    """
    with transaction.atomic():
        done = _done_before(request)
        known = _known(done, str(sending))
        if known is not None:
            return _same(known, request)
        address = make()
        done[str(sending)] = [address, _said_in(request)]
        request.session[REMEMBERED] = dict(list(done.items())[-KEPT_IN_MIND:])
        request.session.save()
        return address


def _done_before(request: HttpRequest) -> dict[str, Any]:
    """What this sign-in has made, as the store holds it now, not as this request began."""
    key = request.session.session_key
    stored = Session.objects.select_for_update().filter(pk=key).first()
    return dict(stored.get_decoded().get(REMEMBERED, {})) if stored else {}


def led_to(request: HttpRequest) -> str | None:
    """Where this same filling-in led before; None where it is new.

    Raises SentOtherwiseError where it now says something else.
    """
    known = _known(request.session.get(REMEMBERED, {}), request.POST.get("once", ""))
    return None if known is None else _same(known, request)


def _known(done: Mapping[str, Any], sending: str) -> Done | None:
    kept = done.get(sending)
    if kept is None:
        return None
    # Sign-ins of earlier days remember the address alone.
    return Done(kept, "") if isinstance(kept, str) else Done(*kept)


def _same(known: Done, request: HttpRequest) -> str:
    if not known.is_said_by(request):
        raise SentOtherwiseError(known.address)
    return known.address


def _said_in(request: HttpRequest) -> str:
    """What a sent form says, as a digest."""
    said = sorted((name, values) for name, values in request.POST.lists() if name not in NOT_SAID)
    return hashlib.sha256(json.dumps(said).encode()).hexdigest()[:32]
