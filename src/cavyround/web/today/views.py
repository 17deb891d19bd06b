"""Today: who is due for what and why, in the order of the round."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.book import book
from cavyround.advice.due import here_today
from cavyround.advice.labour import labours_now
from cavyround.advice.outbreaks import open_outbreaks
from cavyround.record.models import Animal
from cavyround.web.gate import for_readers
from cavyround.web.today.counting import (
    checked_today,
    doses_due,
    new_answers,
    open_follow_ups,
    open_questions,
    to_see_a_vet,
    weight_alarms,
)
from cavyround.web.today.rounds import grouped

# More than anybody checks in a day; those further down come up as the first ones are done.
MOST_SHOWN = 250


@for_readers
def today(request: HttpRequest) -> HttpResponse:
    """The list to work through; a touch on an animal starts its check."""
    now = timezone.now()
    here = here_today(now)
    due = here.due
    known = book()
    words = {
        "here": "today",
        "now": now,
        "groups": grouped(due[:MOST_SHOWN], here.order),
        "further": max(0, len(due) - MOST_SHOWN),
        "check_url": reverse("check"),
        "due": len(due),
        "overdue": sum(one.overdue_days > 0 for one in due),
        "checked": checked_today(now),
        "doses": doses_due(now, here.order),
        "follow_ups": open_follow_ups(),
        "urgent": to_see_a_vet(),
        "questions": open_questions(),
        "answers": new_answers(now),
        "weight_alarms": weight_alarms(),
        "outbreaks": open_outbreaks(),
        "labours": labours_now(now),
        "quarantine_over": [one for one in here.quarantined if not one.clock.days_left],
        "any_animals": bool(due) or Animal.objects.filter(left_on=None).exists(),
        "kit_always": [item for item in known.kit.values() if item.always],
        "kit_some": [item for item in known.kit.values() if not item.always],
        "cautions": known.cautions,
    }
    return render(request, "web/today/today.html", words)


@for_readers
def more(request: HttpRequest) -> HttpResponse:
    """On a phone: the places of the house that its bar has no room for."""
    return render(request, "web/today/more.html", {"here": "more"})
