"""Today: the session of the day, logged set by set."""

from datetime import date

from django.http import HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_safe

from clients.access import client_for
from clients.models import Client
from clients.page_or_part import SignedInRequest
from sessions.access import day_ahead, session_of
from sessions.pages_swaps import exercises_to_add
from sessions.pages_today import today_page
from sessions.shown_session import Shown


@require_safe
@never_cache
@ensure_csrf_cookie
def today(request: SignedInRequest, client_id: int | None = None) -> HttpResponse:
    """Today for the signed-in client, or for one of the coach's clients."""
    client = client_for(request.user, client_id)
    asked, day = request.GET.get("session"), request.GET.get("day")
    wanted = session_of(client, asked) if asked else None
    return _page(request, client, wanted, day_ahead(client, day) if day else None)


@require_safe
@never_cache
@ensure_csrf_cookie
def unplanned(request: SignedInRequest, client_id: int | None = None) -> HttpResponse:
    """The same page for a session that no plan holds, exercise by exercise."""
    return _page(request, client_for(request.user, client_id), Shown())


@require_safe
@never_cache
def exercises(request: SignedInRequest, client_id: int | None = None) -> JsonResponse:
    """What the client may add to a session: what equipment, joints and level allow."""
    client = client_for(request.user, client_id)
    found = exercises_to_add(client, client.local_date(timezone.now()))
    return JsonResponse({"exercises": found})


def _page(
    request: SignedInRequest, client: Client, wanted: Shown | None, day: date | None = None
) -> HttpResponse:
    urls = phone_urls(client, for_coach=request.user.is_coach)
    page = today_page(client, request.user, timezone.now(), urls, wanted, day)
    return render(request, "sessions/today/page.html", {"page": page, "urls": urls})


def phone_urls(client: Client, *, for_coach: bool) -> dict[str, str]:
    """The addresses that the phone pages of a client need, each written once."""
    names = _COACH_URLS if for_coach else _CLIENT_URLS
    args = [client.pk] if for_coach else []
    return {key: reverse(f"sessions:{name}", args=args) for key, name in names.items()}


_CLIENT_URLS = {
    "today_url": "today",
    "log_url": "my-log",
    "sync_url": "sync",
    "exercises_url": "today-exercises",
    "unplanned_url": "unplanned",
    "words_url": "words",
    "seen_url": "words-seen",
}
_COACH_URLS = {
    "today_url": "today-for",
    "log_url": "log-of",
    "sync_url": "sync-for",
    "exercises_url": "today-exercises-for",
    "unplanned_url": "unplanned-for",
    "words_url": "words-with",
}
