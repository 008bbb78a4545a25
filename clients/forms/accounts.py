"""Shapes of what is typed about accounts."""

from typing import Any

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError

from clients.models import User


def email_field(**more: Any) -> forms.EmailField:
    """An e-mail address, as a phone's keyboard likes it."""
    widget = forms.EmailInput(attrs={"autocomplete": "email", "spellcheck": "false"})
    return forms.EmailField(label="E-mail", max_length=254, widget=widget, **more)


def password_field(label: str, *, autocomplete: str, help_text: str = "") -> forms.CharField:
    """A password; spaces at its ends belong to it."""
    widget = forms.PasswordInput(attrs={"autocomplete": autocomplete})
    return forms.CharField(
        label=label, max_length=200, strip=False, widget=widget, help_text=help_text
    )


class NewPassword(forms.Form):
    """A password typed twice and found strong enough for this person."""

    password = password_field(
        "Password",
        autocomplete="new-password",
        help_text="At least 10 characters; a sentence is easier to remember than a riddle.",
    )
    again = password_field("Password once more", autocomplete="new-password")

    def owner(self) -> User:
        """Whose name and address the password must not repeat."""
        data = self.cleaned_data
        return User(email=data.get("email", ""), name=data.get("name", ""))

    def clean(self) -> dict[str, Any]:
        """Refuse two different passwords, and weak ones."""
        data = super().clean() or {}
        password, again = data.get("password"), data.get("again")
        if not password or again is None:
            return data
        if password != again:
            self.add_error("again", "This differs from the first one; type the same twice.")
        try:
            validate_password(password, self.owner())
        except ValidationError as error:
            self.add_error("password", error)
        return data


class FirstCoachForm(NewPassword):
    """The account that opens a practice."""

    name = forms.CharField(
        label="Name",
        max_length=120,
        help_text="As your clients know you.",
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    email = email_field(help_text="You sign in with it. Nothing is ever sent to it.")
    field_order = ("name", "email", "password", "again")


class SignInForm(forms.Form):
    """E-mail and password."""

    email = email_field()
    password = password_field("Password", autocomplete="current-password")


class AccountForm(forms.Form):
    """Name and address of a coach."""

    name = forms.CharField(
        label="Name", max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"})
    )
    email = email_field(help_text="You sign in with it.")


class ChangePasswordForm(NewPassword):
    """A new password, allowed only to who knows the old one."""

    old = password_field("Password until now", autocomplete="current-password")
    field_order = ("old", "password", "again")

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user = user
        self.fields["password"].label = "New password"
        self.fields["again"].label = "New password once more"

    def owner(self) -> User:
        """The signed-in coach."""
        return self.user

    def clean_old(self) -> str:
        """Refuse a wrong old password."""
        old: str = self.cleaned_data["old"]
        if not self.user.check_password(old):
            message = "This is not the password until now; type it again."
            raise ValidationError(message)
        return old


class ClientAddressForm(forms.Form):
    """The address a client's account goes by."""

    email = email_field(help_text="It names the account. Nothing is ever sent to it.")
