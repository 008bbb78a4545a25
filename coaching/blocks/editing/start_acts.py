"""A block that nobody has seen yet, and whose first days have gone by: it starts later."""

from datetime import date, timedelta

from coaching.blocks.editing.places import Edited, EditSetting
from coaching.blocks.editing.values import Raw
from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import SessionData, Snapshot, moved

_WEEK_DAYS = 7


def late_sessions(plan: Snapshot, today: date) -> int:
    """How many sessions of a plan lie before today."""
    return sum(one["on"] < today.isoformat() for one in _sessions(plan))


def later_start(plan: Snapshot, today: date) -> date:
    """The first day of the plan moved on by whole weeks, so that no session lies before today."""
    return date.fromisoformat(plan["weeks"][0]["starts_on"]) + timedelta(days=_days(plan, today))


def start_later(snapshot: Snapshot, _raw: Raw, setting: EditSetting) -> Edited:
    """The whole plan on the same weekdays, from the first week in which nothing of it is past.

    Raises BlockError when the client sees the block, or nothing of it is past.
    """
    if setting.is_seen:
        message = "The client sees this block; what is past of it stays as it was."
        raise BlockError(message)
    days = _days(snapshot, setting.today)
    if not days:
        message = "No session lies before today; there is nothing to move."
        raise BlockError(message)
    start = later_start(snapshot, setting.today)
    plan: Snapshot = {"weeks": [moved(week, days) for week in snapshot["weeks"]]}
    touched = frozenset(one["uid"] for one in _sessions(plan))
    return Edited(plan, f"The block starts on {start:%-d %b}", touched)


def _days(plan: Snapshot, today: date) -> int:
    first = min((date.fromisoformat(one["on"]) for one in _sessions(plan)), default=today)
    weeks = -(-max(0, (today - first).days) // _WEEK_DAYS)
    return weeks * _WEEK_DAYS


def _sessions(plan: Snapshot) -> list[SessionData]:
    return [one for week in plan["weeks"] for one in week["sessions"]]
