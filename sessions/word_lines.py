"""One line of what coach and client said: in the thread, and in the panel of the review."""

from dataclasses import dataclass
from datetime import date, datetime
from enum import Enum

from clients.models import Client
from sessions.models import WeekReview
from sessions.word_models import Word, WordTemplate
from sessions.word_queries import moment_words, unread_words
from sessions.word_templates import templates_of
from sessions.word_warnings import caution_words


class Voice(Enum):
    """Who speaks in a line of the thread."""

    COACH = "coach"
    CLIENT = "client"
    DECIDED = "decided"
    PRIVATE = "private"


@dataclass(frozen=True)
class ThreadLine:
    """One thing that was said, logged as words, or decided."""

    at: datetime
    voice: Voice
    who: str
    what: str
    """Beside which the words stand: the note of a week, a session, an exercise; else empty."""
    texts: tuple[str, ...]
    state: str = ""
    link: str = ""
    caution: str = ""
    uid: str = ""
    pk: int = 0
    is_removed: bool = False
    is_new: bool = False


def seen_words(client: Client, at: datetime | None) -> str:
    """When the other side had it on the screen."""
    return f"seen {moment_words(client, at)}" if at else "not seen yet"


def word_line(row: Word, *, for_coach: bool) -> ThreadLine:
    """A word as a line of the thread; a warning in it is told to the coach."""
    week = row.answers.week_starts_on if row.answers else None
    is_told = row.from_client and for_coach
    return ThreadLine(
        at=row.said_at,
        voice=Voice.CLIENT if row.from_client else Voice.COACH,
        who=row.client.name if row.from_client else row.by.name if row.by else "Coach",
        what=f"answer to the note after the week of {week.day} {week:%b}" if week else "",
        texts=(row.text,),
        state=_state_of(row),
        caution=caution_words(row.text) if is_told and not row.removed_at else "",
        uid=str(row.uid),
        is_removed=row.removed_at is not None,
        is_new=row.read_at is None and row.removed_at is None and row.from_client == for_coach,
    )


def _state_of(row: Word) -> str:
    if row.removed_at:
        return "taken back"
    changed = "changed, " if row.revision > 1 else ""
    if not row.from_client:
        return changed + seen_words(row.client, row.read_at)
    return changed + (
        f"read {moment_words(row.client, row.read_at)}" if row.read_at else "not read yet"
    )


@dataclass(frozen=True)
class PanelWords:
    """What the panel of a week shows of the thread."""

    waiting: tuple[ThreadLine, ...]
    said: tuple[ThreadLine, ...]
    note_state: str
    until: str
    """When the newest of them was received; what comes later was not shown."""
    templates: tuple[WordTemplate, ...]


def panel_words(client: Client, week: tuple[date, date], review: WeekReview | None) -> PanelWords:
    """What the client wrote and the coach has not read, and what was said in a week; 2 queries."""
    rows = unread_words(client, week)
    lines = [word_line(row, for_coach=True) for row in rows]
    note = review if review and review.note_sent_at and review.note_to_client else None
    state = ""
    if note is not None:
        sent = moment_words(client, note.note_sent_at)
        state = f"Sent {sent}, {seen_words(client, note.note_read_at)}."
    return PanelWords(
        waiting=tuple(line for line in lines if line.is_new),
        said=tuple(line for line in lines if not line.is_new),
        note_state=state,
        until=max((row.received_at.isoformat() for row in rows), default=""),
        templates=tuple(templates_of(client.coach)),
    )
