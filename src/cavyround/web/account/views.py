"""Sign in and out, the first account, and one's own page."""

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login, logout, update_session_auth_hash
from django.contrib.auth.views import LoginView
from django.core.exceptions import NON_FIELD_ERRORS
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from cavyround.record.models import Person, Role
from cavyround.record.people import add_person, set_password
from cavyround.web.account.forms import FirstAccountForm, OwnPasswordForm, SignInForm
from cavyround.web.gate import for_readers, open_to_all, person_of
from cavyround.web.people.roles import role_words

BAD_FORM = 422
TOO_MANY = 429
DEMO_PASSWORD = "demo-herd-only"  # noqa: S105 - told on the demo herd's sign-in page by intent
DEMO_ACCOUNTS = ("carer", "lead", "vet", "viewer")
BACKEND = "django.contrib.auth.backends.ModelBackend"


class _SignIn(LoginView):
    """Django's sign-in with our words; a bad form is answered as one."""

    template_name = "web/account/sign_in.html"
    authentication_form = SignInForm
    redirect_authenticated_user = True

    def form_invalid(self, form: SignInForm) -> HttpResponse:  # type: ignore[override]
        """Show the form again with its faults."""
        waits = form.has_error(NON_FIELD_ERRORS, "wait")
        status = TOO_MANY if waits else BAD_FORM
        return self.render_to_response(self.get_context_data(form=form), status=status)


@open_to_all
def sign_in(request: HttpRequest) -> HttpResponse:
    """Ask who it is; a rescue without people gets its first account first."""
    if not Person.objects.exists():
        return redirect("first-account")
    demo = {}
    if settings.DEMO:
        demo = {"demo_accounts": DEMO_ACCOUNTS, "demo_password": DEMO_PASSWORD}
    answer = _SignIn.as_view(extra_context=demo)(request)
    assert isinstance(answer, HttpResponse)  # noqa: S101 - narrows Django's wider type
    return answer


@open_to_all
@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Sign out; doing so twice is harmless.

    What the browser kept of the pages goes; what was entered and not sent yet lies elsewhere
    on the phone and stays.
    """
    logout(request)
    response = redirect("sign-in")
    response["Clear-Site-Data"] = '"cache"'
    return response


@open_to_all
@never_cache
@sensitive_post_parameters("password", "again")
def first_account(request: HttpRequest) -> HttpResponse:
    """Make the first lead, once; afterwards leads add people."""
    if Person.objects.exists():
        return redirect("today")
    form = FirstAccountForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        with transaction.atomic():
            if Person.objects.exists():
                return redirect("today")
            person = add_person(
                typed["username"], typed["password"], Role.LEAD, typed["shown_name"]
            )
        login(request, person, backend=BACKEND)
        messages.success(request, f"Welcome, {person}. You are the first lead of this rescue.")
        return redirect("today")
    status = BAD_FORM if request.method == "POST" else 200
    return render(request, "web/account/first.html", {"form": form}, status=status)


@for_readers
@never_cache
@sensitive_post_parameters("current", "password", "again")
def me(request: HttpRequest) -> HttpResponse:
    """One's own name, role and what it may do; change the password; day or night."""
    person = person_of(request)
    form = OwnPasswordForm(person, request.POST or None)
    if request.method == "POST" and form.is_valid():
        set_password(person, form.cleaned_data["password"])
        update_session_auth_hash(request, person)
        messages.success(
            request, "Your password is changed. Other phones have to sign in with the new one."
        )
        return redirect("me")
    status = BAD_FORM if request.method == "POST" else 200
    words = {"form": form, "person": person, "role": role_words(person.role), "here": "me"}
    return render(request, "web/account/me.html", words, status=status)
