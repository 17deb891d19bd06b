"""Forms for signing in, the first account and one's own password."""

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.password_validation import validate_password
from django.contrib.auth.validators import UnicodeUsernameValidator
from django.core.exceptions import ValidationError

from cavyround.record.models import Person
from cavyround.web.account.braking import BRAKE, in_words

SHORTEST_PASSWORD = 10
PASSWORD_HINT = (
    f"At least {SHORTEST_PASSWORD} characters. Three or four words in a row are easy to type "
    "and hard to guess."
)
NOT_SAME = "The two passwords are not the same. Type the new password again in both fields."


def password_field(label: str, *, new: bool, hint: str = "") -> forms.CharField:
    """A field for a password; a browser is told whether it is a new one."""
    return forms.CharField(
        label=label,
        strip=False,
        help_text=hint,
        error_messages={"required": f"{label} is missing. Type it here."},
        widget=forms.PasswordInput(
            attrs={"autocomplete": "new-password" if new else "current-password"}
        ),
    )


def username_field(hint: str = "") -> forms.CharField:
    """A field for the name used to sign in: no capital letter put in by the phone."""
    return forms.CharField(
        label="Sign-in name",
        max_length=150,
        help_text=hint,
        error_messages={
            "required": "The sign-in name is missing. Type it here.",
            "max_length": "This name is too long: at most 150 characters.",
        },
        widget=forms.TextInput(
            attrs={"autocapitalize": "none", "autocomplete": "username", "spellcheck": "false"}
        ),
    )


def as_known(username: str) -> str:
    """The sign-in name as it was first written, however it is capitalised now."""
    found = list(
        Person.objects.filter(username__iexact=username).values_list("username", flat=True)[:2]
    )
    return found[0] if len(found) == 1 else username


def check_new_password(password: str) -> None:
    """Raise ValidationError with what to do for a password that is too short or too common."""
    try:
        validate_password(password)
    except ValidationError as refused:
        words = {
            "password_too_short": (
                f"This password has {len(password)} characters; it needs at least "
                f"{SHORTEST_PASSWORD} so that nobody guesses it. Add a word."
            ),
            "password_too_common": (
                "This password is on every list of common passwords, so it is guessed first. "
                "Put three or four words of your own in a row."
            ),
        }
        raise ValidationError(
            [
                ValidationError(words.get(one.code or "", "; ".join(one.messages)), code=one.code)
                for one in refused.error_list
            ]
        ) from None


class SignInForm(AuthenticationForm):
    """Sign-in name and password."""

    username = username_field()
    password = password_field("Password", new=False)

    error_messages = {  # noqa: RUF012 - Django's own way to say it
        "invalid_login": (
            "This name and password do not go together, or the account has been closed. Type the "
            "password again; a capital letter counts. A lead can give you a new password."
        ),
        "inactive": "This account has been closed. A lead can open it again.",
        "wait": (
            "%(failed)d tries for this name did not fit, so this one was not looked at. The next "
            "one counts in %(wait)s: wait, then type the password again. Nobody else has to wait, "
            "and a lead can give you a new password."
        ),
        "next": "That was try %(failed)d. The next one counts in %(wait)s.",
    }

    def clean_username(self) -> str:
        """Take the name however it is capitalised."""
        return as_known(self.cleaned_data["username"])

    def clean(self) -> dict[str, Any]:
        """Whoever failed often waits before the password is looked at again."""
        name, password = self.cleaned_data.get("username"), self.cleaned_data.get("password")
        if not name or not password:
            return super().clean()
        address = str(self.request.META.get("REMOTE_ADDR", "")) if self.request else ""
        if wait := BRAKE.wait_s(name, address):
            told = self._told_to_wait("wait", BRAKE.failures(name, address), wait)
            raise told
        try:
            cleaned = super().clean()
        except ValidationError as refused:
            failed = BRAKE.failed(name, address)
            wait = BRAKE.wait_s(name, address)
            also = [self._told_to_wait("next", failed, wait)] if wait else []
            raise ValidationError([refused, *also]) from None
        BRAKE.passed(name, address)
        return cleaned

    def _told_to_wait(self, code: str, failed: int, wait: int) -> ValidationError:
        said = {"failed": failed, "wait": in_words(wait)}
        return ValidationError(str(self.error_messages[code]), code=code, params=said)


class NewAccountForm(forms.Form):
    """What every new account needs; the password is typed by whoever makes it."""

    shown_name = forms.CharField(
        label="Name shown to the others",
        max_length=80,
        help_text="As colleagues call you; it stands beside every entry.",
        error_messages={
            "required": "The name is missing. Type how colleagues call this person.",
            "max_length": "This name is too long: at most 80 characters.",
        },
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    username = username_field("Short and without spaces: letters, digits and . _ - + @ only.")
    password = password_field("Password", new=True, hint=PASSWORD_HINT)

    def clean_username(self) -> str:
        """Refuse odd characters."""
        username = self.cleaned_data["username"]
        try:
            UnicodeUsernameValidator()(username)
        except ValidationError:
            msg = (
                "A sign-in name has only letters, digits and . _ - + @, so that it can be typed "
                "on any phone. Leave out spaces and other signs."
            )
            raise ValidationError(msg) from None
        return str(username)

    def clean_password(self) -> str:
        """Refuse what is easily guessed."""
        password = str(self.cleaned_data["password"])
        check_new_password(password)
        return password


class FirstAccountForm(NewAccountForm):
    """The first lead, with the password typed twice: nobody else could give a new one."""

    again = password_field("Password again", new=True)

    def clean(self) -> dict[str, Any]:
        """Both passwords are the same."""
        typed = super().clean() or self.cleaned_data
        if "password" in typed and "again" in typed and typed["password"] != typed["again"]:
            self.add_error("again", NOT_SAME)
        return typed


class OwnPasswordForm(forms.Form):
    """Change one's own password."""

    current = password_field("Password now", new=False)
    password = password_field("New password", new=True, hint=PASSWORD_HINT)
    again = password_field("New password again", new=True)

    def __init__(self, person: Person, *args: Any, **kwargs: Any) -> None:
        """Keep whose password it is."""
        super().__init__(*args, **kwargs)
        self.person = person

    def clean_current(self) -> str:
        """Only who knows the old password may set a new one."""
        current = str(self.cleaned_data["current"])
        if not self.person.check_password(current):
            msg = (
                "This is not your password now, so nothing was changed. Type it again; "
                "if you have forgotten it, a lead can give you a new one."
            )
            raise ValidationError(msg)
        return current

    def clean_password(self) -> str:
        """Refuse what is easily guessed."""
        password = str(self.cleaned_data["password"])
        check_new_password(password)
        return password

    def clean(self) -> dict[str, Any]:
        """Both new passwords are the same."""
        typed = super().clean() or self.cleaned_data
        if "password" in typed and "again" in typed and typed["password"] != typed["again"]:
            self.add_error("again", NOT_SAME)
        return typed
