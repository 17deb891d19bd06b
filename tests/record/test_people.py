"""Accounts: roles, and that the rescue never loses its last lead."""

import pytest

from cavyround.record.models import Person
from cavyround.record.people import (
    LastLeadError,
    add_person,
    change_role,
    let_go,
    take_back_in,
)


def test_a_password_is_never_kept_as_it_was_typed(carer: Person) -> None:
    typed = "three hay racks and a tub"
    assert typed not in carer.password
    assert carer.check_password(typed)


@pytest.mark.parametrize(
    ("role", "may"),
    [
        ("carer", (True, False, False)),
        ("lead", (True, True, False)),
        ("vet", (False, False, True)),
        ("viewer", (False, False, False)),
    ],
)
def test_each_role_may_do_its_own(role: str, may: tuple[bool, bool, bool], db: None) -> None:
    person = add_person(role, "three hay racks", role)
    assert (person.may_record, person.may_lead, person.may_answer) == may


def test_a_role_there_is_not_is_refused(db: None) -> None:
    with pytest.raises(ValueError, match="emperor"):
        add_person("x", "three hay racks", "emperor")
    assert not Person.objects.exists()


@pytest.mark.parametrize("role", ["carer", "vet", "viewer"])
def test_the_last_lead_keeps_their_role(lead: Person, role: str) -> None:
    with pytest.raises(LastLeadError, match="Make someone else a lead first"):
        change_role(lead, role)
    lead.refresh_from_db()
    assert lead.may_lead


def test_the_last_lead_is_not_let_go(lead: Person) -> None:
    with pytest.raises(LastLeadError):
        let_go(lead)
    lead.refresh_from_db()
    assert lead.is_active


def test_a_lead_who_was_let_go_is_no_second_lead(lead: Person) -> None:
    other = add_person("other", "three hay racks", "lead")
    let_go(other)
    with pytest.raises(LastLeadError):
        change_role(lead, "carer")


def test_of_two_leads_one_may_go(lead: Person) -> None:
    add_person("other", "three hay racks", "lead")
    change_role(lead, "carer")
    lead.refresh_from_db()
    assert lead.role == "carer"


def test_someone_let_go_may_be_taken_back_in(carer: Person) -> None:
    let_go(carer)
    carer.refresh_from_db()
    assert not carer.is_active
    take_back_in(carer)
    carer.refresh_from_db()
    assert carer.is_active


def test_a_person_is_called_by_the_name_colleagues_know(carer: Person, db: None) -> None:
    assert str(carer) == "Tam Birch"
    assert str(add_person("nameless", "three hay racks", "viewer")) == "nameless"
