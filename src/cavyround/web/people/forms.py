"""Forms with which a lead adds and changes people."""

from django import forms
from django.core.exceptions import ValidationError

from cavyround.record.models import Person, Role
from cavyround.web.account.forms import (
    PASSWORD_HINT,
    NewAccountForm,
    check_new_password,
    password_field,
)

# Emergency lines can be short, but a number of one or two digits is a slip.
FEWEST_DIGITS = 3


def role_field() -> forms.ChoiceField:
    """One role out of four; none is chosen beforehand for a new person."""
    return forms.ChoiceField(
        label="Role",
        choices=Role.choices,
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose a role: it decides what this person may do.",
            "invalid_choice": "There is no such role. Choose one of the four.",
        },
    )


class VetNumbersForm(forms.Form):
    """The vet's numbers, one to a line: who and when, a colon, the number."""

    numbers = forms.CharField(
        label="The vet's telephone numbers",
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="One to a line: who and when, a colon, the number. "
        "For example: Our vet, by day: 01632 960 123",
    )

    def clean_numbers(self) -> list[tuple[str, str]]:
        """Each line as (words, number); a line without a number is a fault."""
        read = []
        for line in filter(
            None, (one.strip() for one in self.cleaned_data["numbers"].splitlines())
        ):
            words, colon, number = line.rpartition(":")
            digits = [sign for sign in number if sign.isdigit()]
            if not colon or not words.strip() or len(digits) < FEWEST_DIGITS:
                msg = f"'{line[:40]}': write who, a colon, and a number that can be rung."
                raise ValidationError(msg)
            read.append((words.strip()[:80], number.strip()[:30]))
        return read


class AddPersonForm(NewAccountForm):
    """A new person, with the password they start with."""

    role = role_field()

    def clean_username(self) -> str:
        """Refuse a name that somebody has, unless this very form was sent twice."""
        username = super().clean_username()
        known = Person.objects.filter(username__iexact=username).first()
        if known is not None and not self._made_this(known):
            msg = (
                f"{known} already signs in as {known.username}"
                f"{'' if known.is_active else ' (let go; a lead can take them back in)'}. "
                "Choose another sign-in name."
            )
            raise ValidationError(msg)
        return username

    def _made_this(self, known: Person) -> bool:
        """Whether the person there is what this form asks for, so that it is already done."""
        return (
            known.is_active
            and known.shown_name == str(self.data.get("shown_name", "")).strip()
            and known.role == self.data.get("role")
            and known.check_password(str(self.data.get("password", "")))
        )


class RoleForm(forms.Form):
    """Another role for a person."""

    role = role_field()


class NewPasswordForm(forms.Form):
    """A new password for somebody who has forgotten theirs."""

    password = password_field("New password", new=True, hint=PASSWORD_HINT)

    def clean_password(self) -> str:
        """Refuse what is easily guessed."""
        password = str(self.cleaned_data["password"])
        check_new_password(password)
        return password
