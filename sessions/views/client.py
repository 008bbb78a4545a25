"""One client: how is this person doing."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from clients.access import client_of_coach
from clients.page_or_part import SignedInRequest
from sessions.pages_client import client_page


@require_safe
def client(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Block, course, limits and history of one client."""
    found = client_of_coach(request.user, client_id)
    page = client_page(found, found.local_date(timezone.now()))
    return render(request, "sessions/client/page.html", {"page": page})
