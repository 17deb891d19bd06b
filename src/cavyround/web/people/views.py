"""Who is who, what roles may do, and how a lead adds and changes people."""

from collections.abc import Callable

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.db import IntegrityError, transaction
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from cavyround.record.models import Person, Role, VetNumber
from cavyround.record.people import (
    LastLeadError,
    add_person,
    change_role,
    keep_vet_numbers,
    let_go,
    set_password,
    take_back_in,
)
from cavyround.web.gate import for_leads, for_readers, person_of
from cavyround.web.people.forms import AddPersonForm, NewPasswordForm, RoleForm, VetNumbersForm
from cavyround.web.people.roles import ROLES, role_words

BAD_FORM = 422


@for_readers
def people(request: HttpRequest) -> HttpResponse:
    """Everybody, and what each role may do."""
    everybody = list(Person.objects.order_by("-is_active", "shown_name", "username"))
    words = {
        "here": "people",
        "active": [person for person in everybody if person.is_active],
        "gone": [person for person in everybody if not person.is_active],
        "roles": ROLES,
        "vets": list(VetNumber.objects.all()),
        "me": person_of(request),
    }
    return render(request, "web/people/people.html", words)


@for_leads
@sensitive_post_parameters("password")
def new_person(request: HttpRequest) -> HttpResponse:
    """Add a person."""
    form = AddPersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            with transaction.atomic():
                if not Person.objects.filter(username__iexact=typed["username"]).exists():
                    add_person(
                        typed["username"], typed["password"], typed["role"], typed["shown_name"]
                    )
        except IntegrityError:
            # The same form arrived twice at once, and the other one was first.
            pass
        messages.success(
            request,
            f"{typed['shown_name']} can now sign in as {typed['username']}. Tell them the "
            "password in person; they change it on their own page.",
        )
        return redirect("people")
    words = {"form": form, "here": "people", "roles": ROLES}
    status = BAD_FORM if request.method == "POST" else 200
    return render(request, "web/people/new.html", words, status=status)


@for_leads
def vet_numbers(request: HttpRequest) -> HttpResponse:
    """The numbers shown where a vet is needed now."""
    known = "\n".join(f"{one.words}: {one.number}" for one in VetNumber.objects.all())
    form = VetNumbersForm(request.POST or None, initial={"numbers": known})
    if request.method == "POST" and form.is_valid():
        keep_vet_numbers(form.cleaned_data["numbers"])
        messages.success(request, "The numbers are kept and stand wherever a vet is needed now.")
        return redirect("people")
    status = BAD_FORM if request.method == "POST" else 200
    words = {"form": form, "here": "people"}
    return render(request, "web/people/vet_numbers.html", words, status=status)


def _page(
    request: HttpRequest,
    whose: Person,
    *,
    role_form: Form | None = None,
    password_form: Form | None = None,
    last_lead: str = "",
) -> HttpResponse:
    faulty = bool(last_lead) or any(
        form is not None and form.errors for form in (role_form, password_form)
    )
    words = {
        "here": "people",
        "whose": whose,
        "role": role_words(whose.role),
        "roles": ROLES,
        "role_form": role_form or RoleForm(initial={"role": whose.role}),
        "password_form": password_form or NewPasswordForm(),
        "last_lead": last_lead,
        "me": person_of(request),
    }
    return render(request, "web/people/person.html", words, status=BAD_FORM if faulty else 200)


@for_leads
def person(request: HttpRequest, pk: int) -> HttpResponse:
    """One person, with all that a lead may change."""
    return _page(request, get_object_or_404(Person, pk=pk))


@for_leads
@require_POST
def person_role(request: HttpRequest, pk: int) -> HttpResponse:
    """Give another role."""
    form = RoleForm(request.POST)
    if not form.is_valid():
        return _page(request, get_object_or_404(Person, pk=pk), role_form=form)
    role = Role(form.cleaned_data["role"])
    return _changed(
        request,
        pk,
        lambda whose: change_role(whose, role),
        f"is now a {role.label.lower()}",
    )


@for_leads
@require_POST
def person_let_go(request: HttpRequest, pk: int) -> HttpResponse:
    """Somebody leaves: no more sign-in; what they entered stays theirs."""
    return _changed(request, pk, let_go, "can no longer sign in. What they entered stays theirs")


@for_leads
@require_POST
def person_back_in(request: HttpRequest, pk: int) -> HttpResponse:
    """Somebody comes back."""
    return _changed(request, pk, take_back_in, "can sign in again")


def _changed(
    request: HttpRequest, pk: int, change: Callable[[Person], None], words: str
) -> HttpResponse:
    """Change one person, or say why the last lead stays one."""
    whose = get_object_or_404(Person, pk=pk)
    try:
        with transaction.atomic():
            # Two leads who change each other at once: the second sees what the first has done.
            leads = Person.objects.select_for_update().filter(role=Role.LEAD)
            len(leads)
            whose = Person.objects.get(pk=pk)
            change(whose)
    except LastLeadError as refused:
        return _page(request, Person.objects.get(pk=pk), last_lead=str(refused))
    messages.success(request, f"{whose} {words}.")
    return redirect("people")


@for_leads
@require_POST
@sensitive_post_parameters("password")
def person_password(request: HttpRequest, pk: int) -> HttpResponse:
    """Give somebody a new password; they are signed out everywhere."""
    whose = get_object_or_404(Person, pk=pk)
    form = NewPasswordForm(request.POST)
    if not form.is_valid():
        return _page(request, whose, password_form=form)
    set_password(whose, form.cleaned_data["password"])
    if whose == person_of(request):
        update_session_auth_hash(request, whose)
    messages.success(
        request,
        f"{whose} has a new password and signs in again with it. Tell them in person.",
    )
    return redirect("people")
