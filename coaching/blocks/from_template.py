"""A template turned into the weeks of one client's block."""

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from uuid import uuid4

from clients.models import Client
from coaching.blocks.errors import BlockError
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePlan,
    TemplateSession,
)
from coaching.blocks.snapshots import Line, SessionData, Snapshot
from coaching.library.models import Exercise
from coaching.library.queries import exercise_value
from coaching.rules import plan

_LEVELS = [level.value for level in plan.Level]


def candidates_for(client: Client, rows: Iterable[Exercise]) -> tuple[plan.Exercise, ...]:
    """The exercises that suit a client's level, to choose a replacement from."""
    highest = _LEVELS.index(client.level)
    return tuple(exercise_value(row) for row in rows if _LEVELS.index(row.level) <= highest)


def snapshot_from_template(
    made: TemplatePlan, rows: Mapping[str, Exercise], starts_on: date
) -> Snapshot:
    """All weeks of a template from a first day on, every week alike.

    Raises:
        BlockError: The template asks for an exercise that is not in ``rows``.
    """
    return {
        "weeks": [
            {
                "starts_on": (starts_on + timedelta(weeks=index)).isoformat(),
                "kind": kind.value,
                "sessions": [
                    _session(one, starts_on + timedelta(weeks=index), rows) for one in made.sessions
                ],
            }
            for index, kind in enumerate(made.week_kinds)
        ]
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
