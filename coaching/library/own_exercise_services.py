"""Writes of a coach's own exercises; the shared ones are never touched."""

from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils.text import slugify

from clients.models import User
from coaching.library.errors import Fault, OwnExerciseError
from coaching.library.models import Exercise, Ladder, MuscleShare
from coaching.library.own_exercise_checks import (
    Surroundings,
    Values,
    faults_of,
    folded_name,
    usual_share,
)
from coaching.library.own_exercise_queries import surroundings_of
from coaching.rules.bodyweight_scales import Setting
from coaching.rules.plan import LoadKind, Posture, Tempo

_SAME = (
    "name",
    "pattern",
    "plane",
    "chain",
    "multi_joint",
    "laterality",
    "level",
    "complexity",
    "measure",
    "load_kind",
    "posture",
    "joint_actions",
    "joint_stresses",
    "equipment",
    "cues",
    "caution",
)
"""Columns that hold what was typed as it is."""


@transaction.atomic
def add_own_exercise(
    *, coach: User, values: Values, copied_from: Exercise | None = None
) -> Exercise:
    """Put an exercise into a coach's own library, new or as a copy of another.

    Raises:
        OwnExerciseError: Something in it does not fit; nothing is written.
    """
    _lock(coach)
    around = surroundings_of(coach)
    columns = _columns(values, around)
    if copied_from is not None:
        columns["prerequisites"] = dict(copied_from.prerequisites)
    row = Exercise.objects.create(coach=coach, key=_free_key(coach, values["name"]), **columns)
    _set_shares(row, values["muscles"])
    return row


@transaction.atomic
def change_own_exercise(*, exercise: Exercise, values: Values) -> Exercise:
    """Write an own exercise anew; its key stays, so that plans and links find it.

    Raises:
        OwnExerciseError: Something in it does not fit; nothing is written.
    """
    coach = _coach_of(exercise)
    _lock(coach)
    columns = _columns(values, surroundings_of(coach, exercise))
    for column, value in columns.items():
        setattr(exercise, column, value)
    exercise.save(update_fields=list(columns))
    _set_shares(exercise, values["muscles"])
    return exercise


@transaction.atomic
def bring_back(*, exercise: Exercise) -> Exercise:
    """Offer a retired exercise again.

    Raises:
        OwnExerciseError: Another one has taken its name meanwhile.
    """
    coach = _coach_of(exercise)
    _lock(coach)
    whose = surroundings_of(coach, exercise).names.get(folded_name(exercise.name))
    if whose:
        message = f"{whose} has this name now. Edit the name, then bring it back."
        raise OwnExerciseError([Fault("name", message)])
    exercise.retired_at = None
    exercise.save(update_fields=["retired_at"])
    return exercise


def _coach_of(exercise: Exercise) -> User:
    if exercise.coach is None:
        raise OwnExerciseError([Fault("name", "A shared exercise stays as it is. Copy it.")])
    return exercise.coach


def _lock(coach: User) -> None:
    """Two windows of one coach write one after the other, so that a name is taken once."""
    User.objects.select_for_update().get(pk=coach.pk)


def _columns(values: Values, around: Surroundings) -> dict[str, Any]:
    faults = faults_of(values, around)
    if faults:
        raise OwnExerciseError(faults)
    typed: dict[str, Any] = {**values}
    ladder = Ladder.objects.get(key=values["ladder"]) if values["ladder"] else None
    return {
        **{column: typed[column] for column in _SAME},
        "tempo": str(Tempo.parse(values["tempo"])),
        "body_share": _body_share(values),
        "hands_cm": values["hands_cm"] or 0,
        "feet_cm": values["feet_cm"] or 0,
        "ladder": ladder,
        "rung": values["rung"] if ladder else None,
    }


def _body_share(values: Values) -> Decimal:
    """The share of body weight [0-1]; left empty, a posture brings that of a middle body."""
    if values["load_kind"] == LoadKind.EXTERNAL:
        return Decimal(0)
    if values["share_percent"] is not None:
        return values["share_percent"] / 100
    setting = Setting(hands_cm=values["hands_cm"] or 0, feet_cm=values["feet_cm"] or 0)
    return Decimal(str(usual_share(Posture(values["posture"]), setting)))


def _free_key(coach: User, name: str) -> str:
    # A word before it: a shared exercise that comes later can never be hidden by it.
    wanted = f"own-{slugify(name)[:70]}".rstrip("-")
    rows = Exercise.objects.of_coach(coach).filter(key__startswith=wanted)
    taken = set(rows.values_list("key", flat=True))
    numbered = (f"{wanted}-{number}" for number in range(2, len(taken) + 3))
    return wanted if wanted not in taken else next(key for key in numbered if key not in taken)


def _set_shares(exercise: Exercise, muscles: dict[str, Decimal]) -> None:
    """Write the shares anew: they have no history and nothing points at them."""
    exercise.muscle_shares.all().delete()
    MuscleShare.objects.bulk_create(
        MuscleShare(exercise=exercise, muscle=muscle, share=share)
        for muscle, share in muscles.items()
    )
