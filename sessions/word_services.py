"""Writes of what coach and client say to each other."""

from collections.abc import Mapping
from copy import copy
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils import timezone

from clients.models import Client, User
from sessions.errors import EntryError
from sessions.models import StatementKind, WeekReview
from sessions.revisions import (
    Receipt,
    Ruling,
    Sender,
    is_told,
    keep_beside,
    next_revision,
    refuse_after_two_weeks,
    ruling,
)
from sessions.statements import word_statement
from sessions.word_models import PrivateNote, Word


def say_to_client(review: WeekReview, note: str) -> None:
    """Put the note of a week in its place; another wording is sent anew. The caller saves."""
    if note == review.note_to_client:
        return
    review.note_to_client = note
    review.note_sent_at = review.reviewed_at if note else None
    review.note_read_at = None


def record_word(*, sender: Sender, data: Mapping[str, Any]) -> Receipt:
    """Keep a client's word, or a newer wording of it; the former one is kept beside it."""
    _refuse_of_coach(sender)
    rows = Word.objects.select_for_update(of=("self",)).select_related("answers")
    row = rows.filter(uid=data["uid"]).first()
    if row is not None and (row.client_id != sender.client.pk or not row.from_client):
        message = "Your word: this entry belongs to somebody else; write it again."
        raise EntryError(message)
    found = ruling(sender, row, data["uid"], data)
    if row is not None and found in (Ruling.KNOWN, Ruling.LATE):
        if found is Ruling.LATE:
            said = copy(row)
            _say(said, data)
            _keep(sender, said, edit=data["edit"], revision=data["revision"], was_late=True)
        return _receipt(row, data)
    if row is None:
        row = Word(uid=data["uid"], client=sender.client, by=sender.by, from_client=True)
        row.answers = _answered(sender.client, data["week"])
    else:
        today = sender.client.local_date(timezone.now())
        refuse_after_two_weeks(sender, sender.client.local_date(row.said_at), today)
        _keep(sender, row, edit=row.edit, revision=row.revision)
    _say(row, data)
    row.revision, row.edit = next_revision(row, data), data["edit"]
    # What was read before is not what stands now, and no page of an earlier moment showed it.
    row.read_at, row.received_at = None, timezone.now()
    row.save()
    return _receipt(row, data)


def _refuse_of_coach(sender: Sender) -> None:
    if sender.is_coach:
        message = "Your word: only the client answers here; write to the client under Words."
        raise EntryError(message)


def _answered(client: Client, week: date | None) -> WeekReview | None:
    """The week whose note is answered; who answers a note has seen it."""
    if week is None:
        return None
    review = WeekReview.objects.filter(client=client, week_starts_on=week).first()
    if review is not None and review.note_sent_at and review.note_read_at is None:
        review.note_read_at = timezone.now()
        review.save(update_fields=["note_read_at"])
    return review


def _say(row: Word, data: Mapping[str, Any]) -> None:
    row.text, row.said_at = data["text"], data["done_at"]
    row.removed_at = timezone.now() if data["removed"] else None


def _keep(sender: Sender, row: Word, *, edit: Any, revision: int, was_late: bool = False) -> None:
    statement = (row.uid, edit)
    keep_beside(
        sender,
        StatementKind.WORD,
        statement,
        word_statement(row) | {"revision": revision},
        revision=revision,
        was_late=was_late,
    )


def _receipt(row: Word, data: Mapping[str, Any]) -> Receipt:
    now = None if is_told(row, data) else word_statement(row)
    return Receipt(str(data["uid"]), row.revision, now)


@transaction.atomic
def client_has_seen(
    *, client: Client, until: datetime, week: date | None, at: datetime | None = None
) -> None:
    """The client had the coach's words up to a moment on the screen, and the note of a week."""
    now = at or timezone.now()
    words = Word.objects.filter(client=client, from_client=False, said_at__lte=until)
    words.filter(read_at=None).update(read_at=now)
    if week is not None:
        notes = WeekReview.objects.filter(client=client, week_starts_on=week, note_read_at=None)
        notes.filter(note_sent_at__lte=until).update(note_read_at=now)


def coach_has_read(*, client: Client, until: datetime, at: datetime | None = None) -> None:
    """The coach has read what a client wrote and had sent up to a moment."""
    words = Word.objects.filter(client=client, from_client=True, received_at__lte=until)
    words.filter(read_at=None).update(read_at=at or timezone.now())


@transaction.atomic
def write_to_client(*, client: Client, text: str, by: User, at: datetime | None = None) -> Word:
    """A word of the coach beside the note of a week; it is shown on Today until it was seen."""
    now = at or timezone.now()
    return Word.objects.create(
        client=client, by=by, from_client=False, text=text.strip(), said_at=now, received_at=now
    )


def keep_private_note(*, client: Client, text: str, by: User) -> PrivateNote:
    """What the coach notes about a client, for nobody else."""
    return PrivateNote.objects.create(client=client, by=by, text=text.strip())


def take_back(*, row: Word | PrivateNote, put_back: bool = False) -> None:
    """Take back what a coach wrote, or put it back; the words stay."""
    row.removed_at = None if put_back else timezone.now()
    row.save(update_fields=["removed_at"])
