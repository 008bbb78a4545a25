"""What coach and client write to each other, and what the coach keeps apart."""

import uuid
from typing import ClassVar

from django.db import models
from django.db.models import Q
from django.utils import timezone

from clients.models import Client, User

LONGEST_WORD = 2000


class Word(models.Model):
    """One word from a client to the coach or back; a client's uid is made on the phone.

    ``answers`` is the week whose note a client answers; ``read_at`` is when the other side had
    it on the screen.
    """

    uid = models.UUIDField(default=uuid.uuid4, unique=True)
    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="words")
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    from_client = models.BooleanField()
    answers = models.ForeignKey(
        "client_sessions.WeekReview",
        null=True,
        blank=True,
        on_delete=models.SET_NULL,
        related_name="answers",
    )
    text = models.TextField(max_length=LONGEST_WORD, blank=True)
    said_at = models.DateTimeField(default=timezone.now)
    received_at = models.DateTimeField(default=timezone.now)
    read_at = models.DateTimeField(null=True, blank=True)
    revision = models.PositiveIntegerField(default=0)
    edit = models.UUIDField(null=True, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["client_id", "said_at", "pk"]
        constraints: ClassVar = [
            models.CheckConstraint(
                condition=Q(from_client=True) | Q(answers__isnull=True),
                name="only_a_client_answers_a_note",
            ),
        ]
        indexes: ClassVar = [models.Index(fields=["client", "said_at"], name="word_client_said_at")]

    def __str__(self) -> str:
        return f"{'client' if self.from_client else 'coach'}: {self.text[:40]}"


class PrivateNote(models.Model):
    """What the coach notes about a client, for nobody else.

    A table of its own, so that no page of a client comes to read it with what was said.
    """

    client = models.ForeignKey(Client, on_delete=models.CASCADE, related_name="private_notes")
    by = models.ForeignKey(User, null=True, on_delete=models.SET_NULL, related_name="+")
    text = models.TextField(max_length=LONGEST_WORD)
    at = models.DateTimeField(default=timezone.now)
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["client_id", "at", "pk"]

    def __str__(self) -> str:
        return f"private: {self.text[:40]}"


class WordTemplate(models.Model):
    """A wording that a coach uses again; ``place`` is its place in the list."""

    uid = models.UUIDField(default=uuid.uuid4, unique=True)
    coach = models.ForeignKey(User, on_delete=models.CASCADE, related_name="word_templates")
    name = models.CharField(max_length=60)
    text = models.TextField(max_length=LONGEST_WORD)
    place = models.PositiveSmallIntegerField()
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering: ClassVar = ["coach_id", "place", "pk"]

    def __str__(self) -> str:
        return self.name
