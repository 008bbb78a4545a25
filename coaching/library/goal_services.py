"""Writes of movement goals; each one can be undone by another."""

from dataclasses import dataclass
from datetime import date

from django.db import IntegrityError, transaction

from clients.models import Client
from clients.queries import joint_limits_of
from coaching.library.errors import GoalError
from coaching.library.models import Exercise, MovementGoal
from coaching.library.queries import exercise_value
from coaching.rules.joint_limits import blocked_by
from coaching.rules.plan import Measure

MOST_REPS = 100
MOST_SECONDS = 600


def most_of(exercise: Exercise) -> int:
    """The most repetitions, or seconds of a hold, that a goal asks in one set."""
    return MOST_SECONDS if exercise.measure == Measure.SECONDS else MOST_REPS


def amount_remedy(exercise: Exercise) -> str:
    """What to give instead of a number that is no goal of an exercise."""
    unit = "seconds" if exercise.measure == Measure.SECONDS else "reps"
    return f"Give 1 to {most_of(exercise)} {unit} for {exercise.name}."


@dataclass(frozen=True)
class DroppedGoal:
    """A goal as it was before it was dropped: enough to put it back."""

    exercise: Exercise
    reps: int
    set_on: date
    reached_on: date | None


@transaction.atomic
def set_goal(*, client: Client, exercise: Exercise, reps: int, on: date) -> MovementGoal:
    """Write down what a client works toward: so many repetitions, or seconds of a hold.

    Raises:
        GoalError: The exercise is another coach's, retired, already a goal, or loads what the
            client must avoid; or the number is none.
    """
    _refuse_foreign(client, exercise)
    if exercise.retired_at is not None:
        message = f"{exercise.name} is retired. Choose an exercise that is in use."
        raise GoalError(message)
    _refuse_amount(exercise, reps)
    blocking = blocked_by(exercise_value(exercise), joint_limits_of(client, on))
    if blocking:
        avoided = " and ".join(str(limit) for limit in blocking)
        message = (
            f"{exercise.name} loads what {client.name} must avoid: {avoided}. "
            "Choose a rung that spares it, or end the joint limit in the intake first."
        )
        raise GoalError(message)
    return _create(client, DroppedGoal(exercise, reps, on, None))


@transaction.atomic
def change_goal(*, goal: MovementGoal, reps: int) -> MovementGoal:
    """Ask another number of the same exercise; changing it back undoes it.

    Raises:
        GoalError: The number is none.
    """
    _refuse_amount(goal.exercise, reps)
    goal.reps = reps
    goal.save(update_fields=["reps"])
    return goal


@transaction.atomic
def drop_goal(*, goal: MovementGoal) -> DroppedGoal:
    """The client no longer works toward it; what is returned puts it back."""
    dropped = DroppedGoal(goal.exercise, goal.reps, goal.set_on, goal.reached_on)
    goal.delete()
    return dropped


@transaction.atomic
def restore_goal(*, client: Client, dropped: DroppedGoal) -> MovementGoal:
    """Put a dropped goal back as it was.

    A joint limit or a retirement since then does not stop it: an undo leads back to where one was.

    Raises:
        GoalError: There is such a goal again, or the exercise is another coach's.
    """
    _refuse_foreign(client, dropped.exercise)
    _refuse_amount(dropped.exercise, dropped.reps)
    return _create(client, dropped)


@transaction.atomic
def mark_reached(*, goal: MovementGoal, on: date) -> MovementGoal:
    """The coach calls a goal reached on that day."""
    goal.reached_on = on
    goal.save(update_fields=["reached_on"])
    return goal


@transaction.atomic
def reopen_goal(*, goal: MovementGoal) -> MovementGoal:
    """The goal is worked toward again: undoes that it was called reached."""
    goal.reached_on = None
    goal.save(update_fields=["reached_on"])
    return goal


def _create(client: Client, wanted: DroppedGoal) -> MovementGoal:
    try:
        with transaction.atomic():
            return MovementGoal.objects.create(
                client=client,
                exercise=wanted.exercise,
                reps=wanted.reps,
                set_on=wanted.set_on,
                reached_on=wanted.reached_on,
            )
    except IntegrityError as error:
        message = f"{wanted.exercise.name} is a goal already. Change its number instead."
        raise GoalError(message) from error


def _refuse_foreign(client: Client, exercise: Exercise) -> None:
    if exercise.coach_id not in {None, client.coach_id}:
        message = "This exercise is not in your library. Choose one that is."
        raise GoalError(message)


def _refuse_amount(exercise: Exercise, reps: int) -> None:
    if not 1 <= reps <= most_of(exercise):
        raise GoalError(amount_remedy(exercise))
