"""What a coach chooses about the tool: how watchful it is."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.text import capfirst
from django.views.decorators.http import require_POST, require_safe

from clients.access import coach_or_404
from clients.account_services import choose_watchfulness
from clients.forms.settings import WatchfulnessForm
from clients.page_or_part import INSTEAD, SignedInRequest, page_or_part
from clients.pages_settings import settings_page

PART = "clients/settings/_watchfulness.html"


@require_safe
def settings(request: SignedInRequest) -> HttpResponse:
    """How watchful the review is about overreaching, and what each choice finds."""
    return _answer(request, WatchfulnessForm())


@require_POST
def save_settings(request: SignedInRequest) -> HttpResponse:
    """Keep the choice; the next review reads with it."""
    coach = coach_or_404(request.user)
    form = WatchfulnessForm(request.POST)
    if not form.is_valid():
        return _answer(request, form, status=422)
    choose_watchfulness(coach=coach, false_alarms_a_year=form.cleaned_data["false_alarms_a_year"])
    words = capfirst(coach.watchfulness.words)
    messages.success(request, f"Saved. {words}, from the next review on.", extra_tags=INSTEAD)
    return _answer(request, WatchfulnessForm()) if request.htmx else redirect("clients:settings")


def _answer(request: SignedInRequest, form: WatchfulnessForm, *, status: int = 200) -> HttpResponse:
    page = settings_page(coach_or_404(request.user), form)
    return page_or_part(request, "clients/settings/page.html", PART, {"page": page}, status=status)
