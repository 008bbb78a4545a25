"""Which of two statements about the same thing stands, and what is kept of the other.

A phone gives every statement an id of its own (``edit``), so that one that arrives twice is
known, and one of another phone is not taken for it. Nothing that was said is thrown away.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Any, Protocol
from uuid import UUID

from clients.models import Client, User
from sessions.errors import EntryError
from sessions.models import Correction, LoggedSession, StatementKind

DAYS_OPEN_TO_CORRECT = 14
"""How far back a client logs and corrects; what is older, the coach corrects."""


@dataclass(frozen=True, slots=True)
class Sender:
    """Whose log it is, and who writes in it."""

    client: Client
    by: User | None

    @property
    def is_coach(self) -> bool:
        """Whether a coach writes for the client."""
        return self.by is not None and self.by.is_coach


@dataclass(frozen=True, slots=True)
class Receipt:
    """What the phone gets back for an entry: its id, and the revision now stored.

    ``now`` is what is stored, where that is not what the phone sent.
    """

    uid: str
    revision: int
    now: Mapping[str, Any] | None = None


class Statement(Protocol):
    """A row that keeps what was said last."""

    revision: int
    edit: UUID | None


class Ruling(Enum):
    """What becomes of a statement beside the one that stands."""

    FIRST = "nothing was said before"
    REPLACES = "it takes the place of what stands, which is kept beside it"
    KNOWN = "it was received before"
    LATE = "it is older than what stands, and is kept beside it"


def ruling(
    sender: Sender, stored: Statement | None, entry_uid: UUID, data: Mapping[str, Any]
) -> Ruling:
    """What becomes of an entry beside what is stored; at most 1 query."""
    if stored is None or stored.revision == 0:
        return Ruling.FIRST
    is_newer: bool = data["revision"] > stored.revision
    if data["edit"] is None:
        return Ruling.REPLACES if is_newer else Ruling.KNOWN
    if is_known(sender, stored.edit, entry_uid, data["edit"]):
        return Ruling.KNOWN
    return Ruling.LATE if data["revision"] < stored.revision else Ruling.REPLACES


def is_known(sender: Sender, stored: UUID | None, entry_uid: UUID, edit: UUID) -> bool:
    """Whether a statement was received before, whether it stands or not; at most 1 query."""
    kept = Correction.objects.filter(client=sender.client, entry_uid=entry_uid, edit=edit)
    return stored == edit or kept.exists()


def next_revision(stored: Statement | None, data: Mapping[str, Any]) -> int:
    """The revision under which a statement is stored: above all that stood before it."""
    return max(int(data["revision"]), stored.revision + 1 if stored else 0)


def is_told(stored: Statement, data: Mapping[str, Any]) -> bool:
    """Whether the phone that sent this knows already what is stored."""
    edit: UUID | None = data["edit"]
    revision: int = data["revision"]
    return stored.revision <= revision if edit is None else stored.edit == edit


def keep_beside(
    sender: Sender,
    kind: StatementKind,
    statement: tuple[UUID, UUID | None],
    values: Mapping[str, Any],
    *,
    revision: int,
    session: LoggedSession | None = None,
    was_late: bool = False,
) -> None:
    """Keep a statement that does not stand; ``statement`` is the id of its entry and its own."""
    entry_uid, edit = statement
    Correction.objects.create(
        client=sender.client,
        logged_session=session,
        entry_uid=entry_uid,
        edit=edit,
        kind=kind,
        revision=revision,
        values=dict(values),
        by=sender.by,
        was_late=was_late,
    )


def refuse_after_two_weeks(sender: Sender, on: date, today: date) -> None:
    """Refuse to let a client correct what the coach has long since planned with."""
    if not sender.is_coach and (today - on).days > DAYS_OPEN_TO_CORRECT:
        message = (
            f"This session is more than {DAYS_OPEN_TO_CORRECT} days old and can no longer be "
            "corrected here; tell your coach, who can."
        )
        raise EntryError(message)
