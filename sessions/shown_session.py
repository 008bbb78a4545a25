"""Which session a phone page is about."""

from dataclasses import dataclass

from coaching.blocks.models import PlannedSession
from sessions.models import LoggedSession

DAYS_OPEN = 7
"""How many days back a planned session can still be done, and ahead a page can be kept."""


@dataclass(frozen=True)
class Shown:
    """A session as planned, as logged, or both; neither when it is yet to be made up."""

    planned: PlannedSession | None = None
    logged: LoggedSession | None = None


def logged_of(row: PlannedSession) -> LoggedSession | None:
    """What was logged of a planned session, without asking the database again."""
    return getattr(row, "logged_session", None)
