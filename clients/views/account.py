"""The coach's own account."""

from typing import Any

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.http import HttpResponse
from django.shortcuts import redirect
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST, require_safe

from clients.access import coach_or_404
from clients.account_services import change_password as set_password
from clients.account_services import update_account
from clients.errors import AccountError
from clients.forms.accounts import AccountForm, ChangePasswordForm
from clients.page_or_part import SignedInRequest, page_or_part

NAME_PART = "clients/account/_name.html"
PASSWORD_PART = "clients/account/_password.html"  # noqa: S105 - a template's name


@require_safe
def account(request: SignedInRequest) -> HttpResponse:
    """Name, address, password and theme of the signed-in coach."""
    return _answer(request, NAME_PART)


@require_POST
def save_account(request: SignedInRequest) -> HttpResponse:
    """Change name and address."""
    coach = coach_or_404(request.user)
    form = AccountForm(request.POST)
    if form.is_valid():
        said = form.cleaned_data
        try:
            update_account(user=coach, name=said["name"], email=said["email"])
        except AccountError as error:
            form.add_error("email", str(error))
    if form.errors:
        request.user.refresh_from_db()
        return _answer(request, NAME_PART, name_form=form, status=422)
    messages.success(request, "Name and address are saved.")
    return _saved(request, NAME_PART)


@sensitive_post_parameters()
@require_POST
def change_password(request: SignedInRequest) -> HttpResponse:
    """Change the password; this browser stays signed in, all others are signed out."""
    coach = coach_or_404(request.user)
    form = ChangePasswordForm(request.POST, user=coach)
    if not form.is_valid():
        return _answer(request, PASSWORD_PART, password_form=form, status=422)
    set_password(user=coach, password=form.cleaned_data["password"])
    update_session_auth_hash(request, coach)
    messages.success(request, "The new password holds; other browsers are signed out.")
    return _saved(request, PASSWORD_PART)


def _saved(request: SignedInRequest, part: str) -> HttpResponse:
    return _answer(request, part) if request.htmx else redirect("clients:account")


def _answer(
    request: SignedInRequest, part: str, *, status: int = 200, **forms: Any
) -> HttpResponse:
    coach = coach_or_404(request.user)
    context = {
        "name_form": AccountForm(initial={"name": coach.name, "email": coach.email}),
        "password_form": ChangePasswordForm(user=coach),
        **forms,
    }
    return page_or_part(request, "clients/account/page.html", part, context, status=status)
