"""Today: the session of the day, logged set by set."""

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_safe

from clients.access import client_for
from clients.models import Client
from clients.page_or_part import SignedInRequest
from sessions.access import planned_session_of
from sessions.pages_today import today_page


@require_safe
@never_cache
@ensure_csrf_cookie
def today(request: SignedInRequest, client_id: int | None = None) -> HttpResponse:
    """Today for the signed-in client, or for one of the coach's clients."""
    client = client_for(request.user, client_id)
    asked = request.GET.get("session")
    wanted = planned_session_of(client, asked) if asked else None
    urls = phone_urls(client, for_coach=request.user.is_coach)
    page = today_page(client, request.user, timezone.now(), urls, wanted)
    return render(request, "sessions/today/page.html", {"page": page, "urls": urls})


def phone_urls(client: Client, *, for_coach: bool) -> dict[str, str]:
    """The addresses that the phone pages of a client need, each written once."""
    if for_coach:
        names = {"today_url": "today-for", "log_url": "log-of", "sync_url": "sync-for"}
        return {key: reverse(f"sessions:{name}", args=[client.pk]) for key, name in names.items()}
    names = {"today_url": "today", "log_url": "my-log", "sync_url": "sync"}
    return {key: reverse(f"sessions:{name}") for key, name in names.items()}
