"""Promises to look again: what an advice offers, what is open, and what the check looked at."""

from dataclasses import dataclass
from datetime import datetime

from cavyround.advice.book import book
from cavyround.engines.triage.answer import Answer, LookAgain
from cavyround.knowledge.urgency import Urgency
from cavyround.record.models import AdviceGiven, FollowUp, StepState
from cavyround.record.promises import LookAgainAt


@dataclass(frozen=True, slots=True)
class Offered:
    """One promise an advice offers, and the one made from it if it was taken up."""

    number: int
    again: LookAgainAt
    made: FollowUp | None


def offered(given: AdviceGiven, answer: Answer) -> list[Offered]:
    """The promises this advice offers; each is known again by its place and finding."""
    made = {
        (one.region, one.finding, one.side): one for one in FollowUp.objects.filter(advice=given)
    }
    return [
        Offered(number, again, made.get((again.region, again.finding, again.side)))
        for number, again in enumerate(_wanted(given, answer))
    ]


def _wanted(given: AdviceGiven, answer: Answer) -> list[LookAgainAt]:
    if answer.look_again:
        return [_at(given, answer, one) for one in answer.look_again]
    if answer.urgency is Urgency.NORMAL:
        return []
    whole = LookAgainAt(
        due_at=given.made_at + answer.within,
        words="the whole animal",
        urgency=answer.urgency.code,
        until_gone=False,
    )
    return [whole]


def _at(given: AdviceGiven, answer: Answer, again: LookAgain) -> LookAgainAt:
    levels = [one.urgency for one in answer.because if one.rule in again.rules]
    return LookAgainAt(
        due_at=given.made_at + again.within,
        words=again.words[:200],
        region=again.region,
        finding=again.finding,
        side=again.side,
        urgency=max(levels, default=Urgency.CARER_RECHECK).code,
        until_gone=again.until_gone,
    )


def concerned(given: AdviceGiven, now: datetime) -> list[FollowUp]:
    """The open promises from before that this check looked at, or that are due."""
    check = given.check_in
    rows = FollowUp.objects.filter(animal=given.animal, outcomes=None)
    if check is None:
        return [one for one in rows if one.due_at <= now]
    looked_at = set(StepState.objects.filter(check_in=check).values_list("step", flat=True))
    regions = book().vocabulary.regions
    return [
        one
        for one in rows.filter(made_at__lt=check.started_at)
        if one.due_at <= now
        or not one.region
        or (one.region in regions and regions[one.region].step in looked_at)
    ]
