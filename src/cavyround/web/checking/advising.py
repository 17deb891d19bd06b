"""The advice after a check: made, and shown with all it rests on."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from cavyround.advice.book import book
from cavyround.advice.giving import advise, answer_of
from cavyround.advice.plans import coverage_of
from cavyround.engines.triage.answer import Answer, Because, Line
from cavyround.facts.sitting import Sitting
from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import AdviceGiven, Check, VetNumber
from cavyround.record.models.entries import new_id
from cavyround.record.reading_off import sitting_of
from cavyround.web.checking import promising, vet_words
from cavyround.web.checking.ringing import RING, only_says_vet
from cavyround.web.checking.since_last import changes_of
from cavyround.web.gate import for_readers, for_recorders, person_of, wants_json

# Letters to a line on a phone: the field for the vet's text is tall enough to need no scrolling.
VET_LINE = 34


@dataclass(frozen=True, slots=True)
class Reason:
    """Why something is said: the rule in words, what it rests on, and its sources' titles."""

    because: Because
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Saying:
    """A line of advice with its reasons."""

    words: str
    reasons: tuple[Reason, ...]


@for_recorders
@require_POST
def advise_check(request: HttpRequest, check_id: UUID) -> HttpResponseBase:
    """Make the advice on a check. Asked twice about the same, the same advice is shown."""
    check = Check.objects.select_related("animal__pen").filter(pk=check_id).first()
    if check is None:
        why = "The server does not know this check yet. Send the entries on the phone first."
        if wants_json(request):
            return JsonResponse({"why": why}, status=404)
        return render(request, "web/refused.html", {"why": why}, status=404)
    given = advise(person_of(request), check, timezone.now())
    address = reverse("advice", args=[given.id])
    if not wants_json(request):
        return redirect(address)
    urgency = book().urgency_words(Urgency.from_code(given.urgency))
    return JsonResponse({"address": address, "urgency": urgency})


def given_or_404(given_id: UUID) -> AdviceGiven:
    """One advice with its animal and check."""
    rows = AdviceGiven.objects.select_related("animal__pen__room", "animal__face", "check_in")
    given: AdviceGiven = get_object_or_404(rows, pk=given_id)
    return given


@for_readers
@require_safe
def advice(request: HttpRequest, given_id: UUID) -> HttpResponse:
    """One advice as it was given, what to tell the vet, and what to promise."""
    return show(request, given_or_404(given_id))


def show(
    request: HttpRequest,
    given: AdviceGiven,
    *,
    faults: dict[str, str] | None = None,
    typed: dict[str, str] | None = None,
) -> HttpResponse:
    """The page; ``faults`` and ``typed`` bring a bad form back as it was."""
    now = timezone.now()
    answer = answer_of(given)
    reasons = {one.rule: _reason(one) for one in answer.because}
    check = given.check_in
    sitting = sitting_of(check) if check else Sitting()
    again = promising.offered(given, answer)
    vet_text = vet_words.text_for_vet(given, answer)
    page = {
        "given": given,
        "animal": given.animal,
        "check": check,
        "answer": answer,
        "level": int(answer.urgency),
        "meaning": book().vocabulary.urgencies[answer.urgency.code].meaning,
        "problems": [(one, _reasons(one.rules, reasons)) for one in answer.problems],
        "do_now": _do_now(answer, reasons),
        "do_not": _sayings(answer.do_not, reasons),
        "reasons": list(reasons.values()),
        "questions": _questions(answer) if _is_newest(given) else [],
        "newer": _newer(given),
        "people": _who_must_be_told(answer),
        "vets": list(VetNumber.objects.all()),
        "changes": changes_of(given),
        "again": again,
        "offers_all": any(one.made is None for one in again),
        "whole_by": given.made_at + answer.within,
        "notes": [one.touch.text for one in sitting.notes],
        "spoken": [one.touch for one in sitting.said],
        "open": promising.concerned(given, now),
        "not_checked": _not_checked(check),
        "vet_text": vet_text,
        "vet_rows": 2 + sum(1 + len(line) // VET_LINE for line in vet_text.splitlines()),
        "cautions": [one.words for one in book().cautions if one.subject == "vet"],
        "note_once": new_id(),
        "may_record": person_of(request).may_record,
        "faults": faults or {},
        "typed": typed or {},
    }
    return render(request, "web/checking/advice.html", page, status=422 if faults else 200)


def _reason(because: Because) -> Reason:
    known = book().sources
    return Reason(
        because,
        tuple(book().source_title(key) if key in known else key for key in because.sources),
    )


def _reasons(rules: Iterable[str], reasons: dict[str, Reason]) -> tuple[Reason, ...]:
    return tuple(reasons[rule] for rule in rules if rule in reasons)


def _sayings(lines: Iterable[Line], reasons: dict[str, Reason]) -> list[Saying]:
    return [Saying(line.words, _reasons(line.rules, reasons)) for line in lines]


def _do_now(answer: Answer, reasons: dict[str, Reason]) -> list[Saying]:
    """What to do; in an emergency all that only says to ring the vet is one line, and first."""
    if answer.urgency is not Urgency.EMERGENCY:
        return _sayings(answer.do_now, reasons)
    ringing = [line for line in answer.do_now if only_says_vet(line.words)]
    others = [line for line in answer.do_now if line not in ringing]
    rules = dict.fromkeys(rule for line in ringing for rule in line.rules)
    first = [Saying(RING, _reasons(rules, reasons))] if ringing else []
    return first + _sayings(others, reasons)


def _questions(answer: Answer) -> list[dict[str, Any]]:
    """The open questions; each answer with what it would make of the urgency."""
    return [
        {
            "id": question.id,
            "asks": question.asks,
            "answers": [
                {
                    "number": number,
                    "words": words,
                    "outcome": outcome,
                    "changes": _change(outcome, answer.urgency),
                    "once": new_id(),
                }
                for number, (words, outcome) in enumerate(
                    zip(question.answers, question.outcomes, strict=True)
                )
            ],
        }
        for question in answer.questions
    ]


def _change(outcome: Urgency, now: Urgency) -> str:
    words = book().urgency_words(outcome)
    if outcome == now:
        return f"stays: {words}"
    return f"then: {words}"


def _newer(given: AdviceGiven) -> AdviceGiven | None:
    """The newest advice on the same check, where this one is not it."""
    if given.check_in is None:
        return None
    newest = AdviceGiven.objects.filter(check_in=given.check_in).defer("inputs", "result").first()
    return newest if newest and newest.id != given.id else None


def _is_newest(given: AdviceGiven) -> bool:
    return _newer(given) is None


def _who_must_be_told(answer: Answer) -> list[str]:
    named = {problem.code for problem in answer.problems}
    if not answer.catching:
        return []
    told = (
        infection.tell_people
        for infection in book().infections
        if infection.catching.people != "no" and named & set(infection.problems)
    )
    return list(dict.fromkeys(words for words in told if words))


def _not_checked(check: Check | None) -> list[str]:
    """The steps of the plan nobody did anything about, in the order of the check."""
    if check is None:
        return []
    return [book().step(code).words for code in coverage_of(check).not_checked]
