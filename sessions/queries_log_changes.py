"""Reads of what was corrected, taken back, swapped and skipped in logged sessions."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from clients.models import Client
from coaching.blocks.limit_queries import joints_of
from coaching.library.models import Exercise
from coaching.library.queries import exercise_values
from coaching.rules.joint_limits import JointLimit
from sessions.models import (
    ChangeKind,
    Correction,
    LineChange,
    LoggedSession,
    LoggedSet,
    StatementKind,
)


@dataclass(frozen=True)
class LogChanges:
    """What was said otherwise in some sessions; by the id of the entry, oldest first."""

    sessions: tuple[LoggedSession, ...]
    sets: tuple[LoggedSet, ...]
    lines: tuple[LineChange, ...]
    corrections: dict[UUID, list[Correction]]
    names: dict[int, str]
    blocking: dict[int, tuple[JointLimit, ...]]
    """By the id of a swap: the joint limits that forbid what was done."""

    @property
    def skips(self) -> dict[tuple[int, str], str]:
        """Why planned exercises were left out, by session and line of the plan."""
        return {
            (line.logged_session_id, str(line.prescription_uid)): line.reason
            for line in self.lines
            if line.change == ChangeKind.SKIP and line.removed_at is None
        }


def log_changes(client: Client, rows: Iterable[LoggedSession], *, with_limits: bool) -> LogChanges:
    """What was said otherwise in some of a client's sessions; 4 queries, 4 more for joint limits."""
    sessions = tuple(rows)
    kept = Correction.objects.filter(logged_session__in=sessions).select_related("by")
    corrections: dict[UUID, list[Correction]] = defaultdict(list)
    for one in kept.order_by("at", "pk"):
        corrections[one.entry_uid].append(one)
    uids = [uid for uid, said in corrections.items() if said[0].kind == StatementKind.SET]
    sets = LoggedSet.objects.filter(uid__in=uids).select_related("exercise")
    changes = LineChange.objects.filter(logged_session__in=sessions).select_related("exercise")
    lines = tuple(changes.order_by("done_at", "pk"))
    return LogChanges(
        sessions=sessions,
        sets=tuple(sets.order_by("done_at", "pk")),
        lines=lines,
        corrections=corrections,
        names=_names(sessions, lines, corrections),
        blocking=_blocking(client, sessions, lines) if with_limits else {},
    )


def changes_since(client: Client, day: date) -> LogChanges:
    """What was said otherwise in a client's sessions since a day; 5 queries, 4 more for limits."""
    return log_changes(
        client, LoggedSession.objects.filter(client=client, on__gte=day), with_limits=True
    )


def planned_exercises(session: LoggedSession) -> dict[str, int]:
    """Which exercise each line of the plan asked for, as the log keeps it; no query."""
    return {
        line["uid"]: line["exercise"]
        for kept in session.plan
        for pair in kept["pairs"]
        for line in pair["lines"]
    }


def _names(
    sessions: Iterable[LoggedSession],
    lines: Iterable[LineChange],
    corrections: dict[UUID, list[Correction]],
) -> dict[int, str]:
    said = {one.values.get("exercise") for kept in corrections.values() for one in kept}
    changed = {line.logged_session_id for line in lines}
    planned = {
        pk
        for session in sessions
        if session.pk in changed
        for pk in planned_exercises(session).values()
    }
    wanted = {pk for pk in said | planned if pk}
    return dict(Exercise.objects.filter(pk__in=wanted).values_list("pk", "name"))


def _blocking(
    client: Client, sessions: Iterable[LoggedSession], lines: Iterable[LineChange]
) -> dict[int, tuple[JointLimit, ...]]:
    """The joint limits that forbid what was swapped in, as they stood on the day."""
    of_session = {session.pk: session for session in sessions}
    done = [(line, line.exercise_id) for line in lines if line.exercise_id]
    if not done:
        return {}
    joints = joints_of(client)
    values = exercise_values({pk for _, pk in done}) if joints.limits else {}
    return {
        line.pk: joints.blocking(values[pk], of_session[line.logged_session_id].on)
        for line, pk in done
        if pk in values
    }
