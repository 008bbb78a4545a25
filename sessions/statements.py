"""Rows of a log as a phone names their fields: in the data of a page, in a receipt, in a correction."""

from typing import Any

from clients.models import BodyWeight
from sessions.models import LineChange, LoggedSession, LoggedSet
from sessions.word_models import Word


def set_statement(row: LoggedSet) -> dict[str, Any]:
    """What is said of one set."""
    return {
        "uid": str(row.uid),
        "revision": row.revision,
        "prescription": str(row.prescription_uid) if row.prescription_uid else None,
        "exercise": row.exercise_id,
        "number": row.number,
        "amount": row.amount,
        "load": float(row.load_kg),
        "target": row.target,
        "target_load": None if row.target_load_kg is None else float(row.target_load_kg),
        "rir": row.rir,
        "pain": row.pain,
        "pain_where": row.pain_where,
        "note": row.note,
        "warm_up": row.warm_up,
        "done_at": row.done_at.isoformat(),
        "removed": row.removed_at is not None,
    }


def session_statement(row: LoggedSession) -> dict[str, Any]:
    """What is said of a whole session."""
    return {
        "uid": str(row.uid),
        "revision": row.revision,
        "rpe": None if row.rpe is None else float(row.rpe),
        "note": row.note,
        "finished_at": row.finished_at.isoformat() if row.finished_at else None,
        "skipped_reason": row.skipped_reason,
        "done_at": row.started_at.isoformat(),
    }


def line_statement(row: LineChange) -> dict[str, Any]:
    """What became of one planned exercise on the day."""
    return {
        "uid": str(row.uid),
        "revision": row.revision,
        "prescription": str(row.prescription_uid),
        "change": row.change,
        "exercise": row.exercise_id,
        "reason": row.reason,
        "done_at": row.done_at.isoformat(),
        "removed": row.removed_at is not None,
    }


def weight_statement(row: BodyWeight) -> dict[str, Any]:
    """What the body weighed on a day."""
    return {"on": row.on.isoformat(), "kg": float(row.kg)}


def word_statement(row: Word) -> dict[str, Any]:
    """What a client wrote to the coach."""
    return {
        "uid": str(row.uid),
        "revision": row.revision,
        "week": row.answers.week_starts_on.isoformat() if row.answers else None,
        "text": row.text,
        "done_at": row.said_at.isoformat(),
        "removed": row.removed_at is not None,
    }
