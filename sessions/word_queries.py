"""Reads of what coach and client say to each other."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Count, Q

from clients.models import Client
from sessions.models import WeekReview
from sessions.queries_phone import latest_note
from sessions.review_words import short_day
from sessions.statements import word_statement
from sessions.word_models import Word


def moment_words(client: Client, at: datetime | None) -> str:
    """A moment by the client's clock: Tue 3 Mar 08:10; empty when there is none."""
    if at is None:
        return ""
    local = at.astimezone(ZoneInfo(client.time_zone))
    return f"{local:%a} {local.day} {local:%b %H:%M}"


@dataclass(frozen=True)
class CoachWords:
    """What the coach says to a client on Today: the note of the week, and words not yet seen."""

    note: str
    by: str
    at: str
    week: str
    others: tuple[Word, ...]
    until: datetime
    """Up to when this was read; what comes later was not on the screen."""
    is_new: bool
    answer: Word | None

    @property
    def is_any(self) -> bool:
        """Whether there is something to read."""
        return bool(self.note or self.others)

    @property
    def data(self) -> dict[str, Any] | None:
        """The answer as the phone works on it."""
        if self.answer is None:
            return None
        seen = moment_words(self.answer.client, self.answer.read_at)
        return word_statement(self.answer) | {"seen": seen}


def coach_words(client: Client, now: datetime) -> CoachWords:
    """What Today shows of the coach's words; 3 queries."""
    note = latest_note(client)
    others = Word.objects.filter(client=client, from_client=False, read_at=None, removed_at=None)
    unread = tuple(others.select_related("by"))
    is_new = bool(unread) or (note is not None and note.note_read_at is None)
    said_by = note.by if note else unread[-1].by if unread else None
    said_at = note.note_sent_at if note else unread[-1].said_at if unread else None
    return CoachWords(
        note=note.note_to_client if note else "",
        by=said_by.name if said_by else "",
        at=short_day(client.local_date(said_at)) if said_at else "",
        week=note.week_starts_on.isoformat() if note else "",
        others=unread,
        until=now,
        is_new=is_new,
        answer=_answer_to(note) if note else None,
    )


def _answer_to(note: WeekReview) -> Word | None:
    words = Word.objects.filter(answers=note, removed_at=None).select_related("client", "answers")
    return words.order_by("-said_at", "-pk").first()


def unread_words(client: Client, week: tuple[date, date]) -> list[Word]:
    """A client's words that the coach has not read, and those of a week; 1 query."""
    zone = ZoneInfo(client.time_zone)
    start = datetime.combine(week[0], time(), zone)
    end = datetime.combine(week[1] + timedelta(days=1), time(), zone)
    words = Word.objects.filter(client=client, from_client=True, removed_at=None)
    words = words.filter(Q(read_at=None) | Q(said_at__gte=start, said_at__lt=end))
    return list(words.select_related("by", "answers", "client").order_by("said_at", "pk"))


def unread_answers(clients: Iterable[Client]) -> dict[int, int]:
    """How many words of each client the coach has not read, for those with any; 1 query."""
    waiting = Word.objects.filter(
        client__in=list(clients), from_client=True, read_at=None, removed_at=None
    )
    counted = waiting.order_by().values("client").annotate(count=Count("pk"))
    return {row["client"]: row["count"] for row in counted}
