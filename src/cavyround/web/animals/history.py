"""Every entry of a check in the order it was made, also what was taken back or corrected."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import MAXYEAR, MINYEAR, datetime
from typing import Any
from uuid import UUID

from django.http import HttpRequest, HttpResponseBase
from django.shortcuts import get_object_or_404, render

from cavyround.advice.book import book
from cavyround.advice.giving import answer_of
from cavyround.advice.plans import plan_for
from cavyround.facts.entries import AnyTouch, ClockSetRight, Corrected, TakenBack
from cavyround.facts.sitting import WEIGHT_STEP, StepStatus, mends_of
from cavyround.record.models import Check, CheckEntry, Person, StepState
from cavyround.record.reading_off import as_made
from cavyround.web.animals.saying import said_of
from cavyround.web.gate import for_readers, person_of

CORRECTABLE = ("observation", "weight", "care", "event", "note", "mark")
STATES = {
    "normal": ("As it should be", "✓"),
    "found": ("Found", "!"),
    "skipped": ("Left out", "—"),
    "not_checked": ("Not checked", ""),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One entry in words; ``gone`` and ``mended`` name the entries that undid or corrected it."""

    entry: CheckEntry
    words: str
    gone: CheckEntry | None = None
    mended: CheckEntry | None = None
    now_says: str = ""
    reason: str = ""
    more: bool = False
    phone_said: datetime | None = None
    may_correct: bool = False


@dataclass(frozen=True, slots=True)
class StepLine:
    """One step and what was done about it, as a word and a sign."""

    code: str
    words: str
    state: str

    @property
    def said(self) -> str:
        """The state in words; a weight that was taken says nothing of how it is."""
        if self.code == WEIGHT_STEP and self.state == StepStatus.NORMAL:
            return "Weighed"
        return STATES[self.state][0]

    @property
    def sign(self) -> str:
        """The state as a sign; nothing at all where nothing was done."""
        return STATES[self.state][1]


@for_readers
def check_history(request: HttpRequest, check_id: UUID) -> HttpResponseBase:
    """One check: what it covered, what was advised, and all its entries."""
    found = Check.objects.select_related("animal", "started_by")
    check = get_object_or_404(found, pk=check_id)
    person = person_of(request)
    # By our clock, not by their ids: those of a phone whose clock was wrong sort elsewhere.
    entries = list(check.entries.select_related("made_by", "sent_by").order_by("made_at", "id"))
    given = check.advice.defer("inputs").first()
    holds = list(coverage_by_hold(check))
    page = {
        "check": check,
        "animal": check.animal,
        "lines": list(lines_of(entries, person)),
        "holds": holds,
        "counts": _counts(holds),
        "given": given,
        "answer": answer_of(given) if given else None,
        "photos": check.photos.order_by("made_at"),
        "here": "animals",
    }
    return render(request, "web/animals/history.html", page)


def coverage_by_hold(check: Check) -> Iterator[tuple[str, list[StepLine]]]:
    """Each hold with its steps: those planned for that check, and any others that were done."""
    states = dict(StepState.objects.filter(check_in=check).values_list("step", "state"))
    for hold, codes in _planned_by_hold(check):
        yield (
            hold,
            [StepLine(code, _step_words(code), states.pop(code, "not_checked")) for code in codes],
        )
    if states:
        yield (
            "Also done",
            [StepLine(code, _step_words(code), state) for code, state in states.items()],
        )


def _planned_by_hold(check: Check) -> Iterator[tuple[str, list[str]]]:
    """The steps that were on the check's screens; of an older phone's check, those of its plan."""
    planned = check.planned or [
        step.code for step in plan_for(check.animal, check.started_at, check.kind).steps
    ]
    for hold in book().holds:
        of_hold = {step.code for step in book().steps if step.hold == hold.code}
        if codes := [code for code in planned if code in of_hold]:
            yield hold.words, codes
    known = {step.code for step in book().steps}
    if unknown := [code for code in planned if code not in known]:
        yield "Steps of an earlier knowledge", unknown


def _step_words(code: str) -> str:
    try:
        return book().step(code).words
    except KeyError:
        return code


def _counts(holds: list[tuple[str, list[StepLine]]]) -> list[tuple[str, str, str, int]]:
    steps = [step for _, lines in holds for step in lines]
    return [
        (state, words, sign, sum(step.state == state for step in steps))
        for state, (words, sign) in STATES.items()
    ]


def lines_of(entries: list[CheckEntry], person: Person) -> Iterator[Line]:
    """The entries in words, each with what later became of it."""
    made = [as_made(entry) for entry in entries]
    touches = {one.id: one.touch for one in made}
    by_id = {entry.pk: entry for entry in entries}
    mends = mends_of(made)
    by_phone = {
        key: moment
        for touch in touches.values()
        if isinstance(touch, ClockSetRight)
        for key, moment in touch.made_at.items()
        if MINYEAR < moment.year < MAXYEAR  # at the ends of the calendar there is no other zone
    }
    for entry in entries:
        mend = mends.stands.get(entry.pk)
        mend_touch = mend.touch if mend else None
        back = mends.gone.get(entry.pk)
        yield Line(
            entry=entry,
            words=_words(touches[entry.pk], touches),
            gone=by_id[back.id] if back else None,
            mended=by_id[mend.id] if mend else None,
            now_says=_now_says(mend_touch),
            reason=mend_touch.reason if isinstance(mend_touch, Corrected) else "",
            more=isinstance(mend_touch, Corrected) and entry.pk not in mends.put_right,
            phone_said=by_phone.get(entry.pk),
            may_correct=back is None and may_correct(person, entry),
        )


def may_correct(person: Person, entry: CheckEntry) -> bool:
    """A lead any entry, a carer their own; only such as say something clinical."""
    if entry.kind not in CORRECTABLE or not person.may_record:
        return False
    return person.may_lead or entry.made_by_id == person.pk


def _now_says(mend: AnyTouch | None) -> str:
    if not isinstance(mend, Corrected):
        return ""
    return said_of(mend.data) if mend.data is not None else "struck out"


def _words(touch: AnyTouch, touches: Mapping[UUID, Any]) -> str:
    if isinstance(touch, TakenBack | Corrected) and touch.entry in touches:
        target = said_of(touches[touch.entry])
        if isinstance(touch, TakenBack):
            return f"Taken back: {target}"
        return f"{'More said of' if touch.more else 'Corrected'}: {target}"
    return said_of(touch)
