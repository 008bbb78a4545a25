"""People: accounts, clients, and what a coach must know before planning."""

import zoneinfo
from datetime import date, datetime
from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models import Q
from django.db.models.functions import Lower
from django.utils import timezone

from clients.enum_columns import choices_of, one_of
from coaching.rules.joint_limits import LimitAction
from coaching.rules.plan import EquipmentKind, JointStress, Level
from coaching.rules.watchfulness import USUAL_BUDGET, Watchfulness, budgets, choice_for


class Role(models.TextChoices):
    """What an account is for."""

    COACH = "coach", "coach"
    CLIENT = "client", "client"


class UserManager(BaseUserManager["User"]):
    """Makes accounts; the e-mail address is the name one signs in with."""

    def create_account(
        self, *, email: str, name: str, role: str, password: str | None = None
    ) -> "User":
        """A new account; without a password it can be entered by link only."""
        user = self.model(email=self.normalize_email(email).lower(), name=name, role=role)
        if password is None:
            user.set_unusable_password()
        else:
            user.set_password(password)
        user.save(using=self._db)
        return user


class User(AbstractBaseUser):
    """An account: a coach, or a client who logs on the phone."""

    email = models.EmailField(unique=True)
    name = models.CharField(max_length=120)
    role = models.CharField(max_length=10, choices=Role.choices)
    is_active = models.BooleanField(default=True)
    created_at = models.DateTimeField(default=timezone.now)
    # How watchful the review is for a coach's clients; it says nothing in a client's account.
    false_alarms_a_year = models.FloatField(default=USUAL_BUDGET)

    objects: ClassVar[UserManager] = UserManager()

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = ["name"]

    class Meta:
        constraints: ClassVar = [
            models.UniqueConstraint(Lower("email"), name="one_account_per_email"),
            models.CheckConstraint(condition=Q(role__in=Role.values), name="user_role_is_known"),
            models.CheckConstraint(
                condition=Q(false_alarms_a_year__in=budgets()),
                name="false_alarms_a_year_is_a_choice",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def is_coach(self) -> bool:
        """Whether this account is a coach's."""
        return self.role == Role.COACH

    @property
    def watchfulness(self) -> Watchfulness:
        """How watchful the review is for this coach's clients, and what that finds."""
        return choice_for(self.false_alarms_a_year)


class SignInLink(models.Model):
    """A link that signs one account in; only the hash of its token is kept."""

    user = models.ForeignKey(User, on_delete=models.CASCADE, related_name="sign_in_links")
    token_hash = models.CharField(max_length=64, unique=True)
    created_at = models.DateTimeField(default=timezone.now)
    expires_at = models.DateTimeField()

    def __str__(self) -> str:
        return f"link of {self.user_id}"


class FailedSignIn(models.Model):
    """One failed try to sign in; who and from where is kept as a hash only."""

    key_hash = models.CharField(max_length=64)
    at = models.DateTimeField()

    class Meta:
        indexes: ClassVar = [models.Index(fields=["key_hash", "at"], name="failed_sign_in_key")]

    def __str__(self) -> str:
        return f"failed sign-in at {self.at:%H:%M}"


class Sex(models.TextChoices):
    """Which segment table the load estimates use; unstated takes the mean of both."""

    UNSTATED = "unstated", "not stated"
    FEMALE = "female", "female"
    MALE = "male", "male"


class ClientQuerySet(models.QuerySet["Client"]):
    """Words that narrow down a roster."""

    def active(self) -> "ClientQuerySet":
        """Clients in training, without those who left."""
        return self.filter(archived_at__isnull=True)


class Client(models.Model):
    """One person who trains with one coach."""

    coach = models.ForeignKey(User, on_delete=models.PROTECT, related_name="clients")
    user = models.OneToOneField(
        User, null=True, blank=True, on_delete=models.SET_NULL, related_name="client"
    )
    name = models.CharField(max_length=120)
    time_zone = models.CharField(max_length=64, default="UTC")
    level = models.CharField(max_length=20, choices=choices_of(Level), default=Level.BEGINNER.value)
    sex = models.CharField(max_length=10, choices=Sex.choices, default=Sex.UNSTATED)
    stature_cm = models.PositiveSmallIntegerField(null=True, blank=True)
    born_in = models.PositiveSmallIntegerField(null=True, blank=True)
    minutes = models.PositiveSmallIntegerField(default=60)
    asks_rir = models.BooleanField(default=True)
    # Whether routine steps up go into the plan without the coach, who sees them in the review.
    steps_up_by_itself = models.BooleanField(default=False)
    goal_words = models.CharField(max_length=300, blank=True)
    screening_note = models.TextField(blank=True)
    screened_on = models.DateField(null=True, blank=True)
    screening_answers = models.JSONField(default=dict, blank=True)
    cleared_on = models.DateField(null=True, blank=True)
    created_at = models.DateTimeField(default=timezone.now)
    archived_at = models.DateTimeField(null=True, blank=True)

    objects = ClientQuerySet.as_manager()

    class Meta:
        ordering: ClassVar = ["name", "pk"]
        constraints: ClassVar = [
            one_of("level", Level, "client_level_is_known"),
            models.CheckConstraint(
                condition=Q(stature_cm__isnull=True) | Q(stature_cm__range=(120, 230)),
                name="client_stature_120_to_230_cm",
            ),
            models.CheckConstraint(
                condition=Q(minutes__range=(15, 180)), name="client_minutes_15_to_180"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def local_date(self, now: datetime) -> date:
        """The date at that moment where the client lives."""
        return now.astimezone(zoneinfo.ZoneInfo(self.time_zone)).date()


class BodyWeight(models.Model):
    """Body weight on a day [kg]."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="body_weights")
    on = models.DateField()
    kg = models.DecimalField(max_digits=5, decimal_places=2)
    # The entry of a phone that stands and its statement, by the ids that the phone gave them.
    entry_uid = models.UUIDField(null=True, blank=True)
    edit = models.UUIDField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["client_id", "on"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["client", "on"], name="one_body_weight_a_day"),
            models.CheckConstraint(
                condition=Q(kg__gte=25) & Q(kg__lte=300), name="body_weight_25_to_300_kg"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kg} kg on {self.on}"


class Equipment(models.Model):
    """Something a client can train with, and the pieces that make its loads."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="equipment")
    kind = models.CharField(max_length=30, choices=choices_of(EquipmentKind))
    pieces = models.JSONField(default=list, blank=True)
    bar_kg = models.DecimalField(max_digits=5, decimal_places=2, default=0)

    class Meta:
        ordering: ClassVar = ["client_id", "kind"]
        constraints: ClassVar = [
            models.UniqueConstraint(fields=["client", "kind"], name="one_row_per_equipment"),
            one_of("kind", EquipmentKind, "equipment_kind_is_known"),
            models.CheckConstraint(condition=Q(bar_kg__gte=0), name="bar_weighs_0_kg_or_more"),
        ]

    def __str__(self) -> str:
        return self.kind


class JointLimit(models.Model):
    """A loading that a client avoids, regresses or watches."""

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="joint_limits")
    stress = models.CharField(max_length=40, choices=choices_of(JointStress))
    action = models.CharField(max_length=10, choices=choices_of(LimitAction))
    side = models.CharField(max_length=10, blank=True)
    note = models.CharField(max_length=300, blank=True)
    since = models.DateField()
    until = models.DateField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["client_id", "stress"]
        constraints: ClassVar = [
            one_of("stress", JointStress, "joint_stress_is_known"),
            one_of("action", LimitAction, "limit_action_is_known"),
            models.CheckConstraint(
                condition=Q(until__isnull=True) | Q(until__gte=models.F("since")),
                name="joint_limit_ends_after_it_starts",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.action}: {self.stress}"
