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
