"""Reads of the library; rows become the values that the rules work on."""

from collections.abc import Iterable
from typing import Any, NamedTuple

from clients.models import User
from coaching.library.models import Exercise, ExerciseQuerySet
from coaching.rules import plan


def exercise_value(row: Exercise) -> plan.Exercise:
    """The rules' value of an exercise row with its muscle shares fetched."""
    return plan.Exercise(
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
    """Values of those exercises by row id; 2 queries."""
    rows = (
        Exercise.objects.filter(pk__in=set(exercise_ids))
        .select_related("ladder")
        .prefetch_related("muscle_shares")
    )
    return {row.pk: exercise_value(row) for row in rows}


def exercises_by_key(coach: User) -> dict[str, Exercise]:
    """A coach's exercises by key, their own before the shared; 2 queries."""
    rows = exercises_of(coach).order_by("coach_id")
    shared_first = sorted(rows, key=lambda row: row.coach_id is not None)
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
    """Those exercises by row id; 1 query, for whatever is asked for at every edit of a plan."""
    shares: dict[int, list[plan.MuscleShare]] = {}
    first: dict[int, dict[str, Any]] = {}
    found = rows.order_by("pk", "-muscle_shares__share", "muscle_shares__muscle")
    for row in found.values(*_KNOWN):
        pk, muscle = row["pk"], row["muscle_shares__muscle"]
        first.setdefault(pk, row)
        of_it = shares.setdefault(pk, [])
        if muscle:
            share = float(row["muscle_shares__share"])
            of_it.append(plan.MuscleShare(plan.Muscle(muscle), share))
    return {
        pk: KnownExercise(_known_value(row, tuple(shares[pk])), row["tempo"])
        for pk, row in first.items()
    }


_KNOWN = (
    *("pk", "key", "name", "pattern", "plane", "chain", "multi_joint", "laterality"),
    *("body_share", "load_kind", "measure", "complexity", "joint_actions", "joint_stresses"),
    *("equipment", "tempo", "posture", "hands_cm", "feet_cm", "prerequisites", "rung"),
    *("ladder__key", "muscle_shares__muscle", "muscle_shares__share"),
)


def _known_value(row: dict[str, Any], muscles: tuple[plan.MuscleShare, ...]) -> plan.Exercise:
    return plan.Exercise(
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
        joint_actions=tuple(plan.JointAction(word) for word in row["joint_actions"]),
        joint_stresses=tuple(plan.JointStress(word) for word in row["joint_stresses"]),
        equipment=tuple(plan.EquipmentKind(word) for word in row["equipment"]),
        muscles=muscles,
        ladder=row["ladder__key"] or "",
        rung=row["rung"] or 0,
        posture=plan.Posture(row["posture"]) if row["posture"] else None,
        hands_cm=row["hands_cm"],
        feet_cm=row["feet_cm"],
        prerequisites=tuple(plan.Prerequisite(k, n) for k, n in row["prerequisites"].items()),
    )
