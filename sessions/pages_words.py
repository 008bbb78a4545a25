"""What coach and client said to each other, in the order of time, with what was decided."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from itertools import groupby
from typing import Any
from zoneinfo import ZoneInfo

from django.db.models import Q
from django.urls import reverse

from clients.models import Client, User
from coaching.rules.care import NOT_AT_ONCE
from sessions.models import Decision, LoggedSession, WeekReview
from sessions.pages_decisions import decision_words
from sessions.pages_my_log import phone_data
from sessions.queries import kept_sets
from sessions.word_lines import ThreadLine, Voice, seen_words, word_line
from sessions.word_models import LONGEST_WORD, PrivateNote, Word, WordTemplate
from sessions.word_templates import templates_of

WEEKS_SHOWN = 8


@dataclass(frozen=True)
class ThreadDay:
    """Everything of one day by the client's calendar, newest first."""

    on: date
    lines: tuple[ThreadLine, ...]


@dataclass(frozen=True)
class WordsPage:
    """A stretch of the thread, newest day first."""

    client: Client
    for_coach: bool
    days: tuple[ThreadDay, ...]
    until: datetime
    earlier: date | None
    is_newest: bool
    has_new: bool
    data: dict[str, Any]
    templates: tuple[WordTemplate, ...]
    not_at_once: str = NOT_AT_ONCE
    longest: int = LONGEST_WORD

    @property
    def first_name(self) -> str:
        """The name that a coach would use in a sentence."""
        return self.client.name.partition(" ")[0]


@dataclass(frozen=True)
class Stretch:
    """The weeks that a page shows, as moments by the client's clock."""

    client: Client
    start: datetime
    end: datetime
    is_newest: bool

    @property
    def zone(self) -> ZoneInfo:
        """Where the client lives."""
        return ZoneInfo(self.client.time_zone)

    @property
    def both(self) -> tuple[datetime, datetime]:
        """As a query reads a range."""
        return (self.start, self.end)


def words_page(
    client: Client, user: User, now: datetime, urls: dict[str, str], before: date | None
) -> WordsPage:
    """The thread of a client; 8 queries, 3 more for a coach, who also sees private notes and templates."""
    today = client.local_date(now)
    last = min(before - timedelta(days=1), today) if before else today
    first = last - timedelta(weeks=WEEKS_SHOWN)
    zone = ZoneInfo(client.time_zone)
    stretch = Stretch(
        client,
        datetime.combine(first, time(), zone).astimezone(UTC),
        datetime.combine(last + timedelta(days=1), time(), zone).astimezone(UTC),
        is_newest=last == today,
    )
    lines = [*_notes(stretch), *_words(stretch, user), *_session_words(stretch)]
    lines += _decisions(stretch, user)
    if user.is_coach:
        lines += _private(stretch)
    return WordsPage(
        client=client,
        for_coach=user.is_coach,
        days=_days(stretch, lines),
        until=now,
        earlier=first if _is_anything_before(stretch) else None,
        is_newest=stretch.is_newest,
        has_new=any(line.is_new for line in lines),
        data=phone_data(client, user, today, urls),
        templates=tuple(templates_of(user)) if user.is_coach else (),
    )


def _days(stretch: Stretch, lines: Iterable[ThreadLine]) -> tuple[ThreadDay, ...]:
    ordered = sorted(lines, key=lambda line: line.at, reverse=True)
    by_day = groupby(ordered, key=lambda line: stretch.client.local_date(line.at))
    return tuple(ThreadDay(on, tuple(group)) for on, group in by_day)


def _is_anything_before(stretch: Stretch) -> bool:
    client, start = stretch.client, stretch.start
    return (
        Word.objects.filter(client=client, said_at__lt=start).exists()
        or WeekReview.objects.filter(client=client, note_sent_at__lt=start).exists()
        or LoggedSession.objects.filter(client=client, started_at__lt=start)
        .exclude(note="", skipped_reason="")
        .exists()
    )


def _notes(stretch: Stretch) -> list[ThreadLine]:
    rows = WeekReview.objects.filter(client=stretch.client, note_sent_at__range=stretch.both)
    return [
        ThreadLine(
            at=row.note_sent_at,
            voice=Voice.COACH,
            who=row.by.name if row.by else "Coach",
            what=f"note after the week of {row.week_starts_on.day} {row.week_starts_on:%b}",
            texts=(row.note_to_client,),
            state=seen_words(stretch.client, row.note_read_at),
        )
        for row in rows.select_related("by")
        if row.note_sent_at
    ]


def _words(stretch: Stretch, user: User) -> list[ThreadLine]:
    """What was said; what is marked as read from the newest page stands on it, however old."""
    shown = Q(said_at__range=stretch.both)
    if stretch.is_newest:
        unread = Q(read_at=None, removed_at=None, from_client=user.is_coach)
        # A phone's clock that is ahead puts a word after today.
        shown |= unread | Q(said_at__gt=stretch.end)
    rows = Word.objects.filter(shown, client=stretch.client)
    if not user.is_coach:
        rows = rows.filter(removed_at=None)
    return [
        word_line(row, for_coach=user.is_coach)
        for row in rows.select_related("by", "answers", "client")
    ]


def _session_words(stretch: Stretch) -> list[ThreadLine]:
    client = stretch.client
    sessions = LoggedSession.objects.filter(client=client, started_at__range=stretch.both)
    found = []
    for row in sessions.exclude(note="", skipped_reason=""):
        skipped = f"skipped: {row.skipped_reason}" if row.skipped_reason else ""
        texts = tuple(filter(None, (row.note, skipped)))
        at = row.finished_at or row.started_at
        found.append(_logged(client, at, row.name, texts))
    sets = kept_sets().filter(logged_session__client=client, done_at__range=stretch.both)
    for one in sets.exclude(note="").select_related("exercise"):
        what = f"{one.exercise.name}, set {one.number}"
        found.append(_logged(client, one.done_at, what, (one.note,)))
    return found


def _logged(client: Client, at: datetime, what: str, texts: tuple[str, ...]) -> ThreadLine:
    return ThreadLine(
        at=at,
        voice=Voice.CLIENT,
        who=client.name,
        what=f"in the log, {what}",
        texts=texts,
    )


def _decisions(stretch: Stretch, user: User) -> list[ThreadLine]:
    """Every decision for the coach; for the client what changed the plan and still holds."""
    rows = Decision.objects.filter(review__client=stretch.client, at__range=stretch.both)
    if not user.is_coach:
        rows = rows.filter(version__isnull=False, undone_at=None)
    rows = rows.select_related("review", "exercise", "by").order_by("at", "pk")
    acts = groupby(rows, key=lambda one: (one.review_id, one.at))
    return [_decided(stretch.client, list(same), user) for _, same in acts]


def _decided(client: Client, same: list[Decision], user: User) -> ThreadLine:
    first = same[0]
    page = reverse("sessions:review-client", args=[client.pk])
    week = first.review.week_starts_on.isoformat()
    return ThreadLine(
        at=first.at,
        voice=Voice.DECIDED,
        who=_decider(first),
        what=_did(first, user),
        texts=tuple(decision_words(one, for_coach=user.is_coach) for one in same),
        state="taken back" if first.undone_at else "",
        link=f"{page}?week={week}" if user.is_coach else "",
    )


def _decider(decision: Decision) -> str:
    if decision.automatic:
        return "The plan"
    return decision.by.name if decision.by else "Coach"


def _did(decision: Decision, user: User) -> str:
    if decision.automatic:
        return "stepped up by itself"
    return "decided" if user.is_coach else "changed in the plan"


def _private(stretch: Stretch) -> list[ThreadLine]:
    """What is for the coach alone: beside a week, and on its own."""
    client = stretch.client
    reviews = WeekReview.objects.filter(client=client, reviewed_at__range=stretch.both)
    found = [
        ThreadLine(
            at=row.reviewed_at,
            voice=Voice.PRIVATE,
            who=row.by.name if row.by else "Coach",
            what=f"beside the week of {row.week_starts_on.day} {row.week_starts_on:%b}",
            texts=(row.private_note,),
        )
        for row in reviews.exclude(private_note="").select_related("by")
        if row.reviewed_at
    ]
    notes = PrivateNote.objects.filter(client=client, at__range=stretch.both)
    return [*found, *(_private_line(note) for note in notes.select_related("by"))]


def _private_line(note: PrivateNote) -> ThreadLine:
    return ThreadLine(
        at=note.at,
        voice=Voice.PRIVATE,
        who=note.by.name if note.by else "Coach",
        what="",
        texts=(note.text,),
        state="taken back" if note.removed_at else "",
        pk=note.pk,
        is_removed=note.removed_at is not None,
    )
