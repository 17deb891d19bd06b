"""What to tell the vet, as text to read out or to send: plain facts, nothing interpreted."""

from django.utils import timezone

from cavyround.advice.book import book
from cavyround.engines.triage.answer import Answer
from cavyround.record.models import AdviceGiven, CareDone
from cavyround.web.templatetags.words import moment

SAYS_NO_WEIGHT = "not_weighed"


def text_for_vet(given: AdviceGiven, answer: Answer) -> str:
    """The animal, its weights and their change, the findings and since when, events and care."""
    lines = [f"Seen {moment(given.check_in.started_at if given.check_in else given.made_at)}"]
    lines += answer.tell_vet
    lines += [
        words for sign, words in given.inputs.get("signs", {}).items() if sign != SAYS_NO_WEIGHT
    ]
    lines += _care(given)
    if given.animal.microchip:
        lines.append(f"microchip {given.animal.microchip}")
    lines.append(f"(record of {moment(timezone.now())})")
    return "\n".join(_capital(line) for line in lines)


def _care(given: AdviceGiven) -> list[str]:
    if given.check_in is None:
        return []
    care, statuses = book().vocabulary.care, book().vocabulary.care_statuses
    return [
        f"care: {care[one.care].words if one.care in care else one.care}"
        f"{f' ({one.product})' if one.product else ''}, {statuses.get(one.status, one.status)}"
        for one in CareDone.objects.filter(check_in=given.check_in)
    ]


def _capital(line: str) -> str:
    return line[:1].upper() + line[1:]
