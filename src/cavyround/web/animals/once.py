"""A form sent twice makes one row: each form carries an id, and what it made is remembered."""

from collections.abc import Callable
from typing import cast
from uuid import UUID

from django import forms
from django.contrib.sessions.backends.base import SessionBase
from django.contrib.sessions.models import Session
from django.db import transaction
from django.http import HttpRequest

from cavyround.record.models.entries import new_id

REMEMBERED = "made_once"
KEPT_IN_MIND = 60


class OnceForm(forms.Form):
    """A form that creates something; ``once`` names this one filling-in of it."""

    use_required_attribute = False
    once = forms.UUIDField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: object, **kwargs: object) -> None:
        """Give an unsent form its id."""
        initial = dict(cast("dict[str, object]", kwargs.get("initial") or {}))
        initial.setdefault("once", new_id())
        kwargs["initial"] = initial
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]

    @property
    def sending(self) -> UUID:
        """The id of this sending; a form without one is a new one each time."""
        return cast("UUID | None", self.cleaned_data.get("once")) or new_id()


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
    stored = Session.objects.select_for_update().filter(pk=key).first() if key else None
    current = stored.get_decoded() if stored else cast("SessionBase", request.session)
    return dict(current.get(REMEMBERED, {}))
