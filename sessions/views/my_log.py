"""My log: what was done, session by session, exercise by exercise, and body weight."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from clients.access import client_for
from clients.page_or_part import SignedInRequest
from sessions.access import exercise_in_log_of
from sessions.pages_exercise_log import exercise_page
from sessions.pages_my_log import my_log_page
from sessions.views.today import phone_urls


@require_safe
@never_cache
def my_log(request: SignedInRequest, client_id: int | None = None) -> HttpResponse:
    """The log of the signed-in client, or of one of the coach's clients."""
    client = client_for(request.user, client_id)
    urls = phone_urls(client, for_coach=request.user.is_coach)
    number = request.GET.get("page", "1")
    page = my_log_page(client, request.user, timezone.now(), urls, number)
    return render(request, "sessions/my_log/page.html", {"page": page, "urls": urls})


@require_safe
@never_cache
def my_log_exercise(
    request: SignedInRequest, exercise_id: int, client_id: int | None = None
) -> HttpResponse:
    """How one exercise went, time by time."""
    client = client_for(request.user, client_id)
    exercise = exercise_in_log_of(client, exercise_id)
    urls = phone_urls(client, for_coach=request.user.is_coach)
    page = exercise_page(client, request.user, exercise, timezone.now(), urls)
    return render(request, "sessions/my_log/exercise.html", {"page": page, "urls": urls})
