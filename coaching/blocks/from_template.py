"""A template turned into the weeks of one client's block."""

from collections.abc import Collection, Iterable, Mapping
from datetime import date, timedelta
from uuid import uuid4

from clients.models import Client
from coaching.blocks.errors import BlockError
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePlan,
    TemplateSession,
)
from coaching.blocks.snapshots import Line, SessionData, Snapshot, WeekData
from coaching.library.models import Exercise
from coaching.library.queries import exercise_value
from coaching.rules import plan
from coaching.rules.stand_in import Known

LEVELS = [level.value for level in plan.Level]


def candidates_for(client: Client, rows: Iterable[Exercise]) -> tuple[plan.Exercise, ...]:
    """The exercises that suit a client's level, to choose a replacement from."""
    highest = LEVELS.index(client.level)
    return tuple(exercise_value(row) for row in rows if LEVELS.index(row.level) <= highest)


def known_of(client: Client, rows: Iterable[Exercise], done: Collection[str] = ()) -> Known:
    """For which level each exercise is, beside the client's own, and what was done before."""
    levels = {row.key: LEVELS.index(row.level) for row in rows}
    return Known(done, levels, LEVELS.index(client.level))


def snapshot_from_template(
    made: TemplatePlan, rows: Mapping[str, Exercise], starts_on: date
) -> Snapshot:
    """All weeks of a template from a first day on, light weeks as they are written there.

    Raises:
        BlockError: The template asks for an exercise that is not in ``rows``.
    """
    return {
        "weeks": [
            _week(kind, week.sessions, starts_on + timedelta(days=week.after), rows)
            for kind, week in zip(made.week_kinds, made.weeks, strict=True)
        ]
    }


def _week(
    kind: plan.WeekKind,
    sessions: Iterable[TemplateSession],
    first_day: date,
    rows: Mapping[str, Exercise],
) -> WeekData:
    return {
        "starts_on": first_day.isoformat(),
        "kind": kind.value,
        "sessions": [_session(one, first_day, rows) for one in sessions],
    }


def _session(
    session: TemplateSession, first_day: date, rows: Mapping[str, Exercise]
) -> SessionData:
    return {
        "uid": str(uuid4()),
        "name": session.name,
        "on": (first_day + timedelta(days=session.day)).isoformat(),
        "pairs": [
            {
                "letter": pair.letter,
                "part": pair.part.value,
                "lines": [_line(line, rows) for line in pair.lines],
            }
            for pair in session.pairs
        ],
    }


def _line(line: TemplateLine, rows: Mapping[str, Exercise]) -> Line:
    row = rows.get(line.exercise_key)
    if row is None:
        message = f"The template asks for “{line.exercise_key}”, which is not in your library."
        raise BlockError(message)
    return {
        "uid": str(uuid4()),
        "exercise": row.pk,
        "name": row.name,
        "targets": list(line.targets),
        "load_kg": line.load,
        "tempo": line.tempo,
        "rest_s": line.rest,
        "rir": line.rir,
    }
