"""Reads for movement goals: the goals, the exercises around them, and what was logged of those."""

from collections.abc import Collection, Mapping
from datetime import date, timedelta

from django.db.models import Q, prefetch_related_objects

from clients.models import Client
from coaching.library.models import Exercise, MovementGoal
from coaching.library.queries import exercise_value
from coaching.rules import log, plan
from coaching.rules.numbers import PLACE_REMEMBERED
from sessions.queries import UNKNOWN_BODY_WEIGHT, kept_sets


def goals_of(client: Client) -> list[MovementGoal]:
    """A client's movement goals with their exercises, oldest first; 1 query."""
    return list(MovementGoal.objects.filter(client=client).select_related("exercise__ladder"))


def exercises_around(client: Client, goals: Collection[MovementGoal]) -> list[Exercise]:
    """What the coach can prescribe, and the goals' own exercises even when retired; 1 query."""
    own = [goal.exercise_id for goal in goals]
    return list(
        Exercise.objects.of_coach(client.coach)
        .filter(Q(retired_at__isnull=True) | Q(pk__in=own))
        .select_related("ladder")
        .order_by("ladder__name", "rung", "pk")
    )


def exercises_that_tell(
    goals: Collection[MovementGoal], by_key: Mapping[str, Exercise]
) -> dict[int, plan.Exercise]:
    """What a place is read from: the goals' ladders, prerequisites and their ladders; 1 query."""
    ladders = {goal.exercise.ladder_id for goal in goals} - {None}
    rungs = [row for row in by_key.values() if row.ladder_id in ladders]
    rungs += [goal.exercise for goal in goals]
    asked = [by_key[key] for row in rungs for key in row.prerequisites if key in by_key]
    beside = {row.ladder_id for row in asked} - {None}
    rows = {row.pk: row for row in (*rungs, *asked)}
    rows |= {row.pk: row for row in by_key.values() if row.ladder_id in beside}
    prefetch_related_objects(list(rows.values()), "muscle_shares")
    return {pk: exercise_value(row) for pk, row in rows.items()}


def sessions_of_exercises(
    client: Client, exercises: Mapping[int, plan.Exercise], today: date
) -> tuple[log.LoggedSession, ...]:
    """What the last year's log holds of those exercises, by row id; 1 query, none without any.

    A year whatever the history, so that the page costs the same after ten years.
    """
    if not exercises:
        return ()
    since = today - timedelta(days=int(PLACE_REMEMBERED.value))
    rows = (
        kept_sets()
        .filter(
            logged_session__client=client,
            logged_session__on__range=(since, today),
            logged_session__skipped_reason="",
            exercise__in=list(exercises),
            warm_up=False,
        )
        .values_list(
            *("logged_session", "logged_session__on", "logged_session__body_weight_kg"),
            *("exercise", "number", "amount", "load_kg", "target", "pain"),
        )
    )
    found: dict[int, tuple[date, float, list[log.LoggedSet]]] = {}
    for session, on, weight, exercise, number, amount, load, target, pain in rows:
        one = log.LoggedSet(
            exercise=exercises[exercise],
            number=number,
            amount=amount,
            load=float(load),
            target=target,
            pain=pain,
        )
        kilograms = float(weight or UNKNOWN_BODY_WEIGHT)
        found.setdefault(session, (on, kilograms, []))[2].append(one)
    return tuple(
        log.LoggedSession(on=on, sets=tuple(sets), body_weight=weight)
        for on, weight, sets in found.values()
    )
