"""Entries as a phone sends them, for one planned session of a client."""

from datetime import datetime
from typing import Any
from uuid import uuid4

from coaching.blocks.models import PlannedSession, Prescription


def set_entry(planned: PlannedSession, at: datetime, **fields: Any) -> dict[str, Any]:
    """The first set of a planned session's first exercise, done as asked at that moment."""
    line = Prescription.objects.filter(pair__planned_session=planned).order_by("pair", "pk")[0]
    return {
        "kind": "set",
        "uid": str(uuid4()),
        "revision": 1,
        "client": planned.week.block.client_id,
        "session": str(planned.uid),
        "planned_session": str(planned.uid),
        "session_name": planned.name,
        "exercise": line.exercise_id,
        "prescription": str(line.uid),
        "number": 1,
        "amount": line.targets[0],
        "load": float(line.load_kg),
        "target": line.targets[0],
        "target_load": float(line.load_kg),
        "rir": None,
        "pain": None,
        "pain_where": "",
        "note": "",
        "warm_up": False,
        "removed": False,
        "done_at": at.isoformat(),
        **fields,
    }


def session_entry(planned: PlannedSession, at: datetime, **fields: Any) -> dict[str, Any]:
    """What is said of a whole planned session."""
    return {
        "kind": "session",
        "uid": str(planned.uid),
        "revision": 1,
        "session": str(planned.uid),
        "planned_session": str(planned.uid),
        "session_name": planned.name,
        "done_at": at.isoformat(),
        "rpe": None,
        "note": "",
        "finished_at": None,
        "skipped_reason": "",
        **fields,
    }


def line_entry(line: Prescription, at: datetime, **fields: Any) -> dict[str, Any]:
    """That a planned exercise is swapped or skipped; ``fields`` say which and why."""
    planned = line.pair.planned_session
    return {
        "kind": "line",
        "uid": str(uuid4()),
        "revision": 1,
        "session": str(planned.uid),
        "planned_session": str(planned.uid),
        "session_name": planned.name,
        "prescription": str(line.uid),
        "change": "skip",
        "exercise": None,
        "reason": "",
        "removed": False,
        "done_at": at.isoformat(),
        **fields,
    }
