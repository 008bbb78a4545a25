"""What a coach does in the weekly review: accept, hold, close, reopen, take back."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_POST

from clients.access import client_of_coach, coach_or_404
from clients.models import Client
from clients.page_or_part import SignedInRequest, page_or_part, wants_part
from sessions.access import decisions_of_coach
from sessions.decided import decisions_of, is_open, kept_of
from sessions.errors import ReviewError
from sessions.exercise_choices import choices_of, coming_days
from sessions.models import Decision
from sessions.next_targets import Proposal
from sessions.pages_decisions import light_weeks_words
from sessions.pages_panel import panel_of
from sessions.pages_review import ReviewWeek, Roster, read_roster, review_list, seal_of
from sessions.review_forms import NotesForm, TargetsError, chosen_proposals, day_sent
from sessions.review_services import (
    accept_proposals,
    accept_routine,
    keep_targets,
    leave_and_close,
    mark_reviewed,
    reopen_review,
    review_of,
    undo_decision,
)
from sessions.views.review import (
    DESK,
    PAGE,
    PANEL,
    desk_context,
    panel_context,
    reading_of,
    remember_opened,
    show_client,
    today_for,
    week_of,
)
from sessions.week_reading import WeekReading


@require_POST
def accept_targets(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Put the ticked next targets, as sent, into the client's coming sessions."""
    client, week = client_of_coach(request.user, client_id), week_of(request)
    reading, today = reading_of(client, week), today_for(client)
    try:
        kept = kept_of(decisions_of(client, week.starts_on))
        chosen = chosen_proposals(request.POST, choices_of(reading), kept)
        since = day_sent(request.POST, dict(coming_days(reading, today)))
        made = accept_proposals(
            reading=reading, proposals=chosen, today=today, since=since, by=request.user
        )
    except TargetsError as error:
        return refuse_targets(request, client, week, error.errors)
    except ReviewError as error:
        messages.error(request, str(error))
        return refuse_targets(request, client, week, {})
    if made:
        text = f"{client.name}: {counted(made, since or first_day(reading))}."
        say(request, week, text, made)
    else:
        messages.warning(request, "Nothing was ticked, so nothing changed.")
    return to_client(request, client, week)


def refuse_targets(
    request: SignedInRequest, client: Client, week: ReviewWeek, errors: dict[str, str]
) -> HttpResponse:
    """The panel again with the numbers as sent, and what is wrong beside each."""
    sent, reading = request.POST, reading_of(client, week)
    ticked = sent.getlist("take")
    context = panel_context(request, reading, week) | {"since": sent.get("since", "")}
    panel = panel_of(reading, week)
    rows, others = (
        tuple(
            row.as_sent(sent, chosen=row.key in ticked, error=errors.get(row.key, ""))
            for row in some
        )
        for some in (panel.rows, panel.others)
    )
    context["panel"] = replace(panel, rows=rows, others=others)
    shown = {row.key for row in (*rows, *others)}
    for text in dict.fromkeys(said for key, said in errors.items() if key not in shown):
        messages.error(request, text)
    if wants_part(request):
        return render(request, PANEL, context, status=422)
    roster = read_roster(client.coach, week)
    whole = desk_context(request, roster, client.pk) | context
    return render(request, PAGE, whole, status=422)


def first_day(reading: WeekReading) -> date | None:
    """The day of the next session that a decision reaches."""
    days = coming_days(reading, today_for(reading.client))
    return days[0][0] if days else None


def counted(made: Sequence[Decision], since: date | None = None) -> str:
    """How many exercises change from when on, and how many stay; targets, where days have their own."""
    changed = sum(one.version_id is not None for one in made)
    kept = len(made) - changed
    what = "next target" if any(one.course for one in made) else "exercise"
    exercises = f"{what} changes" if changed == 1 else f"{what}s change"
    on = f"{since:%a} {since.day} {since:%b}" if since else "the next session"
    light = light_weeks_words(*(one.proposal for one in made))
    too = f" and {light}" if light else ""
    return f"{changed} {exercises} from {on} on{too}, {kept} {'stays' if kept == 1 else 'stay'}"


def say(
    request: SignedInRequest,
    week: ReviewWeek,
    text: str,
    made: Sequence[Decision],
    *,
    closed: Sequence[int] = (),
) -> None:
    """Tell what was done, with the way back; ``closed`` are the clients whose week was closed."""
    one_each = {(one.review_id, one.at): one.pk for one in made}
    context = {"text": text, "week": week, "decisions": list(one_each.values()), "closed": closed}
    html = render_to_string("sessions/review/_done_message.html", context, request)
    messages.success(request, mark_safe(html))  # noqa: S308 - made by the template above


def to_client(request: SignedInRequest, client: Client, week: ReviewWeek) -> HttpResponse:
    """The client's panel again, by a redirect after a plain post."""
    if wants_part(request):
        return show_client(request, client, week)
    return redirect(client_address(client.pk, week))


def client_address(client_id: int | None, week: ReviewWeek) -> str:
    """The address of a client's week, or of the list when there is no client left."""
    page = reverse("sessions:review")
    if client_id is not None:
        page = reverse("sessions:review-client", args=[client_id])
    return f"{page}?week={week.starts_on.isoformat()}"


@require_POST
def ask_client(request: SignedInRequest, client_id: int) -> HttpResponse:
    """The panel again with the question in the note, beside what is typed there."""
    client, week = client_of_coach(request.user, client_id), week_of(request)
    return to_client(request, client, week)


@require_POST
def hold_week(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Keep every target as it is for another week, as a decision."""
    client, week = client_of_coach(request.user, client_id), week_of(request)
    reading = reading_of(client, week)
    made = keep_targets(reading=reading, proposals=open_proposals(reading), by=request.user)
    say(request, week, f"{client.name}: every target stays as it is.", made)
    return to_client(request, client, week)


@require_POST
def leave_week(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Leave what is proposed as it is, kept as a decision, and go on with the next client."""
    client, week = client_of_coach(request.user, client_id), week_of(request)
    form = NotesForm(request.POST)
    if not form.is_valid():
        return refuse_notes(request, client, week, form)
    reading, roster = reading_of(client, week), read_roster(client.coach, week)
    following = review_list(roster).after(client.pk)
    open_ = open_proposals(reading)
    made = leave_and_close(reading=reading, proposals=open_, by=request.user, **form.cleaned_data)
    say(request, week, f"{client.name} is left as it is and reviewed.", made, closed=[client.pk])
    return to_next(request, week, following, roster.with_review(made[0].review))


def open_proposals(reading: WeekReading) -> list[Proposal]:
    """The proposals of a client that nothing was decided about."""
    kept = kept_of(decisions_of(reading.client, reading.week_starts_on))
    return [p for p in reading.proposals if is_open(p, kept)]


@require_POST
def close_week(request: SignedInRequest, client_id: int) -> HttpResponse:
    """The week is reviewed; keep the notes and go on with the next client."""
    client, week = client_of_coach(request.user, client_id), week_of(request)
    form = NotesForm(request.POST)
    if not form.is_valid():
        return refuse_notes(request, client, week, form)
    roster = read_roster(client.coach, week)
    following = review_list(roster).after(client.pk)
    review = mark_reviewed(
        client=client,
        week_starts_on=week.starts_on,
        by=request.user,
        # Whoever was archived in another window is on no roster.
        reading=roster.reading(client) or reading_of(client, week),
        **form.cleaned_data,
    )
    messages.success(request, f"{client.name} is reviewed.")
    return to_next(request, week, following, roster.with_review(review))


def refuse_notes(
    request: SignedInRequest, client: Client, week: ReviewWeek, form: NotesForm
) -> HttpResponse:
    """The list and the panel again with the notes as they were sent."""
    context = desk_context(request, read_roster(client.coach, week), client.pk)
    return page_or_part(request, PAGE, DESK, context | {"form": form}, status=422)


def to_next(
    request: SignedInRequest, week: ReviewWeek, client_id: int | None, roster: Roster | None = None
) -> HttpResponse:
    """The list with the next client opened; the address follows."""
    address = client_address(client_id, week)
    remember_opened(request, client_id, week)
    if not wants_part(request):
        return redirect(address)
    roster = roster or read_roster(request.user, week)
    answer = render(request, DESK, desk_context(request, roster, client_id))
    answer.headers["HX-Push-Url"] = address
    return answer


@require_POST
def reopen_week(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Put a reviewed week back on the list."""
    client, week = client_of_coach(request.user, client_id), week_of(request)
    reopen_review(review=review_of(client, week.starts_on))
    messages.success(request, f"{client.name} is back on the list.")
    return to_next(request, week, client.pk)


@require_POST
def accept_next_targets(request: SignedInRequest) -> HttpResponse:
    """Accept the routine next targets of the ticked clients, exactly as they were shown."""
    coach, week = coach_or_404(request.user), week_of(request)
    roster = read_roster(coach, week)
    seen = set(request.POST.getlist("client"))
    accepted = [
        (reading, roster.open_proposals(reading))
        for reading in roster.routine
        if f"{reading.client.pk}:{seal_of(roster.open_proposals(reading))}" in seen
    ]
    made = accept_routine(accepted=accepted, now=timezone.now(), by=coach)
    people = "1 client" if len(accepted) == 1 else f"{len(accepted)} clients"
    if accepted:
        closed = [reading.client.pk for reading, _ in accepted]
        say(request, week, f"{people} reviewed: {counted(made)}.", made, closed=closed)
    if len(accepted) < len(seen):
        left = len(seen) - len(accepted)
        messages.warning(request, f"{left} changed since you looked and were left; look again.")
    return to_next(request, week, None)


@require_POST
def undo_decisions(request: SignedInRequest) -> HttpResponse:
    """Take decisions back and reopen the weeks closed with them; what was trained meanwhile stays."""
    decisions = decisions_of_coach(request.user, request.POST.getlist("decision"))
    week, closed = week_of(request), request.POST.getlist("closed")
    refused = {one.review.client_id for one in decisions if not undone(request, one)}
    back = [client_of_coach(request.user, int(pk)) for pk in closed if pk.isdecimal()]
    for client in back:
        if client.pk not in refused:
            reopen_review(review=review_of(client, week.starts_on))
    if not refused:
        messages.success(request, "Undone: the plan is as it was before.")
    if closed or len(decisions) != 1:
        return to_next(request, week, None)
    return to_next(request, week, decisions[0].review.client_id)


def undone(request: SignedInRequest, decision: Decision) -> bool:
    """Take one decision back, or say why it stands; the others do not hang on it."""
    client = decision.review.client
    try:
        undo_decision(decision=decision, today=today_for(client), by=request.user)
    except ReviewError as error:
        messages.error(request, f"{client.name}: {error}")
        return False
    return True
