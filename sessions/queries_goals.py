"""Reads for movement goals: the goals, the exercises around them, and what was logged of those."""

from collections.abc import Collection, Mapping
from datetime import date, timedelta

from django.db.models import Q

from clients.models import Client
from coaching.library.models import Exercise, MovementGoal
from coaching.rules import log, plan
from coaching.rules.numbers import PLACE_REMEMBERED
from sessions.queries import UNKNOWN_BODY_WEIGHT, kept_sets


def goals_of(client: Client) -> list[MovementGoal]:
    """A client's movement goals with their exercises, oldest first; 1 query."""
    return list(MovementGoal.objects.filter(client=client).select_related("exercise__ladder"))


def exercises_around(client: Client, goals: Collection[MovementGoal]) -> list[Exercise]:
    """What the coach can prescribe, and the goals' own exercises even when retired; 2 queries."""
    own = [goal.exercise_id for goal in goals]
    return list(
        Exercise.objects.of_coach(client.coach)
        .filter(Q(retired_at__isnull=True) | Q(pk__in=own))
        .select_related("ladder")
        .prefetch_related("muscle_shares")
        .order_by("ladder__name", "rung", "pk")
    )


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
