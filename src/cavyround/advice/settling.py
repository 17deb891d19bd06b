"""Keep promises by looking: what a check found again, or found gone, answers its follow-ups."""

from datetime import datetime

from cavyround.advice.book import book
from cavyround.facts.observation import sides_agree
from cavyround.record.models import Check, FollowUp, Observed, Person, StepState
from cavyround.record.promises import settle

OUTCOME_OF_GRADE = {"healing": "better", "worse": "worse"}


def settle_by_check(person: Person, check: Check, now: datetime) -> None:
    """Settle every open follow-up of the animal that this check looked at.

    A promise about no one place (a chore, "hind nails still to be cut") is left
    for the carer to answer.
    """
    waiting = FollowUp.objects.filter(
        animal_id=check.animal_id, outcomes=None, made_at__lt=check.started_at
    ).exclude(finding="")
    seen = list(Observed.objects.filter(check_in=check))
    normal = set(
        StepState.objects.filter(check_in=check, state="normal").values_list("step", flat=True)
    )
    for promise in waiting:
        outcome = _outcome(promise, seen, normal)
        if outcome:
            settle(person, promise, outcome, now, check=check, reason="found at the check")


def _outcome(promise: FollowUp, seen: list[Observed], normal: set[str]) -> str:
    for row in seen:
        same = (row.region, row.finding) == (promise.region, promise.finding)
        if same and sides_agree(row.side, promise.side):
            return "gone" if row.status == "absent" else OUTCOME_OF_GRADE.get(row.grade, "same")
    return "gone" if book().step_of(promise.region) in normal else ""
