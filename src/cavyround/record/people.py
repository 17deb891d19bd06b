"""Write people: accounts, roles, and who may still sign in."""

from collections.abc import Iterable

from django.db import transaction

from cavyround.record.models import Person, Role, VetNumber


class LastLeadError(ValueError):
    """The rescue would be left without anyone who can set it up."""

    def __init__(self) -> None:
        """Say what to do."""
        super().__init__(
            "This is the last lead: without one nobody could correct entries or add people. "
            "Make someone else a lead first."
        )


def add_person(username: str, password: str, role: str, shown_name: str = "") -> Person:
    """A new person who can sign in."""
    person = Person(username=username, role=Role(role), shown_name=shown_name)
    person.set_password(password)
    person.save()
    return person


def change_role(person: Person, role: str) -> None:
    """Give a person another role; the last lead keeps theirs."""
    if person.may_lead and role != Role.LEAD:
        _refuse_last_lead(person)
    person.role = Role(role)
    person.save(update_fields=["role"])


def set_password(person: Person, password: str) -> None:
    """Give a person a new password."""
    person.set_password(password)
    person.save(update_fields=["password"])


def let_go(person: Person) -> None:
    """A person may no longer sign in; what they entered stays theirs."""
    if person.may_lead:
        _refuse_last_lead(person)
    person.is_active = False
    person.save(update_fields=["is_active"])


def take_back_in(person: Person) -> None:
    """A person may sign in again."""
    person.is_active = True
    person.save(update_fields=["is_active"])


def _refuse_last_lead(person: Person) -> None:
    others = Person.objects.filter(role=Role.LEAD, is_active=True).exclude(pk=person.pk)
    if not others.exists():
        raise LastLeadError


def keep_vet_numbers(numbers: Iterable[tuple[str, str]]) -> None:
    """The vet's numbers, each as (when and who, number), in the order they are shown."""
    with transaction.atomic():
        VetNumber.objects.all().delete()
        for position, (words, number) in enumerate(numbers):
            VetNumber.objects.create(words=words, number=number, position=position)
