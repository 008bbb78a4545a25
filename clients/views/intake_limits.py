"""Joint limits: add one, end it, take the end back."""

from django.contrib import messages
from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_POST

from clients.access import client_of_coach, joint_limit_of_coach
from clients.errors import IntakeError
from clients.forms.limits import JointLimitForm
from clients.intake_services import limit_joint, reopen_joint_limit
from clients.page_or_part import SignedInRequest
from clients.services import end_joint_limit
from clients.views.intake_answers import answer, refused, saved


@require_POST
def add_joint_limit(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Write down a loading that the client avoids, regresses or watches from today."""
    client = client_of_coach(request.user, client_id)
    form = JointLimitForm(request.POST)
    if form.is_valid():
        today = client.local_date(timezone.now())
        try:
            limit_joint(client=client, since=today, **form.cleaned_data)
        except IntakeError as error:
            form.add_error("stress", str(error))
    if form.errors:
        return refused(request, client, "limits", form)
    return saved(request, client, "limits", "The joint limit holds from today.")


@require_POST
def end_limit(request: SignedInRequest, limit_id: int) -> HttpResponse:
    """The limit no longer holds; it stays in the history."""
    limit = joint_limit_of_coach(request.user, limit_id)
    end_joint_limit(limit=limit, on=limit.client.local_date(timezone.now()))
    return saved(request, limit.client, "limits", "The joint limit has ended.")


@require_POST
def reopen_limit(request: SignedInRequest, limit_id: int) -> HttpResponse:
    """Take the end of a limit back."""
    limit = joint_limit_of_coach(request.user, limit_id)
    try:
        reopen_joint_limit(limit=limit)
    except IntakeError as error:
        messages.error(request, str(error))
        return answer(request, limit.client, "limits", status=422)
    return saved(request, limit.client, "limits", "The joint limit holds again.")
