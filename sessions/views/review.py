"""The weekly review: whose week needs the coach, why, and what is proposed."""

from datetime import date

from django.http import Http404, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from clients.access import client_of_coach, coach_or_404
from clients.models import Client
from clients.page_or_part import SignedInRequest, page_or_part, wants_part
from sessions.pages_panel import Panel, panel_of
from sessions.pages_review import (
    ReviewList,
    ReviewWeek,
    Roster,
    changes_of_roster,
    read_roster,
    review_list,
    review_week,
)
from sessions.replay_reading import read_reviewed_week
from sessions.review_forms import NotesForm
from sessions.week_reading import WeekReading

PAGE, DESK = "sessions/review/page.html", "sessions/review/_desk.html"
OPENED = "review_opened"
"""In the browser session: the day, the Monday and the client last opened in the review."""
PANEL, PREVIEW = "sessions/review/_panel.html", "sessions/review/_next_targets.html"


def week_of(request: SignedInRequest) -> ReviewWeek:
    """The week that the address or the form names; 404 when it cannot be reviewed."""
    asked = request.POST.get("week") or request.GET.get("week", "")
    try:
        return review_week(asked, timezone.localdate())
    except (ValueError, OverflowError) as error:
        raise Http404("There is no such week to review.") from error


@require_safe
def review(request: SignedInRequest) -> HttpResponse:
    """The coach's home: the list of the week, with the client opened who was open before."""
    coach, week = coach_or_404(request.user), week_to_open(request)
    remember_opened(request, None, week)
    roster = read_roster(coach, week)
    return page_or_part(request, PAGE, DESK, desk_context(request, roster))


def desk_context(
    request: SignedInRequest, roster: Roster, client_id: int | None = None
) -> dict[str, object]:
    """The list, and the panel of the client asked for or of the first in it."""
    listed = review_list(roster)
    chosen = client_id if client_id is not None else first_opened(request, listed)
    client = next((r.client for r in roster.readings if r.client.pk == chosen), None)
    panel: dict[str, object] = {"panel": None}
    if client is not None:
        panel = panel_context(request, reading_of(client, roster.week), roster.week)
    return {"list": listed, "week": roster.week, "chosen": chosen, "changes": None, **panel}


def week_to_open(request: SignedInRequest) -> ReviewWeek:
    """The week that the address names, else the one the coach was at today, else the newest."""
    day, monday, _ = request.session.get(OPENED, ("", "", None))
    today = timezone.localdate()
    if "week" in request.GET or day != today.isoformat():
        return week_of(request)
    return review_week(monday, today)


def first_opened(request: SignedInRequest, listed: ReviewList) -> int | None:
    """Whom the coach had open before, while that one is to be reviewed; else who comes first."""
    order = [i.client_id for i in (*listed.in_order, *listed.reviewed)]
    _, monday, opened = request.session.get(OPENED, ("", "", None))
    if monday == listed.week.starts_on_text:
        order = [i.client_id for i in listed.in_order if i.client_id == opened] or order
    return next(iter(order), None)


def remember_opened(request: SignedInRequest, client_id: int | None, week: ReviewWeek) -> None:
    """Keep the week and whom the coach has open, so that coming back finds the place."""
    before = request.session.get(OPENED, ["", "", None])
    if client_id is None and before[1] == week.starts_on_text:
        client_id = before[2]
    opened = [timezone.localdate().isoformat(), week.starts_on_text, client_id]
    if before != opened:
        request.session[OPENED] = opened


def panel_context(
    request: SignedInRequest, reading: WeekReading, week: ReviewWeek
) -> dict[str, object]:
    """The panel with its notes; a question is written in when the coach wants to ask."""
    panel = panel_of(reading, week)
    asks = "ask" in request.GET
    return {
        "panel": panel,
        "week": week,
        "asks": asks,
        "form": notes_form(request, panel, asks=asks),
    }


def notes_form(request: SignedInRequest, panel: Panel, *, asks: bool) -> NotesForm:
    """The notes as typed beside an act on this client, else as they are kept.

    The question is added when it is not there yet.
    """
    kept = panel.review.note_to_client if panel.review else ""
    private = panel.review.private_note if panel.review else ""
    # After an act the next client may be shown: what was typed is only of whom it was typed for.
    if request.POST.get("notes_of") == str(panel.client.pk):
        kept = request.POST.get("note_to_client", kept)
        private = request.POST.get("private_note", private)
    if asks and panel.question not in kept:
        kept = f"{kept}\n{panel.question}".strip()
    return NotesForm(initial={"note_to_client": kept, "private_note": private})


@require_safe
def review_client(request: SignedInRequest, client_id: int) -> HttpResponse:
    """One client's week: the panel to HTMX, else the page with the client opened."""
    client, week = client_of_coach(request.user, client_id), week_of(request)
    remember_opened(request, client.pk, week)
    return show_client(request, client, week)


def show_client(
    request: SignedInRequest, client: Client, week: ReviewWeek, status: int = 200
) -> HttpResponse:
    """The panel of a client to HTMX, else the whole page."""
    if wants_part(request):
        context = panel_context(request, reading_of(client, week), week)
    else:
        context = desk_context(request, read_roster(client.coach, week), client.pk)
    return page_or_part(request, PAGE, PANEL, context, status=status)


def reading_of(client: Client, week: ReviewWeek) -> WeekReading:
    """One client's reading of a week."""
    return read_reviewed_week([client], week.starts_on, today_for(client))[0]


def today_for(client: Client) -> date:
    """The date where the client lives, so that no session of today is missed or moved."""
    return client.local_date(timezone.now())


@require_safe
def next_targets(request: SignedInRequest) -> HttpResponse:
    """What accepting the routine next targets would change, client by client."""
    roster = read_roster(coach_or_404(request.user), week_of(request))
    context = {
        "list": review_list(roster),
        "week": roster.week,
        "chosen": None,
        "panel": None,
        "changes": changes_of_roster(roster),
    }
    return page_or_part(request, PAGE, PREVIEW, context)
