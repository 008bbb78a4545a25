"""Exercises, what they train and where they stand on their ladder."""

from typing import ClassVar

from django.db import models
from django.db.models import Q
from django.utils import timezone

from clients.enum_columns import choices_of, one_of
from clients.models import Client, User
from coaching.rules.numbers import INDIRECT_SHARE
from coaching.rules.plan import (
    Chain,
    Laterality,
    Level,
    LoadKind,
    Measure,
    Muscle,
    Pattern,
    Plane,
    Posture,
)
from coaching.rules.plan import Exercise as PlannedExercise


class Ladder(models.Model):
    """Exercises of one movement, from the easiest to the hardest."""

    key = models.SlugField(max_length=60, unique=True)
    name = models.CharField(max_length=80)
    purpose = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering: ClassVar = ["name"]

    def __str__(self) -> str:
        return self.name


class ExerciseQuerySet(models.QuerySet["Exercise"]):
    """Words that narrow down the library."""

    def of_coach(self, coach: User) -> "ExerciseQuerySet":
        """The shared library and the coach's own exercises."""
        return self.filter(Q(coach__isnull=True) | Q(coach=coach))

    def in_use(self) -> "ExerciseQuerySet":
        """Exercises that are not retired."""
        return self.filter(retired_at__isnull=True)


class Exercise(models.Model):
    """One exercise; without a coach it belongs to the shared library."""

    coach = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.CASCADE, related_name="exercises"
    )
    key = models.SlugField(max_length=80)
    name = models.CharField(max_length=100)
    pattern = models.CharField(max_length=10, choices=choices_of(Pattern))
    plane = models.CharField(max_length=12, choices=choices_of(Plane))
    chain = models.CharField(max_length=8, choices=choices_of(Chain))
    multi_joint = models.BooleanField()
    laterality = models.CharField(max_length=12, choices=choices_of(Laterality))
    body_share = models.DecimalField(max_digits=4, decimal_places=3)
    load_kind = models.CharField(max_length=10, choices=choices_of(LoadKind))
    measure = models.CharField(max_length=8, choices=choices_of(Measure))
    complexity = models.PositiveSmallIntegerField()
    level = models.CharField(max_length=20, choices=choices_of(Level))
    joint_actions = models.JSONField(default=list)
    joint_stresses = models.JSONField(default=list, blank=True)
    equipment = models.JSONField(default=list, blank=True)
    tempo = models.CharField(max_length=14, default="3-0-1-0")
    posture = models.CharField(max_length=30, blank=True, choices=choices_of(Posture))
    hands_cm = models.PositiveSmallIntegerField(default=0)
    feet_cm = models.PositiveSmallIntegerField(default=0)
    prerequisites = models.JSONField(default=dict, blank=True)
    cues = models.JSONField(default=list, blank=True)
    caution = models.CharField(max_length=300, blank=True)
    ladder = models.ForeignKey(
        Ladder, null=True, blank=True, on_delete=models.PROTECT, related_name="exercises"
    )
    rung = models.PositiveSmallIntegerField(null=True, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)

    # The rules' value, where it was read along with the row.
    value_read: PlannedExercise | None = None

    objects = ExerciseQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["name", "pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["key"], condition=Q(coach__isnull=True), name="shared_exercise_key_once"
            ),
            models.UniqueConstraint(
                fields=["coach", "key"],
                condition=Q(coach__isnull=False),
                name="own_exercise_key_once",
            ),
            models.UniqueConstraint(
                fields=["ladder", "rung"],
                condition=Q(coach__isnull=True, ladder__isnull=False),
                name="one_shared_exercise_per_rung",
            ),
            models.CheckConstraint(
                condition=Q(ladder__isnull=True, rung__isnull=True)
                | Q(ladder__isnull=False, rung__gte=1),
                name="ladder_and_rung_go_together",
            ),
            models.CheckConstraint(
                condition=Q(body_share__gte=0) & Q(body_share__lte=1),
                name="body_share_0_to_1",
            ),
            models.CheckConstraint(condition=Q(complexity__range=(1, 5)), name="complexity_1_to_5"),
            models.CheckConstraint(
                condition=Q(hands_cm__lte=300) & Q(feet_cm__lte=300), name="supports_up_to_300_cm"
            ),
            one_of("pattern", Pattern, "pattern_is_known"),
            one_of("plane", Plane, "plane_is_known"),
            one_of("chain", Chain, "chain_is_known"),
            one_of("laterality", Laterality, "laterality_is_known"),
            one_of("load_kind", LoadKind, "load_kind_is_known"),
            one_of("measure", Measure, "measure_is_known"),
            one_of("level", Level, "exercise_level_is_known"),
        ]

    def __str__(self) -> str:
        return self.name


class MuscleShare(models.Model):
    """What one set of an exercise counts for a muscle: direct 1, indirect 0.5."""

    exercise = models.ForeignKey(Exercise, on_delete=models.CASCADE, related_name="muscle_shares")
    muscle = models.CharField(max_length=20, choices=choices_of(Muscle))
    share = models.DecimalField(max_digits=3, decimal_places=2, default=INDIRECT_SHARE.value)

    class Meta:
        ordering: ClassVar = ["exercise_id", "-share", "muscle"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["exercise", "muscle"], name="one_share_per_muscle_of_an_exercise"
            ),
            models.CheckConstraint(
                condition=Q(share__gt=0) & Q(share__lte=1), name="muscle_share_up_to_1"
            ),
            one_of("muscle", Muscle, "muscle_is_known"),
        ]

    def __str__(self) -> str:
        return f"{self.muscle} {self.share}"


class MovementGoal(models.Model):
    """A skill or strength a client works toward: a rung, or any exercise.

    It stands here and not with the client because it points at an exercise.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="movement_goals")
    exercise = models.ForeignKey(Exercise, on_delete=models.PROTECT, related_name="+")
    reps = models.PositiveSmallIntegerField(default=1)
    set_on = models.DateField(default=timezone.localdate)
    reached_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["client_id", "set_on", "pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["client", "exercise"], name="one_goal_per_exercise"),
            models.CheckConstraint(condition=Q(reps__gte=1), name="goal_asks_one_or_more"),
        ]

    def __str__(self) -> str:
        return f"{self.exercise_id} × {self.reps}"
