"""Writes of what was done: entries from a phone, kept once and never lost."""

from collections.abc import Callable, Mapping
from copy import copy
from typing import Any, TypeVar

from django.db import IntegrityError, transaction
from django.utils import timezone

from clients.models import BodyWeight, Client, User
from sessions.entries import checked
from sessions.errors import EntryError
from sessions.models import ChangeKind, LineChange, LoggedSession, LoggedSet, StatementKind
from sessions.queries import kept_sets
from sessions.revisions import (
    Receipt,
    Ruling,
    Sender,
    is_known,
    is_told,
    keep_beside,
    next_revision,
    refuse_after_two_weeks,
    ruling,
)
from sessions.session_of_entry import begin_anew, exercise_for, locked, mark_planned, session_for
from sessions.statements import (
    line_statement,
    session_statement,
    set_statement,
    weight_statement,
)
from sessions.word_services import record_word

__all__ = ["Receipt", "record_entry"]

_SET_FIELDS = ("number", "amount", "rir", "pain", "pain_where", "note", "warm_up", "done_at")
_SESSION_FIELDS = ("rpe", "note", "finished_at", "skipped_reason")


def record_entry(*, client: Client, entry: Mapping[str, Any], by: User | None = None) -> Receipt:
    """Keep one entry of a phone in one transaction; sent twice, it is kept once.

    ``kind`` is ``set``, ``session``, ``line``, ``weight`` or ``word``; ``by`` is who sent it. Raises
    EntryError with the field and the remedy when it cannot be kept; nothing is written then.
    """
    kind, data = checked(entry)
    record = _RECORDERS[kind]
    sender = Sender(client, by)
    try:
        with transaction.atomic():
            return record(sender=sender, data=data)
    except IntegrityError:
        # The same entry, or another first one of its session, was kept in this very
        # moment by another request. It is in the database now, so this time it is found.
        with transaction.atomic():
            return record(sender=sender, data=data)


def record_set(*, sender: Sender, data: Mapping[str, Any]) -> Receipt:
    """Keep one set, or a newer statement about it; an older one is kept beside it."""
    row, found = _spoken_of(LoggedSet, StatementKind.SET, sender, data)
    if found in (Ruling.KNOWN, Ruling.LATE):
        return _receipt(data, row, set_statement(row))
    session = row.logged_session = locked(row.logged_session) if row.pk else row.logged_session
    exercise_for(sender.client, data["exercise"])
    if not data["removed"]:
        begin_anew(session, sender.client, data)
    _say_set(row, data)
    row.save()
    if session.skipped_reason and not data["removed"]:
        # Somebody trained after all, on this phone or another: the set is the evidence.
        session.skipped_reason = ""
        session.save(update_fields=["skipped_reason"])
    mark_planned(session)
    return _receipt(data, row, set_statement(row))


def record_session(*, sender: Sender, data: Mapping[str, Any]) -> Receipt:
    """Keep what is said of a whole session: its effort, a word, its end, or why not."""
    session = session_for(sender.client, data)
    found = ruling(sender, session, session.uid, data)
    if found is Ruling.LATE:
        _keep_late(sender, StatementKind.SESSION, session, data)
    if found in (Ruling.KNOWN, Ruling.LATE):
        return _receipt(data, session, session_statement(session))
    if data["skipped_reason"] and kept_sets().filter(logged_session=session).exists():
        message = "Skip: sets of this session are already logged; finish it instead."
        raise EntryError(message)
    if found is Ruling.REPLACES:
        _keep_replaced(sender, StatementKind.SESSION, session)
    if not session.skipped_reason and (data["finished_at"] or data["skipped_reason"]):
        begin_anew(session, sender.client, data)
    _say_session(session, data)
    session.save()
    mark_planned(session)
    return _receipt(data, session, session_statement(session))


def record_line(*, sender: Sender, data: Mapping[str, Any]) -> Receipt:
    """Keep that a planned exercise was swapped or skipped, or that it was not after all.

    What was done is kept even where a joint limit speaks against it: the coach sees it.
    """
    row, found = _spoken_of(LineChange, StatementKind.LINE, sender, data)
    if found in (Ruling.KNOWN, Ruling.LATE):
        return _receipt(data, row, line_statement(row))
    if data["change"] == ChangeKind.SWAP:
        exercise_for(sender.client, data["exercise"])
    _say_line(row, data)
    row.save()
    return _receipt(data, row, line_statement(row))


def record_body_weight(*, sender: Sender, data: Mapping[str, Any]) -> Receipt:
    """Keep the body weight of a day; another one on that day takes its place."""
    client, on = sender.client, data["on"]
    row = BodyWeight.objects.select_for_update().filter(client=client, on=on).first()
    receipt = Receipt(str(data["uid"]), data["revision"])
    if row is not None and data["edit"] is not None:
        if row.edit == data["edit"]:
            return receipt
        if is_known(sender, row.edit, data["uid"], data["edit"]):
            return Receipt(receipt.uid, receipt.revision, weight_statement(row))
    if row is not None:
        statement = (row.entry_uid or data["uid"], row.edit)
        values = weight_statement(row)
        keep_beside(sender, StatementKind.WEIGHT, statement, values, revision=1)
    row = row or BodyWeight(client=client, on=on)
    row.kg, row.entry_uid, row.edit = data["kg"], data["uid"], data["edit"]
    row.save()
    LoggedSession.objects.filter(client=client, on=on).update(body_weight_kg=data["kg"])
    return receipt


_RECORDERS: Mapping[str, Callable[..., Receipt]] = {
    "set": record_set,
    "session": record_session,
    "line": record_line,
    "weight": record_body_weight,
    "word": record_word,
}

_Row = LoggedSet | LoggedSession | LineChange
_InSession = TypeVar("_InSession", LoggedSet, LineChange)


def _spoken_of(
    model: type[_InSession], kind: StatementKind, sender: Sender, data: Mapping[str, Any]
) -> tuple[_InSession, Ruling]:
    """The row that an entry speaks of, locked or new, and what becomes of the entry.

    The statement that does not stand, be it the row's or the entry's, is kept beside it here.
    """
    row = (
        model.objects.select_for_update(of=("self",))
        .select_related("logged_session")
        .filter(uid=data["uid"])
        .first()
    )
    _refuse_of_somebody_else(sender, row)
    found = ruling(sender, row, data["uid"], data)
    if row is None:
        return model(uid=data["uid"], logged_session=session_for(sender.client, data)), found
    if found is Ruling.LATE:
        _keep_late(sender, kind, row, data)
    elif found is not Ruling.KNOWN:
        _keep_replaced(sender, kind, row)
    return row, found


def _say_set(row: LoggedSet, data: Mapping[str, Any]) -> None:
    for field in _SET_FIELDS:
        setattr(row, field, data[field])
    row.exercise_id = data["exercise"]
    row.load_kg = data["load"] or 0
    row.target, row.target_load_kg = data["target"], data["target_load"]
    row.prescription_uid = data["prescription"]
    _put_in_place(row, data)
    row.removed_at = timezone.now() if data["removed"] else None


def _say_session(row: LoggedSession, data: Mapping[str, Any]) -> None:
    for field in _SESSION_FIELDS:
        setattr(row, field, data[field])
    _put_in_place(row, data)


def _say_line(row: LineChange, data: Mapping[str, Any]) -> None:
    row.prescription_uid, row.change = data["prescription"], data["change"]
    row.exercise_id = data["exercise"] if data["change"] == ChangeKind.SWAP else None
    row.reason, row.done_at = data["reason"], data["done_at"]
    _put_in_place(row, data)
    row.removed_at = timezone.now() if data["removed"] else None


def _put_in_place(row: _Row, data: Mapping[str, Any]) -> None:
    row.revision, row.edit = next_revision(row, data), data["edit"]


def _statement_of(row: _Row) -> dict[str, Any]:
    match row:
        case LoggedSet():
            return set_statement(row)
        case LineChange():
            return line_statement(row)
        case LoggedSession():
            return session_statement(row)


def _session_of(row: _Row) -> LoggedSession:
    return row if isinstance(row, LoggedSession) else row.logged_session


def _keep_replaced(sender: Sender, kind: StatementKind, row: _Row) -> None:
    """Keep what stands beside what comes in its place; a client may do so for two weeks."""
    session = _session_of(row)
    refuse_after_two_weeks(sender, session.on, sender.client.local_date(timezone.now()))
    statement = (row.uid, row.edit)
    revision = row.revision
    keep_beside(sender, kind, statement, _statement_of(row), revision=revision, session=session)


def _keep_late(sender: Sender, kind: StatementKind, row: _Row, data: Mapping[str, Any]) -> None:
    """Keep what another phone said earlier and sent later."""
    said = copy(row)
    match said:
        case LoggedSet():
            _say_set(said, data)
        case LineChange():
            _say_line(said, data)
        case LoggedSession():
            _say_session(said, data)
    said.revision = data["revision"]
    keep_beside(
        sender,
        kind,
        (row.uid, data["edit"]),
        _statement_of(said),
        revision=said.revision,
        session=_session_of(row),
        was_late=True,
    )


def _receipt(data: Mapping[str, Any], row: _Row, stored: Mapping[str, Any]) -> Receipt:
    now = None if is_told(row, data) else stored
    return Receipt(str(data["uid"]), row.revision, now)


def _refuse_of_somebody_else(sender: Sender, row: LoggedSet | LineChange | None) -> None:
    if row is not None and row.logged_session.client_id != sender.client.pk:
        kind = "Set" if isinstance(row, LoggedSet) else "Exercise"
        message = f"{kind}: this entry belongs to somebody else; log it again."
        raise EntryError(message)
