"""Wordings that a coach uses again: five of ours to begin with, then the coach's own."""

import re
from collections.abc import Sequence
from uuid import UUID, uuid5

from django.db import transaction
from django.utils import timezone

from clients.models import User
from sessions.word_models import WordTemplate

PLACEHOLDERS = ("name", "exercise", "target")
_OPEN = re.compile(r"\{(" + "|".join(PLACEHOLDERS) + r")\}")
_OURS = UUID("7a0f3c52-8f0b-4f5e-9b36-52a3f4ad9f0e")

STARTING = (
    (
        "A good week",
        "Good week, {name}. {exercise} goes up next time: {target}. Keep the last rep as clean as "
        "the first.",
    ),
    (
        "Same again",
        "{name}, we stay with {exercise} for one more week: {target}. Same tempo, full range, and "
        "stop before the form goes.",
    ),
    (
        "Sessions missed",
        "{name}, some sessions of this week stayed open. What got in the way, and which days would "
        "suit you better? I will move the plan around them.",
    ),
    (
        "Something hurts",
        "{name}, please leave {exercise} out for now. Where is it, what brings it on, is it sharp, "
        "and is it still there next morning? If it gets worse or you feel numb or weak, see a "
        "doctor and do not wait for me.",
    ),
    (
        "A light week",
        "{name}, next week is light on purpose: less work, the same quality. Stop every set well "
        "before it gets hard, and sleep as much as you can.",
    ),
)


def open_placeholder(text: str) -> str:
    """The first placeholder that nobody filled in; empty when there is none.

    >>> open_placeholder("Good week, Cleo. {exercise} next."), open_placeholder("Hi {you}")
    ('{exercise}', '')
    """
    found = _OPEN.search(text)
    return found.group() if found else ""


def templates_of(coach: User) -> list[WordTemplate]:
    """A coach's wordings in order, ours while the coach has changed none; 1 query."""
    rows = list(WordTemplate.objects.filter(coach=coach))
    return [one for one in rows or _starting(coach) if one.removed_at is None]


def removed_templates(coach: User) -> list[WordTemplate]:
    """The wordings that a coach has removed, latest first; 1 query."""
    gone = WordTemplate.objects.filter(coach=coach, removed_at__isnull=False)
    return list(gone.order_by("-removed_at"))


def _starting(coach: User) -> list[WordTemplate]:
    """Ours, with ids that are the same each time, so that a page may name one before it is kept."""
    return [
        WordTemplate(
            uid=uuid5(_OURS, f"{coach.pk} {name}"), coach=coach, name=name, text=text, place=place
        )
        for place, (name, text) in enumerate(STARTING, start=1)
    ]


def _own_rows(coach: User) -> list[WordTemplate]:
    """A coach's rows to write in; ours are kept as the coach's own with the first change."""
    User.objects.select_for_update().get(pk=coach.pk)
    rows = WordTemplate.objects.filter(coach=coach)
    if not rows.exists():
        WordTemplate.objects.bulk_create(_starting(coach))
    return list(rows.order_by("place", "pk"))


def find_template(coach: User, uid: UUID) -> WordTemplate | None:
    """One wording of a coach, kept or still ours; 1 query."""
    rows = list(WordTemplate.objects.filter(coach=coach)) or _starting(coach)
    return next((one for one in rows if one.uid == uid), None)


@transaction.atomic
def add_template(*, coach: User, name: str, text: str) -> WordTemplate:
    """A new wording, last in the list."""
    rows = _own_rows(coach)
    place = max((one.place for one in rows), default=0) + 1
    return WordTemplate.objects.create(
        coach=coach, name=name.strip(), text=text.strip(), place=place
    )


@transaction.atomic
def change_template(*, coach: User, uid: UUID, name: str, text: str) -> WordTemplate:
    """Another name or wording."""
    row = _row(_own_rows(coach), uid)
    row.name, row.text = name.strip(), text.strip()
    row.save(update_fields=["name", "text"])
    return row


@transaction.atomic
def remove_template(*, coach: User, uid: UUID, put_back: bool = False) -> WordTemplate:
    """Take a wording off the list, or put it back in its place."""
    row = _row(_own_rows(coach), uid)
    row.removed_at = None if put_back else timezone.now()
    row.save(update_fields=["removed_at"])
    return row


@transaction.atomic
def move_template(*, coach: User, uid: UUID, up: bool) -> None:
    """One place up or down among those on the list; at the end it stays."""
    rows = _own_rows(coach)
    listed = [one for one in rows if one.removed_at is None]
    at = listed.index(_row(listed, uid))
    to = at - 1 if up else at + 1
    if not 0 <= to < len(listed):
        return
    listed[at], listed[to] = listed[to], listed[at]
    gone = [one for one in rows if one.removed_at is not None]
    for place, row in enumerate([*listed, *gone], start=1):
        row.place = place
    WordTemplate.objects.bulk_update(rows, ["place"])


def _row(rows: Sequence[WordTemplate], uid: UUID) -> WordTemplate:
    return next(one for one in rows if one.uid == uid)
