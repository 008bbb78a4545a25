"""Coming in and going out: by password, or by the link a coach sent."""

from django.contrib.auth import authenticate, login, logout
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from clients.account_services import (
    forget_failed_sign_ins,
    is_locked_out,
    record_failed_sign_in,
)
from clients.forms.accounts import SignInForm
from clients.models import User
from clients.services import user_of_link

WRONG = "E-mail and password do not belong together. Check both and try again."
LOCKED = (
    "Too many tries failed. Wait 15 minutes and try again; "
    "clients come in by the link that the coach sent."
)


@login_not_required
@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """The first page: the review for a coach, today for a client, else the way in."""
    if not request.user.is_authenticated:
        return redirect("clients:sign-in" if User.objects.exists() else "clients:first-run")
    return redirect("sessions:review" if request.user.is_coach else "sessions:today")


@login_not_required
@never_cache
@sensitive_post_parameters("password")
@require_http_methods(["GET", "HEAD", "POST"])
def sign_in(request: HttpRequest) -> HttpResponse:
    """E-mail and password; says nothing about which of the two was wrong."""
    if request.method != "POST":
        if request.user.is_authenticated or not User.objects.exists():
            return redirect("clients:home")
        return _sign_in_page(request, SignInForm())
    form = SignInForm(request.POST)
    if not form.is_valid():
        return _sign_in_page(request, form, status=422)
    email, now = form.cleaned_data["email"], timezone.now()
    address = request.META.get("REMOTE_ADDR", "")
    if is_locked_out(email=email, address=address, now=now):
        form.add_error(None, LOCKED)
        return _sign_in_page(request, form, status=429)
    password = form.cleaned_data["password"]
    user = authenticate(request, username=email.lower(), password=password)
    if user is None:
        record_failed_sign_in(email=email, address=address, now=now)
        form.add_error(None, WRONG)
        return _sign_in_page(request, form, status=422)
    forget_failed_sign_ins(email=email, address=address)
    login(request, user)
    return redirect(_wanted(request))


def _sign_in_page(request: HttpRequest, form: SignInForm, status: int = 200) -> HttpResponse:
    context = {"form": form, "next": _wanted(request)}
    return render(request, "clients/sign_in/page.html", context, status=status)


def _wanted(request: HttpRequest) -> str:
    wanted = request.POST.get("next") or request.GET.get("next", "")
    safe = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if safe else reverse("clients:home")


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Leave; the next one at this browser has to sign in."""
    logout(request)
    return redirect("clients:sign-in")


@login_not_required
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def link(request: HttpRequest, token: str) -> HttpResponse:
    """The link that a coach sent: asks first, so that a preview of it signs nobody in."""
    owner = user_of_link(token)
    if owner is None:
        return render(request, "clients/link/page.html", {"owner": None}, status=404)
    if request.method != "POST":
        return render(request, "clients/link/page.html", {"owner": owner})
    login(request, owner)
    return redirect("clients:home")
