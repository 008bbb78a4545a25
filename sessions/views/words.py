"""Words: what coach and client say to each other beside the sets, and what was decided."""

from datetime import UTC, date, datetime
from uuid import UUID

from django.contrib import messages
from django.forms import Form
from django.http import Http404, HttpResponse, HttpResponseBadRequest
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_POST, require_safe

from clients.access import client_for, client_of_coach
from clients.models import Client
from clients.page_or_part import SignedInRequest, wants_part
from sessions.access import private_note_of_coach, word_of_coach
from sessions.pages_words import words_page
from sessions.views.review import show_client, week_of
from sessions.views.today import phone_urls
from sessions.word_forms import PrivateNoteForm, WordForm
from sessions.word_services import (
    client_has_seen,
    coach_has_read,
    keep_private_note,
    take_back,
    write_to_client,
)

PAGES = {True: "sessions/words/page.html", False: "sessions/words/own.html"}


@require_safe
@never_cache
@ensure_csrf_cookie
def words(request: SignedInRequest, client_id: int | None = None) -> HttpResponse:
    """The thread of the signed-in client, or of one of the coach's clients."""
    return _show(request, client_for(request.user, client_id))


def _show(request: SignedInRequest, client: Client, sent: Form | None = None) -> HttpResponse:
    """The thread; with a form that was refused, as it was sent."""
    urls = phone_urls(client, for_coach=request.user.is_coach)
    page = words_page(client, request.user, timezone.now(), urls, _before(request))
    context = {
        "page": page,
        "urls": urls,
        "word": sent if isinstance(sent, WordForm) else WordForm(),
        "private": sent if isinstance(sent, PrivateNoteForm) else PrivateNoteForm(),
    }
    status = 422 if sent else 200
    return render(request, PAGES[request.user.is_coach], context, status=status)


def _before(request: SignedInRequest) -> date | None:
    asked = request.GET.get("before", "")
    try:
        return date.fromisoformat(asked) if asked else None
    except ValueError as error:
        raise Http404("There is no such day.") from error


@require_POST
def words_seen(request: SignedInRequest) -> HttpResponse:
    """The coach's words, up to a moment, were on the client's screen."""
    client = client_for(request.user, None)
    week = request.POST.get("week", "")
    try:
        on = date.fromisoformat(week) if week else None
        client_has_seen(client=client, until=moment_sent(request), week=on)
    except (ValueError, OverflowError):
        return HttpResponseBadRequest("Until when was it seen?")
    return HttpResponse(status=204)


def moment_sent(request: SignedInRequest) -> datetime:
    """Up to when a page showed words. Raises ValueError or OverflowError when it is no moment."""
    return datetime.fromisoformat(request.POST.get("until", "")).astimezone(UTC)


@require_POST
def words_read(request: SignedInRequest, client_id: int) -> HttpResponse:
    """The coach has read what the client wrote, up to a moment."""
    client = client_of_coach(request.user, client_id)
    try:
        coach_has_read(client=client, until=moment_sent(request))
    except (ValueError, OverflowError):
        return HttpResponseBadRequest("Until when was it read?")
    if wants_part(request):
        return show_client(request, client, week_of(request))
    return redirect("sessions:words-with", client.pk)


@require_POST
def send_word(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Write to the client beside the note of a week."""
    client = client_of_coach(request.user, client_id)
    form = WordForm(request.POST)
    if not form.is_valid():
        return _show(request, client, form)
    write_to_client(client=client, text=form.cleaned_data["text"], by=request.user)
    messages.success(request, f"Sent: {client.name} sees it on Today.")
    return redirect("sessions:words-with", client.pk)


@require_POST
def add_private_note(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Keep a note that only the coach sees."""
    client = client_of_coach(request.user, client_id)
    form = PrivateNoteForm(request.POST)
    if not form.is_valid():
        return _show(request, client, form)
    keep_private_note(client=client, text=form.cleaned_data["text"], by=request.user)
    messages.success(request, "Kept for you only.")
    return redirect("sessions:words-with", client.pk)


@require_POST
def take_back_word(request: SignedInRequest, uid: UUID) -> HttpResponse:
    """Take a word to a client back, or put it back."""
    word = word_of_coach(request.user, uid)
    take_back(row=word, put_back="put_back" in request.POST)
    return redirect("sessions:words-with", word.client_id)


@require_POST
def take_back_private_note(request: SignedInRequest, note_id: int) -> HttpResponse:
    """Take a private note back, or put it back."""
    note = private_note_of_coach(request.user, note_id)
    take_back(row=note, put_back="put_back" in request.POST)
    return redirect("sessions:words-with", note.client_id)
