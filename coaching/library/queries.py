"""Reads of the library; rows become the values that the rules work on."""

import json
from collections import defaultdict
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Any, NamedTuple

from django.db.models import QuerySet, TextField
from django.db.models.functions import Cast

from clients.kept_query import KeptQuery
from clients.models import User
from coaching.library.models import Exercise, ExerciseQuerySet
from coaching.rules import plan


def exercise_value(row: Exercise) -> plan.Exercise:
    """The rules' value of an exercise row that holds it, or has its muscle shares fetched."""
    return row.value_read or plan.Exercise(
        key=row.key,
        name=row.name,
        pattern=plan.Pattern(row.pattern),
        plane=plan.Plane(row.plane),
        chain=plan.Chain(row.chain),
        multi_joint=row.multi_joint,
        laterality=plan.Laterality(row.laterality),
        body_share=float(row.body_share),
        load_kind=plan.LoadKind(row.load_kind),
        measure=plan.Measure(row.measure),
        complexity=row.complexity,
        joint_actions=tuple(plan.JointAction(word) for word in row.joint_actions),
        joint_stresses=tuple(plan.JointStress(word) for word in row.joint_stresses),
        equipment=tuple(plan.EquipmentKind(word) for word in row.equipment),
        muscles=tuple(
            plan.MuscleShare(plan.Muscle(share.muscle), float(share.share))
            for share in row.muscle_shares.all()
        ),
        ladder=row.ladder.key if row.ladder else "",
        rung=row.rung or 0,
        posture=plan.Posture(row.posture) if row.posture else None,
        hands_cm=row.hands_cm,
        feet_cm=row.feet_cm,
        prerequisites=tuple(
            plan.Prerequisite(key, amount) for key, amount in row.prerequisites.items()
        ),
    )


def exercises_of(coach: User) -> ExerciseQuerySet:
    """The exercises a coach can prescribe, with shares and ladders; 2 queries."""
    return (
        Exercise.objects.of_coach(coach)
        .in_use()
        .select_related("ladder")
        .prefetch_related("muscle_shares")
    )


def exercise_values(exercise_ids: Iterable[int]) -> dict[int, plan.Exercise]:
    """Values of those exercises by row id; 1 query."""
    rows = Exercise.objects.filter(pk__in=set(exercise_ids))
    return {pk: known.value for pk, known in known_exercises(rows).items()}


def exercises_by_key(coach: User) -> dict[str, Exercise]:
    """A coach's exercises by key, their own before the shared, each with its value; 2 queries."""
    in_use = Exercise.objects.of_coach(coach).in_use()
    values = known_exercises(in_use)
    rows = in_use.select_related("ladder").order_by("coach_id")
    shared_first = sorted(rows, key=lambda row: row.coach_id is not None)
    for row in shared_first:
        row.value_read = values[row.pk].value
    return {row.key: row for row in shared_first}


def named_exercises(coach: User, keys: Iterable[str]) -> dict[str, Exercise]:
    """Exercises that are only named, by key, a coach's own before the shared; at most 1 query."""
    wanted = set(keys)
    if not wanted:
        return {}
    rows = Exercise.objects.of_coach(coach).in_use().filter(key__in=wanted)
    return {row.key: row for row in sorted(rows, key=lambda row: row.coach_id is not None)}


class KnownExercise(NamedTuple):
    """An exercise as the rules see it, and the tempo it is prescribed with."""

    value: plan.Exercise
    tempo: str


def known_exercises(rows: ExerciseQuerySet) -> dict[int, KnownExercise]:
    """Those exercises by row id; 1 query.

    Lists are read as they are written down and understood once for each content.
    """
    return _known_in(_in_columns(rows))


def planned_exercises(exercise_ids: Iterable[int]) -> dict[int, KnownExercise]:
    """The same by row id, for what is asked for at every edit of a plan; 1 query."""
    wanted = sorted(exercise_ids)
    return _known_in(_PLANNED.rows(*wanted)) if wanted else {}


def _in_columns(rows: ExerciseQuerySet) -> QuerySet[Exercise, tuple[Any, ...]]:
    written = {f"{name}_text": Cast(name, TextField()) for name in _LISTS}
    found = rows.order_by("pk", "-muscle_shares__share", "muscle_shares__muscle")
    return found.annotate(**written).values_list(
        "pk", "muscle_shares__muscle", "muscle_shares__share", *_PLAIN, *written
    )


_PLANNED = KeptQuery(lambda *ids: _in_columns(Exercise.objects.filter(pk__in=ids)))


def _known_in(rows: Iterable[Sequence[Any]]) -> dict[int, KnownExercise]:
    heads: dict[int, tuple[Any, ...]] = {}
    shares: dict[int, list[tuple[str, float]]] = defaultdict(list)
    for pk, muscle, share, *head in rows:
        heads[pk] = tuple(head)
        if muscle:
            shares[pk].append((muscle, float(share)))
    return {pk: _known(head, tuple(shares[pk])) for pk, head in heads.items()}


_PLAIN = (
    *("key", "name", "pattern", "plane", "chain", "multi_joint", "laterality", "body_share"),
    *("load_kind", "measure", "complexity", "tempo", "posture", "hands_cm", "feet_cm", "rung"),
    "ladder__key",
)
_LISTS = ("joint_actions", "joint_stresses", "equipment", "prerequisites")


@lru_cache(maxsize=1000)
def _known(head: tuple[Any, ...], shares: tuple[tuple[str, float], ...]) -> KnownExercise:
    row = dict(zip((*_PLAIN, *_LISTS), head, strict=True))
    lists = {name: json.loads(row[name]) for name in _LISTS}
    value = plan.Exercise(
        key=row["key"],
        name=row["name"],
        pattern=plan.Pattern(row["pattern"]),
        plane=plan.Plane(row["plane"]),
        chain=plan.Chain(row["chain"]),
        multi_joint=row["multi_joint"],
        laterality=plan.Laterality(row["laterality"]),
        body_share=float(row["body_share"]),
        load_kind=plan.LoadKind(row["load_kind"]),
        measure=plan.Measure(row["measure"]),
        complexity=row["complexity"],
        joint_actions=tuple(plan.JointAction(word) for word in lists["joint_actions"]),
        joint_stresses=tuple(plan.JointStress(word) for word in lists["joint_stresses"]),
        equipment=tuple(plan.EquipmentKind(word) for word in lists["equipment"]),
        muscles=tuple(plan.MuscleShare(plan.Muscle(muscle), share) for muscle, share in shares),
        ladder=row["ladder__key"] or "",
        rung=row["rung"] or 0,
        posture=plan.Posture(row["posture"]) if row["posture"] else None,
        hands_cm=row["hands_cm"],
        feet_cm=row["feet_cm"],
        prerequisites=tuple(plan.Prerequisite(k, n) for k, n in lists["prerequisites"].items()),
    )
    return KnownExercise(value, row["tempo"])
