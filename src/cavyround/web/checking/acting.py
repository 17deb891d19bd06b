"""What is done on the advice page: each by one touch, and twice without harm."""

from collections.abc import Mapping
from uuid import UUID

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from cavyround.advice.giving import advise, answer_of
from cavyround.record.models import (
    AdviceGiven,
    CheckEntry,
    FollowUp,
    FollowUpOutcome,
    Person,
    VetQuestion,
)
from cavyround.record.promises import ask_vet, promise, settle
from cavyround.record.receiving import receive
from cavyround.web.checking import promising
from cavyround.web.checking.advising import given_or_404, show
from cavyround.web.checking.naming import id_of
from cavyround.web.gate import for_recorders, person_of, refuse

SENT_OTHERWISE = (
    "This was sent before with other words, and those are kept. What stands here now is not kept "
    "yet: send it again to keep it as well."
)
OUTCOMES = frozenset({"gone", "better", "same", "worse"})


@for_recorders
@require_POST
def answer(request: HttpRequest, given_id: UUID) -> HttpResponseBase:
    """Keep the answer to a question as an entry of the check, and advise anew."""
    given = given_or_404(given_id)
    check = given.check_in
    if check is None:
        return refuse(request, "This advice belongs to no check, so nothing can be added to it.")
    question, number = request.POST.get("question", ""), request.POST.get("answer", "")
    asked = {one.id: one for one in answer_of(given).questions}
    if question not in asked or number not in map(str, range(len(asked[question].answers))):
        why = "That is no answer to a question of this advice. Load the page again."
        return show(request, given, faults={"answer": why})
    touch = {"kind": "answer", "question": question, "answer": int(number)}
    if why := _enter(person_of(request), given, request.POST.get("once", ""), touch):
        return show(request, given, faults={"answer": why})
    newer = advise(person_of(request), check, timezone.now())
    return redirect("advice", given_id=newer.id)


@for_recorders
@require_POST
def note(request: HttpRequest, given_id: UUID) -> HttpResponseBase:
    """Keep free words as an entry of the check."""
    given = given_or_404(given_id)
    text = request.POST.get("text", "").strip()
    if not text:
        return show(request, given, faults={"note": "There are no words yet. Write them first."})
    touch = {"kind": "note", "text": text}
    if why := _enter(person_of(request), given, request.POST.get("once", ""), touch):
        return show(request, given, faults={"note": why}, typed={"note": text})
    messages.success(request, "The note is kept.")
    return redirect("advice", given_id=given.id)


def _enter(person: Person, given: AdviceGiven, once: str, touch: Mapping[str, object]) -> str:
    """Add one entry to the check of an advice; says why not. A known id changes nothing."""
    check = given.check_in
    if check is None:
        return "This advice belongs to no check, so nothing can be added to it."
    known = CheckEntry.objects.filter(pk=id_of(once)).first()
    if known is not None and known.data != touch:
        return SENT_OTHERWISE
    now = timezone.now()
    item = {
        "id": once,
        "check": {
            "id": str(check.id),
            "animal": str(check.animal_id),
            "kind": check.kind,
            "started_at": check.started_at.isoformat(),
        },
        "made_at": now.isoformat(),
        "by": person.pk,
        "touch": dict(touch),
    }
    (receipt,) = receive(person, [item], now)
    return receipt.why


@for_recorders
@require_POST
def promise_again(request: HttpRequest, given_id: UUID) -> HttpResponseBase:
    """Make one of the offered promises, or all of them. One that is made stays one."""
    given = given_or_404(given_id)
    which = request.POST.get("which", "all")
    with transaction.atomic():
        _lock(given)
        for one in promising.offered(given, answer_of(given)):
            if one.made is None and which in ("all", str(one.number)):
                now = timezone.now()
                promise(person_of(request), given.animal, one.again, now, advice=given)
    return redirect(f"{_page(given)}#again")


@for_recorders
@require_POST
def settle_open(request: HttpRequest, given_id: UUID) -> HttpResponseBase:
    """Say how an open promise was kept. One that is settled stays as it was settled."""
    given = given_or_404(given_id)
    outcome = request.POST.get("outcome", "")
    known = FollowUp.objects.filter(animal=given.animal)
    follow_up = known.filter(pk=id_of(request.POST.get("follow_up", ""))).first()
    if follow_up is None or outcome not in OUTCOMES:
        why = "That is no open promise of this animal. Load the page again."
        return show(request, given, faults={"settle": why})
    with transaction.atomic():
        _lock(given)
        if not FollowUpOutcome.objects.filter(follow_up=follow_up).exists():
            settle(person_of(request), follow_up, outcome, timezone.now(), check=given.check_in)
    return redirect(f"{_page(given)}#open")


@for_recorders
@require_POST
def ask(request: HttpRequest, given_id: UUID) -> HttpResponseBase:
    """Put a question to the vet. The same words about the same check are one question."""
    given = given_or_404(given_id)
    text = request.POST.get("text", "").strip()
    if not text:
        why = "There is no question yet. Write what the vet should answer."
        return show(request, given, faults={"ask": why})
    person = person_of(request)
    with transaction.atomic():
        _lock(given)
        asked = VetQuestion.objects.filter(
            animal=given.animal, check_in=given.check_in, text=text, made_by=person
        )
        if not asked.exists():
            ask_vet(person, given.animal, text, timezone.now(), check=given.check_in)
    messages.success(request, "The question waits for the vet. In an emergency ring; do not wait.")
    return redirect("advice", given_id=given.id)


def _lock(given: AdviceGiven) -> None:
    """Let two sendings of one form wait for each other."""
    AdviceGiven.objects.select_for_update().get(pk=given.pk)


def _page(given: AdviceGiven) -> str:
    return redirect("advice", given_id=given.id).url
