"""Who is who, and how a lead adds and changes people."""

import pytest
from django.urls import reverse

from cavyround.record.models import Person
from cavyround.record.people import add_person, let_go
from tests.conftest import PASSWORD
from tests.web.conftest import SignedIn


def new_person(**changed: str) -> dict[str, str]:
    typed = {
        "shown_name": "Hetty Lowe",
        "username": "hetty",
        "password": "seven sprigs of dill",
        "role": "carer",
    }
    return typed | changed


def test_everybody_sees_who_is_who_and_what_roles_may_do(
    personas: dict[str, Person], signed_in: SignedIn
) -> None:
    for person in personas.values():
        page = signed_in(person).get(reverse("people")).content.decode()
        for other in personas.values():
            assert str(other) in page
        assert "What each role may do" in page
        assert ("Add a person" in page) == person.may_lead


def test_who_was_let_go_is_listed_apart(lead: Person, carer: Person, signed_in: SignedIn) -> None:
    let_go(carer)
    page = signed_in(lead).get(reverse("people")).content.decode()
    assert "Tam Birch" in page.split("No longer here")[1]


def test_a_lead_adds_a_person_who_can_then_sign_in(lead: Person, signed_in: SignedIn) -> None:
    answer = signed_in(lead).post(reverse("new-person"), new_person(), follow=True)
    assert "Hetty Lowe can now sign in" in answer.content.decode()
    added = Person.objects.get(username="hetty")
    assert added.role == "carer"
    assert added.check_password("seven sprigs of dill")
    assert not added.is_staff
    assert not added.is_superuser


def test_a_new_person_sent_twice_is_one_person(lead: Person, signed_in: SignedIn) -> None:
    client = signed_in(lead)
    for _ in range(2):
        assert client.post(reverse("new-person"), new_person()).status_code == 302
    assert Person.objects.filter(username="hetty").count() == 1


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"username": "CARER"}, "username", "Tam Birch already signs in as carer"),
        ({"username": "a b"}, "username", "Leave out spaces"),
        ({"shown_name": ""}, "shown_name", "is missing"),
        ({"password": "short"}, "password", "has 5 characters"),
        ({"role": ""}, "role", "Choose a role"),
        ({"role": "king"}, "role", "no such role"),
    ],
)
def test_a_fault_stands_beside_its_field_and_nobody_is_added(
    lead: Person,
    carer: Person,
    signed_in: SignedIn,
    typed: dict[str, str],
    field: str,
    said: str,
) -> None:
    answer = signed_in(lead).post(reverse("new-person"), new_person(**typed))
    assert answer.status_code == 422
    page = answer.content.decode()
    assert said in page.split(f'id="id_{field}_error"')[1].split("</div>")[0]
    assert f'value="{typed.get("shown_name", "Hetty Lowe")}"' in page or field == "shown_name"
    assert Person.objects.count() == 2


def test_a_lead_gives_another_role(lead: Person, carer: Person, signed_in: SignedIn) -> None:
    address = reverse("person-role", args=[carer.pk])
    for _ in range(2):
        assert signed_in(lead).post(address, {"role": "lead"}).status_code == 302
    carer.refresh_from_db()
    assert carer.may_lead


def test_an_unknown_role_changes_nothing(lead: Person, carer: Person, signed_in: SignedIn) -> None:
    answer = signed_in(lead).post(reverse("person-role", args=[carer.pk]), {"role": "king"})
    assert answer.status_code == 422
    assert "no such role" in answer.content.decode()
    carer.refresh_from_db()
    assert carer.role == "carer"


def test_a_person_is_let_go_and_taken_back_in(
    lead: Person, carer: Person, signed_in: SignedIn
) -> None:
    client = signed_in(lead)
    for name, active in (("person-let-go", False), ("person-back-in", True)):
        for _ in range(2):
            assert client.post(reverse(name, args=[carer.pk])).status_code == 302
        carer.refresh_from_db()
        assert carer.is_active is active


@pytest.mark.parametrize(
    ("name", "typed"), [("person-let-go", {}), ("person-role", {"role": "viewer"})]
)
def test_the_last_lead_stays_one_and_is_told_why(
    lead: Person, signed_in: SignedIn, name: str, typed: dict[str, str]
) -> None:
    answer = signed_in(lead).post(reverse(name, args=[lead.pk]), typed)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "This is the last lead" in page
    assert "Make someone else a lead first" in page
    lead.refresh_from_db()
    assert lead.is_active
    assert lead.may_lead


def test_a_lead_who_was_let_go_does_not_count_as_another_lead(
    lead: Person, signed_in: SignedIn
) -> None:
    second = add_person("second", PASSWORD, "lead")
    let_go(second)
    answer = signed_in(lead).post(reverse("person-let-go", args=[lead.pk]))
    assert answer.status_code == 422


def test_one_of_two_leads_may_go(lead: Person, signed_in: SignedIn) -> None:
    add_person("second", PASSWORD, "lead")
    assert signed_in(lead).post(reverse("person-let-go", args=[lead.pk])).status_code == 302
    lead.refresh_from_db()
    assert not lead.is_active


def test_a_new_password_signs_its_owner_out_everywhere(
    lead: Person, carer: Person, signed_in: SignedIn
) -> None:
    phone = signed_in(carer)
    address = reverse("person-password", args=[carer.pk])
    answer = signed_in(lead).post(address, {"password": "two tubs on the scales"})
    assert answer.status_code == 302
    carer.refresh_from_db()
    assert carer.check_password("two tubs on the scales")
    assert phone.get(reverse("today")).status_code == 302


def test_a_lead_who_sets_their_own_password_stays_signed_in(
    lead: Person, signed_in: SignedIn
) -> None:
    client = signed_in(lead)
    address = reverse("person-password", args=[lead.pk])
    assert (
        client.post(address, {"password": "two tubs on the scales"}, follow=True).status_code == 200
    )


def test_a_password_that_is_too_short_is_not_given(
    lead: Person, carer: Person, signed_in: SignedIn
) -> None:
    address = reverse("person-password", args=[carer.pk])
    answer = signed_in(lead).post(address, {"password": "short"})
    assert answer.status_code == 422
    assert "has 5 characters" in answer.content.decode()
    carer.refresh_from_db()
    assert carer.check_password(PASSWORD)


def test_the_vets_numbers_stand_where_a_vet_is_needed(
    lead: Person, carer: Person, signed_in: SignedIn
) -> None:
    typed = "Our vet, by day: 01632 960 114\nNight line: 01632 960 887"
    answer = signed_in(lead).post("/people/vet-numbers", {"numbers": typed})
    assert answer.status_code == 302
    told = signed_in(carer).get("/check/round.json").json()["vets"]
    assert told == [
        {"words": "Our vet, by day", "number": "01632 960 114"},
        {"words": "Night line", "number": "01632 960 887"},
    ]


def test_a_line_without_a_number_is_told_and_what_was_typed_stays(
    lead: Person, signed_in: SignedIn
) -> None:
    answer = signed_in(lead).post("/people/vet-numbers", {"numbers": "ring Dr Pell"})
    assert answer.status_code == 422
    assert "a number that can be rung" in answer.content.decode()
    assert "ring Dr Pell" in answer.content.decode()
