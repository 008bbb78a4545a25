"""What a coach does about a joint limit in a plan: replace, keep by name, withdraw that."""

from django.contrib import messages
from django.http import HttpResponse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from clients.page_or_part import SignedInRequest, go_to
from coaching.blocks import limit_services
from coaching.blocks.access import block_of_coach, override_of_coach, planned_exercise
from coaching.blocks.errors import BlockError
from coaching.blocks.forms import KeepForm
from coaching.blocks.views.block import after, workspace
from coaching.library.models import Exercise
from coaching.library.queries import exercises_of


@require_POST
def replace_exercise(request: SignedInRequest, block_id: int, exercise_id: int) -> HttpResponse:
    """Put the replacement, or nothing, in the place of an exercise in every session to come."""
    found = block_of_coach(request.user, block_id)
    exercise = planned_exercise(found, exercise_id)
    today = found.client.local_date(timezone.now())
    try:
        to = replacement_sent(request)
        version = limit_services.put_in_place(
            block=found, exercise=exercise, to=to, today=today, by=request.user
        )
        messages.success(request, f"{version.what}.")
    except BlockError as error:
        messages.error(request, str(error))
    return after(request, found, number_sent(request, "week") or 1)


@require_POST
def keep_exercise(request: SignedInRequest, block_id: int, exercise_id: int) -> HttpResponse:
    """Keep an exercise in spite of a joint limit: by its full name, with the reason."""
    found = block_of_coach(request.user, block_id)
    exercise = planned_exercise(found, exercise_id)
    week = number_sent(request, "week") or 1
    form = KeepForm(request.POST, auto_id=f"keep_{block_id}_{exercise_id}_%s")
    if form.is_valid():
        try:
            limit_services.override_limit(
                client=found.client,
                exercise=exercise,
                on=found.client.local_date(timezone.now()),
                by=request.user,
                **form.cleaned_data,
            )
            messages.success(request, f"{exercise.name} is kept; the reason is recorded.")
            return after(request, found, week)
        except BlockError as error:
            form.add_error(None, str(error))
    return workspace(request, found, week, refused=form)


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
    sent = request.POST.get(field, "")
    return int(sent) if sent.isdecimal() and len(sent) < 10 else None
