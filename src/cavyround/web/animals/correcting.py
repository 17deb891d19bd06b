"""Correct one entry of a check: a new entry with a reason; the old one stays readable."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.giving import advise
from cavyround.facts.entries import read_touch
from cavyround.facts.sitting import mends_of
from cavyround.record.animals import ImpossibleError
from cavyround.record.models import Check, CheckEntry, Person
from cavyround.record.models.entries import new_id
from cavyround.record.reading_off import as_made
from cavyround.record.receiving import receive
from cavyround.web.animals.correction_forms import FORMS, CorrectingForm, StrikeForm
from cavyround.web.animals.history import may_correct
from cavyround.web.animals.once import fill_in, sent
from cavyround.web.animals.saying import said_of
from cavyround.web.gate import for_recorders, person_of, refuse


def standing_data(entry: CheckEntry) -> dict[str, Any] | None:
    """What stands of an entry now: its last correction's data; None if struck out."""
    siblings = {one.pk: one for one in CheckEntry.objects.filter(check_in=entry.check_in_id)}
    mends = mends_of(as_made(one) for one in siblings.values())
    if entry.pk in mends.gone:
        return None
    mend = mends.stands.get(entry.pk)
    stands: dict[str, Any] | None = siblings[mend.id].data.get("data") if mend else entry.data
    return stands


@for_recorders
def correct_entry(request: HttpRequest, check_id: UUID, entry_id: UUID) -> HttpResponseBase:
    """Correct one entry; a carer only their own."""
    found = CheckEntry.objects.select_related("check_in__animal", "made_by")
    entry = get_object_or_404(found, pk=entry_id, check_in=check_id)
    person = person_of(request)
    if not may_correct(person, entry):
        why = f"{entry.made_by} made this entry: only they or a lead may change it."
        if person.may_lead or entry.made_by_id == person.pk:
            why = "This entry says nothing that can be corrected. Do that part of the check again."
        return refuse(request, why)
    stands = standing_data(entry)
    kind = FORMS.get(entry.kind, StrikeForm)
    form = kind(sent(request), standing=stands or entry.data)
    page = {
        "check": entry.check_in,
        "animal": entry.check_in.animal,
        "entry": entry,
        "first": said_of(read_touch(entry.data)),
        "stands": said_of(read_touch(stands)) if stands else "struck out",
        "here": "animals",
    }
    return fill_in(
        request,
        form,
        lambda: _correct(request, person, entry, form),
        "web/animals/correct.html",
        page,
    )


def _correct(request: HttpRequest, person: Person, entry: CheckEntry, form: CorrectingForm) -> str:
    now, check = timezone.now(), entry.check_in
    touch = {
        "kind": "correction",
        "entry": str(entry.pk),
        "reason": form.cleaned_data["reason"],
        "data": form.data_now,
    }
    item = {
        "id": str(new_id()),
        "check": {
            "id": str(check.pk),
            "animal": str(check.animal_id),
            "kind": check.kind,
            "started_at": check.started_at.isoformat(),
        },
        "made_at": now.isoformat(),
        "by": person.pk,
        "touch": touch,
    }
    (receipt,) = receive(person, [item], now)
    if not receipt.is_kept:
        msg = "reason"
        raise ImpossibleError(msg, receipt.why)
    messages.success(request, "Corrected. The old entry stays readable below.")
    if _is_latest_advised(check):
        advise(person, check, timezone.now())
        messages.info(request, "The advice was worked out again with the corrected entry.")
    return reverse("check-history", args=[check.pk])


def _is_latest_advised(check: Check) -> bool:
    """Whether the animal's standing advice rests on this check; older advice is left as given."""
    given = check.animal.advice.order_by("-made_at").only("check_in").first()
    return given is not None and given.check_in_id == check.pk
