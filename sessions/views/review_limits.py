"""What a coach does in the review about a joint limit in the plan: replace, or keep by name."""

from dataclasses import replace

from django.contrib import messages
from django.http import HttpResponse
from django.views.decorators.http import require_POST

from clients.models import Client
from clients.page_or_part import SignedInRequest, page_or_part, wants_part
from coaching.blocks.access import block_of_coach, planned_exercise
from coaching.blocks.errors import BlockError
from coaching.blocks.forms import KeepForm
from coaching.blocks.limit_queries import planned_days
from coaching.blocks.limit_services import override_limit
from coaching.blocks.pages_limits import keep_forms
from coaching.blocks.views.limits import replacement_sent
from sessions.errors import ReviewError
from sessions.pages_panel import panel_of
from sessions.pages_review import ReviewWeek, read_roster
from sessions.review_services import replace_limited
from sessions.views.review import (
    PAGE,
    PANEL,
    desk_context,
    panel_context,
    reading_of,
    today_for,
    week_of,
)
from sessions.views.review_acts import say, to_client


@require_POST
def replace_planned(request: SignedInRequest, block_id: int, exercise_id: int) -> HttpResponse:
    """Put the replacement, or nothing, in the place of an exercise in every session to come."""
    block, week = block_of_coach(request.user, block_id), week_of(request)
    exercise = planned_exercise(block, exercise_id)
    try:
        made = replace_limited(
            block=block,
            exercise=exercise,
            to=replacement_sent(request),
            week_starts_on=week.starts_on,
            today=today_for(block.client),
            by=request.user,
        )
        told = " ".join([f"{made.proposal['what']}.", *made.proposal["locked"]])
        say(request, week, f"{block.client.name}: {told}", [made])
    except (BlockError, ReviewError) as error:
        messages.error(request, str(error))
    return to_client(request, block.client, week)


@require_POST
def keep_planned(request: SignedInRequest, block_id: int, exercise_id: int) -> HttpResponse:
    """Keep an exercise in spite of a joint limit: by its full name, with the reason."""
    block, week = block_of_coach(request.user, block_id), week_of(request)
    exercise, client = planned_exercise(block, exercise_id), block.client
    today = today_for(client)
    form = KeepForm(request.POST, auto_id=f"keep_{block_id}_{exercise_id}_%s")
    if form.is_valid():
        try:
            override_limit(
                client=client,
                exercise=exercise,
                days={today, *planned_days(block, exercise_id, since=today)},
                by=request.user,
                **form.cleaned_data,
            )
            messages.success(request, f"{exercise.name} is kept; the reason is recorded.")
            return to_client(request, client, week)
        except BlockError as error:
            form.add_error(None, str(error))
    return _refused(request, client, week, form)


def _refused(
    request: SignedInRequest, client: Client, week: ReviewWeek, form: KeepForm
) -> HttpResponse:
    """The panel again with what was typed, and what is wrong with it."""
    reading = reading_of(client, week)
    context = panel_context(request, reading, week)
    panel = panel_of(reading, week)
    limited = keep_forms([one for one, _ in panel.limited], form)
    context["panel"] = replace(panel, limited=tuple(limited))
    if not wants_part(request):
        context = desk_context(request, read_roster(client.coach, week), client.pk) | context
    return page_or_part(request, PAGE, PANEL, context, status=422)
