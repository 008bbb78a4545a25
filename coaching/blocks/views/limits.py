"""What a coach does about a joint limit in a plan: replace, keep by name, withdraw that."""

from datetime import date

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from clients.page_or_part import SignedInRequest, go_to, wants_part
from coaching.blocks import limit_services
from coaching.blocks.access import block_of_coach, override_of_coach
from coaching.blocks.editing.draft_services import draft_of, edit_block
from coaching.blocks.errors import BlockError
from coaching.blocks.forms import KeepForm
from coaching.blocks.models import Block
from coaching.blocks.snapshots import lines_of
from coaching.blocks.views.block import facts_of, to_week, workspace
from coaching.blocks.views.sent import number_in
from coaching.library.models import Exercise
from coaching.library.queries import exercises_of


@require_POST
def replace_exercise(request: SignedInRequest, block_id: int, exercise_id: int) -> HttpResponse:
    """Put the replacement, or nothing, in the place of an exercise in every session to come."""
    found = block_of_coach(request.user, block_id)
    exercise = _in_plan(found, exercise_id)
    today = found.client.local_date(timezone.now())
    try:
        to = replacement_sent(request)
        raw = {"act": "leave-out", "exercise": str(exercise.pk)}
        if to is not None:
            raw = {"act": "replace-exercise", "exercise": str(exercise.pk), "to": str(to.pk)}
        done = edit_block(
            block=found,
            raw=raw,
            revision=draft_of(found, today).revision,
            today=today,
            by=request.user,
        )
        messages.success(request, f"{done.edited.what}.")
        for sentence in done.edited.skipped:
            messages.warning(request, sentence)
    except BlockError as error:
        messages.error(request, str(error))
    return _after(request, found)


@require_POST
def keep_exercise(request: SignedInRequest, block_id: int, exercise_id: int) -> HttpResponse:
    """Keep an exercise in spite of a joint limit: by its full name, with the reason."""
    found = block_of_coach(request.user, block_id)
    exercise = _in_plan(found, exercise_id)
    week = number_sent(request, "week") or 1
    form = KeepForm(request.POST, auto_id=f"keep_{block_id}_{exercise_id}_%s")
    if form.is_valid():
        try:
            limit_services.override_limit(
                client=found.client,
                exercise=exercise,
                days=_days_in(found, exercise_id),
                by=request.user,
                **form.cleaned_data,
            )
            messages.success(request, f"{exercise.name} is kept; the reason is recorded.")
            return _after(request, found)
        except BlockError as error:
            form.add_error(None, str(error))
    return workspace(request, facts_of(request, found), week, refused=form)


def _days_in(found: Block, exercise_id: int) -> set[date]:
    """Today, and the days to come on which the block as it is edited holds an exercise."""
    today = found.client.local_date(timezone.now())
    lines = lines_of(draft_of(found, today).snapshot, since=today)
    days = {session["on"] for session, line in lines if line["exercise"] == exercise_id}
    return {today, *map(date.fromisoformat, days)}


def _in_plan(found: Block, exercise_id: int) -> Exercise:
    """An exercise that stands in the block as it is edited."""
    today = found.client.local_date(timezone.now())
    planned = {line["exercise"] for _, line in lines_of(draft_of(found, today).snapshot)}
    row = Exercise.objects.filter(pk__in=planned & {exercise_id}).first()
    if row is None:
        raise Http404("There is no such exercise in this block.")
    return row


def _after(request: SignedInRequest, found: Block) -> HttpResponse:
    """The week again: the workspace to HTMX, the page otherwise."""
    week = number_sent(request, "week") or 1
    if wants_part(request):
        return workspace(request, facts_of(request, found), week)
    return to_week(request, found.pk, str(week))


@require_POST
def withdraw_override(request: SignedInRequest, override_id: int) -> HttpResponse:
    """Take an override back; the exercise is asked about again."""
    override = override_of_coach(request.user, override_id)
    try:
        limit_services.withdraw_override(override=override, by=request.user)
        text = f"Withdrawn: {override.exercise.name} is asked about again."
        messages.success(request, text)
    except BlockError as error:
        messages.error(request, str(error))
    back = request.POST.get("back", "")
    if url_has_allowed_host_and_scheme(back, allowed_hosts=None):
        return go_to(request, back)
    return go_to(request, "sessions:client", override.client_id)


def replacement_sent(request: SignedInRequest) -> Exercise | None:
    """The exercise that was sent to put in, none when the other is to be left out.

    Raises BlockError when neither was sent.
    """
    if request.POST.get("to") == "nothing":
        return None
    found = exercises_of(request.user).filter(pk=number_sent(request, "to") or 0).first()
    if found is None:
        message = "Choose what to put in its place; nothing was changed."
        raise BlockError(message)
    return found


def number_sent(request: SignedInRequest, field: str) -> int | None:
    """A whole number of a form, none when there is none."""
    return number_in(request.POST.get(field, ""))
