"""A check's history: every entry readable, what was covered, and corrections that hide nothing."""

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cavyround.advice.giving import advise
from cavyround.record.models import (
    AdviceGiven,
    CareDone,
    Check,
    CheckEntry,
    Observed,
    Person,
    WeighIn,
)
from cavyround.record.models.entries import new_id
from tests.web.animals_made import (
    FINISHED,
    NAILS_CUT,
    a_check,
    an_animal,
    discharge,
    entry_of,
    weight,
)
from tests.web.conftest import SignedIn


@pytest.fixture
def check(carer: Person) -> Check:
    return a_check(
        carer,
        an_animal(carer),
        {"kind": "hold_normal", "hold": "head", "steps": ["ears", "front_teeth"]},
        weight(812),
        discharge(),
        NAILS_CUT,
        {"kind": "step_skipped", "step": "nails", "why": "had enough"},
        {"kind": "step_normal", "step": "coat"},
        lambda ids: {"kind": "take_back", "entry": ids[5]},
        FINISHED,
    )


@pytest.fixture
def leads(lead: Person, signed_in: SignedIn) -> Client:
    return signed_in(lead)


def correct(client: Client, check: Check, kind: str, **form: Any) -> Any:
    address = reverse("correct-entry", args=[check.pk, entry_of(check, kind).pk])
    return client.post(address, {"once": str(new_id())} | form)


def history(client: Client, check: Check) -> str:
    answer = client.get(reverse("check-history", args=[check.pk]))
    assert answer.status_code == 200
    return answer.content.decode()


def test_every_entry_is_readable_also_what_was_taken_back(leads: Client, check: Check) -> None:
    page = history(leads, check)
    for words in (
        "Weight 812 g (1 lb 12.6 oz), typed as “812 g”",
        "Left eye: discharge (yellow)",
        "Care: nails cut, front feet",
        "left out, had enough",
        "Finished",
        "taken back",
    ):
        assert words in page
    assert "<s>Coat" in page


def test_what_was_not_checked_never_looks_like_what_was(leads: Client, check: Check) -> None:
    answer = leads.get(reverse("check-history", args=[check.pk]))
    steps = {step.words: step.state for _, lines in answer.context["holds"] for step in lines}
    states = list(steps.values())
    assert states.count("normal") == 3
    assert states.count("found") == 1
    assert states.count("skipped") == 1
    assert states.count("not_checked") == len(states) - 5 > 5
    page = answer.content.decode()
    for state in ("normal", "found", "skipped", "not_checked"):
        assert f'data-state="{state}"' in page


def test_a_lead_corrects_a_weight_and_the_old_one_stays_readable(
    leads: Client, lead: Person, check: Check
) -> None:
    answer = correct(leads, check, "weight", what="change", grams="912", reason="8 and 9 mixed up")
    assert answer.status_code == 302
    row = WeighIn.objects.get()
    assert row.grams == 912
    assert (row.as_typed, row.corrected, row.by) == ("912 g", True, lead)
    page = history(leads, check)
    assert "<s>Weight 812 g" in page
    assert "Weight 912 g" in page
    assert "8 and 9 mixed up" in page
    story = leads.get(reverse("animal", args=[check.animal_id])).content.decode()
    assert "912 g (2 lb 0.2 oz) (corrected)" in story
    assert "Marjorie Oakes" in story
    assert "8 and 9 mixed up" in story


def test_a_finding_changes_its_place_and_strength(leads: Client, check: Check) -> None:
    form = {
        "what": "change",
        "region": "ear",
        "side": "R",
        "finding": "wax",
        "status": "present",
        "grade": "slight",
        "reason": "tapped the wrong place",
    }
    assert correct(leads, check, "observation", **form).status_code == 302
    row = Observed.objects.get()
    assert (row.region, row.side, row.finding, row.grade) == ("ear", "R", "wax", "slight")
    assert row.kinds == []
    assert row.corrected


def test_an_entry_is_struck_out(leads: Client, check: Check) -> None:
    for kind in ("observation", "care"):
        reason = "this was another animal"
        assert correct(leads, check, kind, what="strike", reason=reason).status_code == 302
    assert not Observed.objects.exists()
    assert not CareDone.objects.exists()
    page = history(leads, check)
    assert page.count("struck out") == 2
    assert "<s>Left eye: discharge (yellow)" in page


def test_care_is_changed(leads: Client, check: Check) -> None:
    form = {"what": "change", "care": "nail_trim", "status": "partly", "detail": "left fore"}
    assert correct(leads, check, "care", **form, reason="only one foot").status_code == 302
    row = CareDone.objects.get()
    assert (row.status, row.detail, row.corrected) == ("partly", "left fore", True)


def test_a_correction_is_itself_corrected(leads: Client, check: Check) -> None:
    correct(leads, check, "weight", what="change", grams="912", reason="misread")
    correct(leads, check, "weight", what="change", grams="921", reason="misread again")
    assert WeighIn.objects.get().grams == 921
    assert CheckEntry.objects.filter(kind="correction").count() == 2


def test_a_correction_sent_twice_is_one(leads: Client, check: Check) -> None:
    form = {"once": str(new_id()), "what": "change", "grams": "912", "reason": "misread"}
    for _ in range(2):
        assert correct(leads, check, "weight", **form).status_code == 302
    assert CheckEntry.objects.filter(kind="correction").count() == 1


@pytest.mark.parametrize(
    ("form", "field"),
    [
        ({"what": "change", "grams": "912", "reason": ""}, "reason"),
        ({"what": "change", "grams": "912", "reason": "x"}, "reason"),
        ({"what": "change", "grams": "812", "reason": "the same"}, "grams"),
        ({"what": "change", "grams": "0", "reason": "misread"}, "grams"),
        ({"what": "change", "grams": "-5", "reason": "misread"}, "grams"),
        ({"what": "change", "grams": "91200", "reason": "misread"}, "grams"),
        ({"what": "change", "grams": "nine", "reason": "misread"}, "grams"),
        ({"what": "change", "grams": "", "reason": "misread"}, "grams"),
        ({"what": "", "grams": "912", "reason": "misread"}, "what"),
    ],
)
def test_a_correction_that_cannot_be_is_refused_beside_its_field(
    leads: Client, check: Check, form: dict[str, str], field: str
) -> None:
    answer = correct(leads, check, "weight", **form)
    assert answer.status_code == 422
    assert field in answer.context["form"].errors
    assert WeighIn.objects.get().grams == 812


def test_a_carer_corrects_only_their_own(
    carer: Person, lead: Person, check: Check, signed_in: SignedIn
) -> None:
    client = signed_in(carer)
    others = a_check(lead, check.animal, weight(900), FINISHED)
    form = {"what": "change", "grams": "912", "reason": "misread"}
    assert correct(client, check, "weight", **form).status_code == 302
    refused = correct(client, others, "weight", **form)
    assert refused.status_code == 403
    assert "Marjorie Oakes made this entry" in refused.content.decode()
    assert "Correct<span" not in history(client, others)


def test_an_entry_that_says_nothing_clinical_is_not_corrected(leads: Client, check: Check) -> None:
    assert correct(leads, check, "finish", reason="no").status_code == 403


def test_an_entry_of_another_check_is_not_found(leads: Client, check: Check, carer: Person) -> None:
    other = a_check(carer, check.animal, weight(900))
    address = reverse("correct-entry", args=[other.pk, entry_of(check, "weight").pk])
    assert leads.get(address).status_code == 404


def test_standing_advice_is_worked_out_again_after_a_correction(
    leads: Client, carer: Person, check: Check
) -> None:
    first = advise(carer, check, timezone.now())
    correct(leads, check, "observation", what="strike", reason="this was another animal")
    assert AdviceGiven.objects.filter(check_in=check).count() == 2
    assert AdviceGiven.objects.exclude(pk=first.pk).get().urgency < first.urgency


def test_a_leads_correction_stands_over_what_a_phone_with_a_fast_clock_said_before(
    carer: Person, leads: Client
) -> None:
    animal = an_animal(carer)

    def more(ids: list[str]) -> dict[str, Any]:
        data = discharge() | {"grade": "marked"}
        said = {"kind": "correction", "entry": ids[0], "reason": "more said at the table"}
        return said | {"more": True, "data": data}

    check = a_check(carer, animal, discharge(), more, FINISHED, ahead=timedelta(days=3))
    page = leads.get(
        reverse("correct-entry", args=[check.pk, entry_of(check, "observation").pk])
    ).content.decode()
    assert "marked" in page
    form = {"region": "ear", "side": "R", "finding": "wax", "status": "present"}
    answer = correct(leads, check, "observation", what="change", reason="wrong place", **form)
    assert answer.status_code == 302
    row = Observed.objects.get()
    assert (row.region, row.side, row.finding) == ("ear", "R", "wax")
    assert '<span class="chip">corrected</span> <strong>Right ear: ' in history(leads, check)
    again = leads.get(reverse("correct-entry", args=[check.pk, row.pk]))
    assert again.context["form"].initial["finding"] == "wax"


def test_more_said_at_the_table_is_shown_as_that_and_not_as_a_correction(
    carer: Person, leads: Client
) -> None:
    animal = an_animal(carer)

    def more(ids: list[str]) -> dict[str, Any]:
        data = discharge() | {"grade": "marked"}
        said = {"kind": "correction", "entry": ids[0], "reason": "more said at the table"}
        return said | {"more": True, "data": data}

    check = a_check(carer, animal, discharge(), more, FINISHED)
    page = history(leads, check)
    assert '<span class="chip">more said</span> <strong>Left eye: discharge (yellow), ' in page
    assert "More said of: Left eye" in page
    assert "orrected" not in page
    assert "<s>" not in page
    story = leads.get(reverse("animal", args=[animal.pk])).content.decode()
    assert "corrected" not in story


@pytest.mark.parametrize("waits", [True, False])
def test_what_was_said_stays_readable_and_says_whether_anybody_looked_at_what_was_read(
    waits: bool, leads: Client, carer: Person
) -> None:
    said = {"kind": "said", "text": "left eye weepy, rest fine", "waits": waits}
    check = a_check(carer, an_animal(carer), said, FINISHED)
    given = advise(carer, check, timezone.now())
    pages = [
        history(leads, check),
        leads.get(reverse("animal", args=[check.animal_id])).content.decode(),
        leads.get(reverse("advice", args=[given.id])).content.decode(),
    ]
    for page in pages:
        assert "left eye weepy, rest fine" in page
        assert ("nothing in them is recorded" in page or "nobody has looked" in page) is waits
    assert not Observed.objects.exists()
