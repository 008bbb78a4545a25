"""Reads for a coach's own exercises: what they must get along with, and who uses them."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from django.db.models import Count, ManyToOneRel, QuerySet
from django.utils import timezone

from clients.models import User
from coaching.library.models import Exercise, ExerciseQuerySet, MuscleShare
from coaching.library.own_exercise_checks import (
    FIXED_COLUMNS,
    LadderEnd,
    Surroundings,
    folded_name,
)


@dataclass(frozen=True)
class Coming:
    """How many prescriptions from today on name an exercise, and for how many clients."""

    prescriptions: int
    clients: int


def surroundings_of(coach: User, exercise: Exercise | None = None) -> Surroundings:
    """What a coach's new exercise, or a change of one, must get along with; 2 to 7 queries."""
    names = Exercise.objects.of_coach(coach).in_use()
    if exercise is not None:
        names = names.exclude(pk=exercise.pk)
    shared = Exercise.objects.in_use().filter(coach__isnull=True, ladder__isnull=False)
    fixed = exercise is not None and is_used(exercise)
    return Surroundings(
        names={
            folded_name(name): f"Your “{name}”" if owner == coach.pk else f"The shared “{name}”"
            for name, owner in names.values_list("name", "coach_id")
        },
        ladders=_ladder_ends(shared),
        fixed={column: getattr(exercise, column) for column in FIXED_COLUMNS} if fixed else {},
    )


def _ladder_ends(rows: ExerciseQuerySet) -> dict[str, LadderEnd]:
    found: dict[tuple[str, str], list[tuple[int, str]]] = defaultdict(list)
    for key, name, rung, pattern in rows.order_by("ladder__name").values_list(
        "ladder__key", "ladder__name", "rung", "pattern"
    ):
        found[key, name].append((rung or 0, pattern))
    return {
        key: LadderEnd(name, max(rung for rung, _ in on), frozenset(pattern for _, pattern in on))
        for (key, name), on in found.items()
    }


def is_used(exercise: Exercise) -> bool:
    """Whether a plan, a log, a swap, a decision or a goal names an exercise; 1 to 5 queries."""
    # The apps above point here, and this one may not import them: ask every relation there is.
    return any(rows.exists() for rows in _rows_that_name(exercise) if rows.model is not MuscleShare)


def coming_of(exercise: Exercise, today: date | None = None) -> Coming:
    """The prescriptions of an exercise that are still to be done; 1 query."""
    for rows in _rows_that_name(exercise):
        if rows.model.__name__ == "Prescription":
            session = "pair__planned_session"
            still = {f"{session}__on__gte": today or timezone.localdate()}
            begun = {f"{session}__started_at__isnull": True}
            counted = rows.filter(**still, **begun).aggregate(
                prescriptions=Count("pk"),
                clients=Count(f"{session}__week__block__client", distinct=True),
            )
            return Coming(**counted)
    return Coming(0, 0)


def _rows_that_name(exercise: Exercise) -> list[QuerySet]:  # type: ignore[type-arg]
    relations = [
        relation
        for relation in Exercise._meta.get_fields(include_hidden=True)  # noqa: SLF001
        if isinstance(relation, ManyToOneRel)
    ]
    return [
        relation.related_model._base_manager.filter(**{relation.field.name: exercise})  # noqa: SLF001
        for relation in relations
    ]


def retired_of(coach: User) -> ExerciseQuerySet:
    """The exercises of their own that a coach retired, the latest first; 1 query."""
    rows = Exercise.objects.filter(coach=coach, retired_at__isnull=False)
    return rows.order_by("-retired_at", "pk")
