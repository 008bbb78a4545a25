"""Writes of the library."""

from django.db import transaction
from django.utils import timezone

from coaching.library.models import Exercise, Ladder, MuscleShare
from coaching.library.shared_catalogue import SharedExercise, read_ladders, read_shared_catalogue


@transaction.atomic
def load_shared_library() -> int:
    """Bring the shared exercises and ladders up to date; returns how many exercises.

    What a coach changed in exercises of their own is not touched. A shared exercise
    that is no longer in the catalogue is retired, so that old logs keep their names.
    """
    ladders = {
        ladder.key: Ladder.objects.update_or_create(
            key=ladder.key, defaults={"name": ladder.name, "purpose": ladder.purpose}
        )[0]
        for ladder in read_ladders()
    }
    catalogue = read_shared_catalogue()
    # Rungs may have changed places, and no two exercises may share one meanwhile.
    Exercise.objects.filter(coach__isnull=True).update(ladder=None, rung=None)
    have = {row.key: row for row in Exercise.objects.filter(coach__isnull=True)}
    new = [_row(shared, ladders) for shared in catalogue if shared.exercise.key not in have]
    for shared in catalogue:
        known = have.get(shared.exercise.key)
        if known is not None:
            row = _row(shared, ladders)
            row.pk = known.pk
            row.save()
    Exercise.objects.bulk_create(new)
    _load_muscle_shares(catalogue)
    keys = [shared.exercise.key for shared in catalogue]
    gone = Exercise.objects.filter(coach__isnull=True, retired_at__isnull=True)
    for row in gone.exclude(key__in=keys):
        retire(exercise=row)
    return len(catalogue)


def _row(shared: SharedExercise, ladders: dict[str, Ladder]) -> Exercise:
    value = shared.exercise
    return Exercise(
        key=value.key,
        name=value.name,
        pattern=value.pattern.value,
        plane=value.plane.value,
        chain=value.chain.value,
        multi_joint=value.multi_joint,
        laterality=value.laterality.value,
        body_share=round(value.body_share, 3),
        load_kind=value.load_kind.value,
        measure=value.measure.value,
        complexity=value.complexity,
        level=shared.level.value,
        joint_actions=[word.value for word in value.joint_actions],
        joint_stresses=[word.value for word in value.joint_stresses],
        equipment=[word.value for word in value.equipment],
        posture=value.posture.value if value.posture else "",
        hands_cm=value.hands_cm,
        feet_cm=value.feet_cm,
        prerequisites={one.exercise: one.amount for one in value.prerequisites},
        tempo=shared.tempo,
        cues=list(shared.cues),
        caution=shared.caution,
        ladder=ladders[value.ladder] if value.ladder else None,
        rung=value.rung or None,
    )


def _load_muscle_shares(catalogue: tuple[SharedExercise, ...]) -> None:
    """Write the shares anew: they have no history and nothing points at them."""
    rows = {row.key: row for row in Exercise.objects.filter(coach__isnull=True)}
    MuscleShare.objects.filter(exercise__coach__isnull=True).delete()
    MuscleShare.objects.bulk_create(
        MuscleShare(exercise=rows[shared.exercise.key], muscle=item.muscle.value, share=item.share)
        for shared in catalogue
        for item in shared.exercise.muscles
    )


@transaction.atomic
def retire(*, exercise: Exercise) -> Exercise:
    """Offer an exercise no longer; plans and logs that name it keep it."""
    exercise.retired_at = timezone.now()
    exercise.save(update_fields=["retired_at"])
    return exercise
