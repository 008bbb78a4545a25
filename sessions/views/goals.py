"""Movement goals of a client: set, change, drop, call reached, and the way back from each."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_POST

from clients.access import client_of_coach
from clients.models import Client
from clients.page_or_part import INSTEAD, SignedInRequest, wants_part
from coaching.library.errors import GoalError
from coaching.library.goal_services import (
    DroppedGoal,
    change_goal,
    drop_goal,
    mark_reached,
    reopen_goal,
    restore_goal,
    set_goal,
)
from coaching.library.models import Exercise, MovementGoal
from sessions.access import goal_of_coach
from sessions.forms_goals import ChangeGoalForm, DroppedGoalForm, GoalForm, ReachedForm
from sessions.pages_client import client_page
from sessions.pages_goals import goals_section
from sessions.queries_goals import exercises_around

PAGE, PART = "sessions/client/page.html", "sessions/client/_goals.html"


def answer(
    request: SignedInRequest, client: Client, status: int = 200, **forms: Any
) -> HttpResponse:
    """The goals as they stand: the part for HTMX, else the page, by a redirect after a success."""
    if status == 200 and not wants_part(request):
        added: MovementGoal | None = forms.get("added")
        there = f"goal-{added.pk}-title" if added else "client-goals"
        return redirect(f"{reverse('sessions:client', args=[client.pk])}#{there}")
    today = client.local_date(timezone.now())
    goals = goals_section(client, today, **forms)
    if wants_part(request):
        return render(request, PART, {"goals": goals}, status=status)
    page = client_page(client, today, goals)
    return render(request, PAGE, {"page": page}, status=status)


def say(request: SignedInRequest, text: str, back: str, fields: dict[str, Any]) -> None:
    """Tell what was done, with the way back: an address and what it needs."""
    context = {"text": text, "back": back, "fields": fields}
    html = render_to_string("sessions/client/_goal_message.html", context, request)
    # An older message could offer to undo what is undone already.
    messages.success(request, mark_safe(html), INSTEAD)  # noqa: S308 - made by the template above


def way_back(name: str, goal: MovementGoal) -> str:
    """The address of an act on a goal."""
    return reverse(f"sessions:{name}", args=[goal.pk])


@require_POST
def set_a_goal(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Write down a rung that the client works toward from today."""
    client = client_of_coach(request.user, client_id)
    exercises = exercises_around(client, ())
    form = GoalForm(request.POST, exercises=exercises)
    if form.is_valid():
        row = next(one for one in exercises if one.pk == form.cleaned_data["exercise"])
        reps, today = form.cleaned_data["reps"], client.local_date(timezone.now())
        try:
            goal = set_goal(client=client, exercise=row, reps=reps, on=today)
        except GoalError as error:
            form.add_error("exercise", str(error))
        else:
            say(request, f"{row.name} is a goal now.", way_back("drop-goal", goal), {})
            return answer(request, client, added=goal)
    return answer(request, client, 422, form=form)


@require_POST
def change_a_goal(request: SignedInRequest, goal_id: int) -> HttpResponse:
    """Ask another number of a goal."""
    goal = goal_of_coach(request.user, goal_id)
    form, before = ChangeGoalForm(request.POST, goal=goal), goal.reps
    if form.is_valid():
        try:
            change_goal(goal=goal, reps=form.cleaned_data["reps"])
        except GoalError as error:
            form.add_error("reps", str(error))
        else:
            text = f"{goal.exercise.name} is changed."
            say(request, text, way_back("change-goal", goal), {"reps": before})
            return answer(request, goal.client)
    return answer(request, goal.client, 422, changed=(goal.pk, form))


@require_POST
def drop_a_goal(request: SignedInRequest, goal_id: int) -> HttpResponse:
    """The client no longer works toward it."""
    goal = goal_of_coach(request.user, goal_id)
    dropped = drop_goal(goal=goal)
    fields = {
        "exercise": dropped.exercise.pk,
        "reps": dropped.reps,
        "set_on": dropped.set_on.isoformat(),
        "reached_on": dropped.reached_on.isoformat() if dropped.reached_on else "",
    }
    back = reverse("sessions:put-back-goal", args=[goal.client_id])
    say(request, f"{dropped.exercise.name} is dropped.", back, fields)
    return answer(request, goal.client)


@require_POST
def put_back_goal(request: SignedInRequest, client_id: int) -> HttpResponse:
    """Undo that a goal was dropped."""
    client = client_of_coach(request.user, client_id)
    form = DroppedGoalForm(request.POST)
    if not form.is_valid():
        messages.error(request, "The goal could not be put back; add it again.")
        return answer(request, client, 422)
    data = form.cleaned_data
    exercise = Exercise.objects.of_coach(client.coach).filter(pk=data.pop("exercise")).first()
    if exercise is None:
        raise Http404("There is no such exercise.")
    try:
        restore_goal(client=client, dropped=DroppedGoal(exercise=exercise, **data))
    except GoalError as error:
        messages.error(request, str(error))
        return answer(request, client, 422)
    messages.success(request, f"{exercise.name} is a goal again.", INSTEAD)
    return answer(request, client)


@require_POST
def goal_reached(request: SignedInRequest, goal_id: int) -> HttpResponse:
    """The coach calls a goal reached: on the day the log proposes, or today."""
    goal = goal_of_coach(request.user, goal_id)
    form, today = ReachedForm(request.POST), goal.client.local_date(timezone.now())
    said = form.cleaned_data["on"] if form.is_valid() else None
    mark_reached(goal=goal, on=min(said or today, today))
    say(request, f"{goal.exercise.name} is reached.", way_back("reopen-goal", goal), {})
    return answer(request, goal.client)


@require_POST
def reopen_a_goal(request: SignedInRequest, goal_id: int) -> HttpResponse:
    """The goal is worked toward again."""
    goal = goal_of_coach(request.user, goal_id)
    on = goal.reached_on
    reopen_goal(goal=goal)
    fields = {"on": on.isoformat() if on else ""}
    text = f"{goal.exercise.name} is worked toward again."
    say(request, text, way_back("goal-reached", goal), fields)
    return answer(request, goal.client)
