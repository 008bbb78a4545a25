"""A client's decisions: what was proposed, what the coach did, what happened after."""

from datetime import date

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from clients.access import client_of_coach
from clients.page_or_part import SignedInRequest
from sessions.pages_hindsight import decisions_page


@require_safe
def decisions(request: SignedInRequest, client_id: int) -> HttpResponse:
    """The decisions of a client, newest week first; ``before`` names a Monday to go on from."""
    client = client_of_coach(request.user, client_id)
    try:
        asked = request.GET.get("before", "")
        before = date.fromisoformat(asked) if asked else None
    except ValueError as error:
        raise Http404("There is no such day.") from error
    page = decisions_page(client, client.local_date(timezone.now()), before)
    return render(request, "sessions/decisions/page.html", {"page": page})
