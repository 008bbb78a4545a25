"""The first account of a practice."""

from pathlib import Path

from django.conf import settings
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from clients.access import may_open_practice
from clients.account_services import create_first_coach
from clients.errors import AccountError
from clients.forms.accounts import FirstCoachForm
from clients.models import User


@login_not_required
@never_cache
@sensitive_post_parameters("password", "again")
@require_http_methods(["GET", "HEAD", "POST"])
def first_run(request: HttpRequest, token: str = "") -> HttpResponse:
    """Make the coach's account while there is none, and go on to the first client."""
    if User.objects.exists():
        return redirect("clients:home")
    if not may_open_practice(request, token):
        return render(request, "clients/first_run/closed.html", status=403)
    form = FirstCoachForm(request.POST if request.method == "POST" else None)
    if form.is_valid() and (coach := _first_coach(form)):
        Path(settings.SETUP_TOKEN_FILE).unlink(missing_ok=True)
        login(request, coach)
        return redirect("clients:add-client")
    status = 422 if form.is_bound else 200
    return render(request, "clients/first_run/page.html", {"form": form}, status=status)


def _first_coach(form: FirstCoachForm) -> User | None:
    said = form.cleaned_data
    try:
        return create_first_coach(email=said["email"], name=said["name"], password=said["password"])
    except AccountError as error:
        form.add_error(None, str(error))
        return None
