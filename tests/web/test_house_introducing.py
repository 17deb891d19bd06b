"""An introduction can be written down after it began."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from cavyround.record.models import Introduction, Person
from tests.builders import an_animal
from tests.web.conftest import SignedIn

FORM = "%Y-%m-%dT%H:%M"


def test_begun_two_days_ago_its_days_count_from_then(
    carer: Person, lead: Person, signed_in: SignedIn
) -> None:
    animals = [str(an_animal(lead, name).pk) for name in ("Fern", "Sage")]
    began = timezone.localtime() - timedelta(days=2)
    said = {"animals": animals, "began_at": began.strftime(FORM)}
    assert signed_in(carer).post(reverse("introduction-new"), said).status_code == 302
    row = Introduction.objects.get()
    assert row.began_at == began.replace(second=0, microsecond=0)
    assert row.made_at > row.began_at


@pytest.mark.parametrize(("days", "words"), [(1, "in the future"), (-61, "more than 60 days ago")])
def test_a_moment_that_cannot_be_is_refused_and_nothing_typed_is_lost(
    days: int, words: str, carer: Person, lead: Person, signed_in: SignedIn
) -> None:
    animals = [str(an_animal(lead, name).pk) for name in ("Fern", "Sage")]
    began = (timezone.localtime() + timedelta(days=days)).strftime(FORM)
    said = {"animals": animals, "began_at": began, "words": "hay between them"}
    answer = signed_in(carer).post(reverse("introduction-new"), said)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert words in page
    assert "hay between them" in page
    assert began in page
    assert not Introduction.objects.exists()
