"""The light week beside the usual one: look, adjust, put in, take back."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe
from django_htmx.http import replace_url

from clients.access import client_of_coach
from clients.page_or_part import SignedInRequest, page_or_part
from sessions.errors import ReviewError
from sessions.light_week_services import apply_light_week
from sessions.pages_deload import DeloadPage, apply_arguments, deload_page
from sessions.queries_deload import live_light_week
from sessions.review_services import undo_decision
from sessions.views.review import today_for, week_of
from sessions.views.review_acts import client_address, say

PAGE, PART = "sessions/deload/page.html", "sessions/deload/_part.html"


@require_safe
def deload(request: SignedInRequest, client_id: int) -> HttpResponse:
    """The light week as it would be, for what the coach asks; nothing is written."""
    client = client_of_coach(request.user, client_id)
    page = deload_page(client, week_of(request), request.GET.dict(), timezone.now())
    return show(request, page)


def show(request: SignedInRequest, page: DeloadPage, *, refused: bool = False) -> HttpResponse:
    """The page, or its part with an address that leads back to the same light week."""
    wrong = refused or (page.form is not None and bool(page.form.errors))
    answer = page_or_part(request, PAGE, PART, {"page": page}, status=422 if wrong else 200)
    if request.method == "GET" and page.form is not None and not wrong:
        address = reverse("sessions:deload", args=[page.client.pk])
        return replace_url(answer, f"{address}?{page.form.as_query}")
    return answer


@require_POST
def apply_deload(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Put the light week into the client's plan, as it was previewed."""
    client = client_of_coach(request.user, client_id)
    page = deload_page(client, week_of(request), request.POST.dict(), timezone.now())
    wanted = apply_arguments(page, request.user)
    if wanted is None:
        messages.error(request, page.why_not)
        return show(request, page, refused=True)
    try:
        made = apply_light_week(**wanted)
    except ReviewError as error:
        messages.error(request, str(error))
        return show(request, page, refused=True)
    if "week" not in request.POST:
        return redirect("sessions:deload", client.pk)
    # Whoever came from the review goes on there, at the same client.
    say(request, page.review, f"{client.name}: {page.put_in_words}", [made])
    return redirect(client_address(client.pk, page.review))


@require_POST
def undo_deload(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Take the light week out again; what was trained meanwhile stays."""
    client = client_of_coach(request.user, client_id)
    today = today_for(client)
    decision = live_light_week(client, today)
    try:
        if decision is not None:
            undo_decision(decision=decision, today=today, by=request.user)
            messages.success(request, "Undone: the plan is as it was before.")
        else:
            messages.error(request, "There is no light week to take back.")
    except ReviewError as error:
        messages.error(request, str(error))
    return redirect("sessions:deload", client.pk)
