"""Programme blocks: weeks, planned sessions, pairs, prescriptions, versions."""

import uuid
from typing import ClassVar

from django.db import models
from django.db.models import Q
from django.utils import timezone

from clients.enum_columns import choices_of, one_of
from clients.models import Client, User
from coaching.blocks.plan_field import PlanField
from coaching.library.models import Exercise
from coaching.rules.plan import Level, Part, WeekKind


class TemplateQuerySet(models.QuerySet["BlockTemplate"]):
    """Words that narrow down templates."""

    def offered_to(self, coach: User) -> "TemplateQuerySet":
        """The shared templates and the coach's own, without those removed."""
        return self.filter(Q(coach__isnull=True) | Q(coach=coach), removed_at__isnull=True)


class BlockTemplate(models.Model):
    """A block to copy from; without a coach it belongs to the shared ones.

    ``plan`` holds weeks, sessions, pairs and lines in the shape that
    ``coaching.blocks.shared_templates`` reads. A removed one is offered no more and can be
    brought back.
    """

    coach = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.CASCADE, related_name="block_templates"
    )
    key = models.SlugField(max_length=80)
    name = models.CharField(max_length=100)
    level = models.CharField(max_length=20, choices=choices_of(Level))
    description = models.CharField(max_length=400)
    minutes = models.PositiveSmallIntegerField()
    plan = models.JSONField()
    removed_at = models.DateTimeField(null=True, blank=True)

    objects = TemplateQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["minutes", "name"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["key"], condition=Q(coach__isnull=True), name="shared_template_key_once"
            ),
            models.UniqueConstraint(
                fields=["coach", "key"],
                condition=Q(coach__isnull=False),
                name="own_template_key_once",
            ),
            one_of("level", Level, "template_level_is_known"),
        ]

    def __str__(self) -> str:
        return self.name


class Block(models.Model):
    """Four to six weeks of planned training for one client."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="blocks")
    number = models.PositiveSmallIntegerField()
    name = models.CharField(max_length=100)
    starts_on = models.DateField()
    published_at = models.DateTimeField(null=True, blank=True)
    created_at = models.DateTimeField(default=timezone.now)
    # What had to be swapped or left out of the template, each with its reason.
    changes_from_template = models.JSONField(default=list, blank=True)

    class Meta:
        ordering: ClassVar = ["client_id", "number"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["client", "number"], name="block_number_once"),
            models.CheckConstraint(condition=Q(number__gte=1), name="block_number_from_1"),
        ]

    def __str__(self) -> str:
        return f"block {self.number}: {self.name}"


class Week(models.Model):
    """One week of a block and what it is for."""

    block = models.ForeignKey(Block, on_delete=models.CASCADE, related_name="weeks")
    number = models.PositiveSmallIntegerField()
    starts_on = models.DateField()
    kind = models.CharField(max_length=10, choices=choices_of(WeekKind))

    class Meta:
        ordering: ClassVar = ["block_id", "number"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["block", "starts_on"], name="week_start_once"),
            models.CheckConstraint(condition=Q(number__gte=1), name="week_number_from_1"),
            one_of("kind", WeekKind, "week_kind_is_known"),
        ]

    def __str__(self) -> str:
        return f"week {self.number} ({self.kind})"


class PlannedSession(models.Model):
    """What should be done on one day; its uid stays the same over all versions."""

    uid = models.UUIDField(default=uuid.uuid4, unique=True)
    week = models.ForeignKey(Week, on_delete=models.CASCADE, related_name="planned_sessions")
    name = models.CharField(max_length=80)
    on = models.DateField()
    position = models.PositiveSmallIntegerField()
    # Set by the first logged set; from then on no new plan changes this session.
    started_at = models.DateTimeField(null=True, blank=True)
    # Set by the coach: no edit changes it until it is unlocked.
    locked = models.BooleanField(default=False)

    class Meta:
        ordering: ClassVar = ["week_id", "on", "position"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["week", "position"], name="session_position_once"),
        ]
        indexes: ClassVar = [models.Index(fields=["on"], name="planned_session_on")]

    def __str__(self) -> str:
        return f"{self.name} on {self.on}"


class Pair(models.Model):
    """One exercise alone, or two done in alternation, under one letter."""

    planned_session = models.ForeignKey(
        PlannedSession, on_delete=models.CASCADE, related_name="pairs"
    )
    position = models.PositiveSmallIntegerField()
    letter = models.CharField(max_length=2)
    part = models.CharField(max_length=15, choices=choices_of(Part))
    locked = models.BooleanField(default=False)

    class Meta:
        ordering: ClassVar = ["planned_session_id", "position"]
        constraints: ClassVar = [
            models.UniqueConstraint(
                fields=["planned_session", "position"], name="pair_position_once"
            ),
            one_of("part", Part, "part_is_known"),
        ]

    def __str__(self) -> str:
        return f"{self.letter} ({self.part})"


class Prescription(models.Model):
    """One exercise as planned; ``targets`` holds reps or seconds for each set."""

    uid = models.UUIDField(default=uuid.uuid4, unique=True)
    pair = models.ForeignKey(Pair, on_delete=models.CASCADE, related_name="prescriptions")
    position = models.PositiveSmallIntegerField()
    exercise = models.ForeignKey(Exercise, on_delete=models.PROTECT, related_name="+")
    targets = models.JSONField()
    load_kg = models.DecimalField(max_digits=6, decimal_places=2, default=0)
    tempo = models.CharField(max_length=14)
    rest_s = models.PositiveSmallIntegerField()
    rir = models.PositiveSmallIntegerField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["pair_id", "position"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["pair", "position"], name="place_in_pair_once"),
            models.CheckConstraint(
                condition=Q(position__range=(1, 2)), name="a_pair_holds_one_or_two"
            ),
            models.CheckConstraint(condition=Q(load_kg__gte=0), name="planned_load_0_or_more"),
            models.CheckConstraint(condition=Q(rest_s__lte=900), name="rest_up_to_15_min"),
            models.CheckConstraint(
                condition=Q(rir__isnull=True) | Q(rir__lte=10), name="planned_rir_0_to_10"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.exercise_id}: {self.targets}"


class BlockVersion(models.Model):
    """How a block stood after one published change: who, when, what, why."""

    block = models.ForeignKey(Block, on_delete=models.CASCADE, related_name="versions")
    number = models.PositiveIntegerField()
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    what = models.CharField(max_length=200)
    why = models.CharField(max_length=500, blank=True)
    snapshot = PlanField()
    undoes = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.SET_NULL, related_name="undone_by"
    )

    class Meta:
        ordering: ClassVar = ["block_id", "number"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["block", "number"], name="block_version_once"),
        ]

    def __str__(self) -> str:
        return f"version {self.number}: {self.what}"


class BlockDraft(models.Model):
    """The working copy of a block: what its coach edits, unseen by the client until published.

    ``snapshot`` is the plan as edited, ``base`` the plan in the rows when it was last brought up
    to date, with ``based_on`` the newest version then. ``revision`` grows with every change of
    the working copy. ``place`` is how many edits of the list stand, ``top`` how many there are.
    """

    block = models.OneToOneField(Block, on_delete=models.CASCADE, related_name="draft")
    snapshot = PlanField()
    base = PlanField()
    based_on = models.ForeignKey(
        BlockVersion, null=True, on_delete=models.SET_NULL, related_name="+"
    )
    revision = models.PositiveIntegerField()
    place = models.PositiveIntegerField(default=0)
    top = models.PositiveIntegerField(default=0)
    published_revision = models.PositiveIntegerField(default=0)

    class Meta:
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(place__lte=models.F("top")), name="no_more_edits_stand_than_there_are"
            ),
        ]

    def __str__(self) -> str:
        return f"working copy of block {self.block_id}, revision {self.revision}"


class BlockEdit(models.Model):
    """One change of a working copy: an edit, an undo, a redo, or a version that was merged in.

    ``delta`` leads from the revision before to this one. ``place`` is where the edit stands in
    the list that undo and redo move along; undos and redos have none, nor what a newer edit
    has taken the place of. ``of`` is what an undo or redo is about. ``window`` and
    ``act_of_window`` are the id under which a page sent it.
    """

    draft = models.ForeignKey(BlockDraft, on_delete=models.CASCADE, related_name="edits")
    revision = models.PositiveIntegerField()
    place = models.PositiveIntegerField(null=True, blank=True)
    act = models.JSONField()
    what = models.CharField(max_length=300)
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    delta = models.JSONField()
    is_published = models.BooleanField(default=False)
    clashes = models.JSONField(default=list, blank=True)
    of = models.ForeignKey(
        "self", null=True, blank=True, on_delete=models.CASCADE, related_name="undos_and_redos"
    )
    window = models.UUIDField(null=True, blank=True)
    act_of_window = models.PositiveIntegerField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["draft_id", "revision"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["draft", "revision"], name="revision_once"),
            models.UniqueConstraint(fields=["draft", "place"], name="place_of_an_edit_once"),
            models.UniqueConstraint(
                fields=["draft", "window", "act_of_window"], name="act_of_a_window_once"
            ),
        ]

    def __str__(self) -> str:
        return f"edit {self.revision}: {self.what}"


class KeptEdit(models.Model):
    """An edit made on a plan that had changed meanwhile, kept until somebody decides.

    ``plan`` is the block as that window saw it with the edit in it; ``meanwhile`` says what
    others had changed: what, who and when. ``window`` and ``act_of_window`` are the id under
    which a page sent it.
    """

    block = models.ForeignKey(Block, on_delete=models.CASCADE, related_name="kept_edits")
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    revision = models.PositiveIntegerField()
    act = models.JSONField()
    what = models.CharField(max_length=300)
    plan = models.JSONField()
    meanwhile = models.JSONField()
    decided_at = models.DateTimeField(null=True, blank=True)
    decision = models.CharField(max_length=20, blank=True)
    window = models.UUIDField(null=True, blank=True)
    act_of_window = models.PositiveIntegerField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["block_id", "at"]

    def __str__(self) -> str:
        return f"kept: {self.what}"


class JointLimitOverride(models.Model):
    """The coach's word that a client may do one exercise in spite of a joint limit, with the reason.

    It covers the joint limits whose ids are in ``limits`` and no other; ``stresses`` says in words
    what they were about. Withdrawn, it stays as a record.
    """

    client = models.ForeignKey(
        Client, on_delete=models.CASCADE, related_name="joint_limit_overrides"
    )
    exercise = models.ForeignKey(Exercise, on_delete=models.PROTECT, related_name="+")
    limits = models.JSONField()
    stresses = models.JSONField()
    why = models.CharField(max_length=300)
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    given_at = models.DateTimeField(default=timezone.now)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_by = models.ForeignKey(
        User, null=True, blank=True, on_delete=models.SET_NULL, related_name="+"
    )

    class Meta:
        ordering: ClassVar = ["client_id", "-given_at", "-pk"]
        constraints: ClassVar = [
            models.CheckConstraint(condition=~Q(why=""), name="an_override_has_a_reason"),
            models.CheckConstraint(
                condition=Q(withdrawn_at__isnull=True) | Q(withdrawn_at__gte=models.F("given_at")),
                name="override_withdrawn_after_it_was_given",
            ),
        ]

    def __str__(self) -> str:
        return f"override: {', '.join(self.stresses)}"
