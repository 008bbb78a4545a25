"""What was done, and what the coach decided about it."""

import uuid
from typing import ClassVar

from django.db import models
from django.db.models import Q
from django.utils import timezone

from clients.enum_columns import choices_of, one_of
from clients.models import Client, User
from coaching.blocks.models import BlockVersion, PlannedSession
from coaching.library.models import Exercise
from coaching.rules.plan import WeekKind
from sessions.word_models import PrivateNote, Word, WordTemplate

__all__ = [
    "ChangeKind",
    "Correction",
    "Decision",
    "DecisionKind",
    "LineChange",
    "LoggedSession",
    "LoggedSet",
    "PrivateNote",
    "StatementKind",
    "WeekReview",
    "Word",
    "WordTemplate",
]


class LoggedSession(models.Model):
    """One session as it was done; ``plan`` keeps what was asked for that day."""

    uid = models.UUIDField(default=uuid.uuid4, unique=True)
    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="logged_sessions")
    planned_session = models.OneToOneField(
        PlannedSession,
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="logged_session",
    )
    on = models.DateField()
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=10, choices=choices_of(WeekKind))
    plan = models.JSONField(default=list)
    started_at = models.DateTimeField(default=timezone.now)
    finished_at = models.DateTimeField(null=True, blank=True)
    skipped_reason = models.CharField(max_length=200, blank=True)
    rpe = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    note = models.TextField(blank=True)
    body_weight_kg = models.DecimalField(max_digits=5, decimal_places=2, null=True, blank=True)
    revision = models.PositiveIntegerField(default=0)
    # The statement that stands, by the id that the phone gave it; none from an older phone.
    edit = models.UUIDField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["client_id", "on", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(rpe__isnull=True) | Q(rpe__gte=0, rpe__lte=10),
                name="session_rpe_0_to_10",
            ),
            models.CheckConstraint(
                condition=Q(body_weight_kg__isnull=True)
                | Q(body_weight_kg__gte=25, body_weight_kg__lte=300),
                name="session_body_weight_25_to_300_kg",
            ),
            one_of("kind", WeekKind, "logged_week_kind_is_known"),
        ]
        indexes: ClassVar = [models.Index(fields=["client", "on"], name="logged_client_on")]

    def __str__(self) -> str:
        return f"{self.name} on {self.on}"


class LoggedSet(models.Model):
    """One set as it was done; its uid is made on the phone."""

    uid = models.UUIDField(unique=True)
    logged_session = models.ForeignKey(LoggedSession, on_delete=models.CASCADE, related_name="sets")
    exercise = models.ForeignKey(Exercise, on_delete=models.PROTECT, related_name="+")
    prescription_uid = models.UUIDField(null=True, blank=True)
    number = models.PositiveSmallIntegerField()
    amount = models.PositiveSmallIntegerField()
    load_kg = models.DecimalField(max_digits=6, decimal_places=2, default=0)
    rir = models.PositiveSmallIntegerField(null=True, blank=True)
    pain = models.PositiveSmallIntegerField(null=True, blank=True)
    pain_where = models.CharField(max_length=60, blank=True)
    note = models.CharField(max_length=500, blank=True)
    warm_up = models.BooleanField(default=False)
    target = models.PositiveSmallIntegerField(null=True, blank=True)
    target_load_kg = models.DecimalField(max_digits=6, decimal_places=2, null=True, blank=True)
    done_at = models.DateTimeField()
    received_at = models.DateTimeField(default=timezone.now)
    revision = models.PositiveIntegerField(default=0)
    edit = models.UUIDField(null=True, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["logged_session_id", "done_at", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(condition=Q(number__gte=1), name="set_number_from_1"),
            models.CheckConstraint(condition=Q(amount__lte=3600), name="amount_up_to_3600"),
            models.CheckConstraint(
                condition=Q(load_kg__gte=0, load_kg__lte=1000), name="load_0_to_1000_kg"
            ),
            models.CheckConstraint(
                condition=Q(rir__isnull=True) | Q(rir__lte=10), name="set_rir_0_to_10"
            ),
            models.CheckConstraint(
                condition=Q(pain__isnull=True) | Q(pain__lte=10), name="pain_0_to_10"
            ),
        ]

    def __str__(self) -> str:
        return f"set {self.number}: {self.amount}"


class ChangeKind(models.TextChoices):
    """What can become of one planned exercise on the day."""

    SWAP = "swap", "swap"
    SKIP = "skip", "skip"


class LineChange(models.Model):
    """A planned exercise that was swapped or skipped on the day, with the reason.

    The plan itself stays as it was; ``exercise`` is what was done instead.
    """

    uid = models.UUIDField(unique=True)
    logged_session = models.ForeignKey(
        LoggedSession, on_delete=models.CASCADE, related_name="line_changes"
    )
    prescription_uid = models.UUIDField()
    change = models.CharField(max_length=5, choices=ChangeKind.choices)
    exercise = models.ForeignKey(
        Exercise, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    reason = models.CharField(max_length=200)
    done_at = models.DateTimeField()
    received_at = models.DateTimeField(default=timezone.now)
    revision = models.PositiveIntegerField(default=0)
    edit = models.UUIDField(null=True, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["logged_session_id", "done_at", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(change="skip") | Q(change="swap", exercise__isnull=False),
                name="a_swap_names_what_was_done",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.change}: {self.reason}"


class StatementKind(models.TextChoices):
    """What a phone can speak of."""

    SET = "set", "set"
    SESSION = "session", "session"
    LINE = "line", "line"
    WEIGHT = "weight", "weight"
    WORD = "word", "word"


class Correction(models.Model):
    """A statement of a phone that does not stand: replaced by a newer one, or too late to count.

    ``values`` are the fields as the phone names them. ``by`` sent what replaced it, or sent it
    too late; ``at`` is when that was received. Only body weight and words stand outside a session.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="corrections")
    logged_session = models.ForeignKey(
        LoggedSession, null=True, blank=True, on_delete=models.CASCADE, related_name="corrections"
    )
    entry_uid = models.UUIDField()
    edit = models.UUIDField(null=True, blank=True)
    kind = models.CharField(max_length=10, choices=StatementKind.choices)
    revision = models.PositiveIntegerField()
    values = models.JSONField()
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    was_late = models.BooleanField(default=False)

    class Meta:
        ordering: ClassVar = ["client_id", "at", "pk"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["client", "entry_uid", "edit"], name="a_statement_is_kept_once"
            ),
            models.CheckConstraint(
                condition=Q(kind__in=["weight", "word"]) | Q(logged_session__isnull=False),
                name="correction_names_its_session",
            ),
            models.CheckConstraint(
                condition=Q(kind__in=StatementKind.values), name="correction_kind_is_known"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind}, revision {self.revision}"


class WeekReview(models.Model):
    """The coach's review of one client's week, with the word to the client."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="week_reviews")
    week_starts_on = models.DateField()
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    reviewed_at = models.DateTimeField(null=True, blank=True)
    note_to_client = models.TextField(blank=True)
    # When the note as it stands was sent, and when the client had it on the screen.
    note_sent_at = models.DateTimeField(null=True, blank=True)
    note_read_at = models.DateTimeField(null=True, blank=True)
    private_note = models.TextField(blank=True)
    # What was found and proposed when the week was first closed; empty before that.
    proposed = models.JSONField(default=dict, blank=True)

    class Meta:
        ordering: ClassVar = ["client_id", "week_starts_on"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["client", "week_starts_on"], name="one_review_per_client_and_week"
            ),
        ]

    def __str__(self) -> str:
        return f"week of {self.week_starts_on}"


class DecisionKind(models.TextChoices):
    """What a coach can decide for an exercise or a client."""

    STEP_UP = "step up", "step up"
    HOLD = "hold", "hold"
    STEP_BACK = "step back", "step back"
    SWAP = "swap", "swap"
    DELOAD = "deload", "deload"
    LEAVE = "leave", "leave"


class Decision(models.Model):
    """One decision of the coach, with the evidence as it stood on that day."""

    review = models.ForeignKey(WeekReview, on_delete=models.CASCADE, related_name="decisions")
    kind = models.CharField(max_length=10, choices=DecisionKind.choices)
    exercise = models.ForeignKey(
        Exercise, null=True, blank=True, on_delete=models.PROTECT, related_name="+"
    )
    # Which of several courses of it, a heavy or a light day: the uid of the first line of the block
    # in it. Empty where there was one only, or where no exercise is decided about.
    course = models.CharField(max_length=36, blank=True, default="")
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    # Made by the tool itself, for a client for whom the coach allowed routine steps up.
    automatic = models.BooleanField(default=False)
    evidence = models.JSONField(default=list)
    proposal = models.JSONField(default=dict)
    version = models.ForeignKey(
        BlockVersion, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )
    undone_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["review_id", "at", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(kind__in=DecisionKind.values), name="decision_kind_is_known"
            ),
            models.CheckConstraint(
                condition=Q(kind__in=["deload", "leave"]) | Q(exercise__isnull=False),
                name="decision_names_its_exercise",
            ),
        ]

    def __str__(self) -> str:
        return self.kind
