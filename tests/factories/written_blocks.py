"""Small blocks written by hand, line by line, for tests that need a certain plan."""

from collections.abc import Collection, Mapping, Sequence
from datetime import date, timedelta
from uuid import uuid4

from clients.models import Client
from coaching.blocks.editing.draft_services import publish_changes
from coaching.blocks.models import Block
from coaching.blocks.services import create_block
from coaching.blocks.snapshots import Line, SessionData, WeekData
from coaching.library.models import Exercise
from coaching.rules.plan import WeekKind

BUILD = WeekKind.BUILD
Asked = tuple[str, str, tuple[int, ...], float]
"""Part, name of a shared exercise, targets and load [kg]."""


def written_block(
    client: Client,
    starts_on: date,
    weeks: Sequence[Mapping[str, Sequence[Asked]]],
    light: Collection[int] = (),
) -> Block:
    """A published block; each week names its sessions, on every second day, and their lines.

    Weeks are usual ones, but those whose places from 0 on are named in ``light``.
    """
    names = {line[1] for week in weeks for session in week.values() for line in session}
    shared = Exercise.objects.filter(coach=None, name__in=names)
    rows = {row.name: row for row in shared}
    assert rows.keys() == names
    plan = [
        _week(week, starts_on + timedelta(weeks=n), rows, WeekKind.DELOAD if n in light else BUILD)
        for n, week in enumerate(weeks)
    ]
    block = create_block(client=client, name="By hand", snapshot={"weeks": plan})
    publish_changes(block=block, by=client.coach, today=starts_on)
    return block


def _week(
    sessions: Mapping[str, Sequence[Asked]],
    starts_on: date,
    rows: Mapping[str, Exercise],
    kind: WeekKind,
) -> WeekData:
    made = [
        _session(name, lines, starts_on + timedelta(days=2 * place), rows)
        for place, (name, lines) in enumerate(sessions.items())
    ]
    return {"starts_on": starts_on.isoformat(), "kind": kind.value, "sessions": made}


def _session(
    name: str, lines: Sequence[Asked], on: date, rows: Mapping[str, Exercise]
) -> SessionData:
    return {
        "uid": str(uuid4()),
        "name": name,
        "on": on.isoformat(),
        "pairs": [
            {
                "letter": chr(ord("A") + place),
                "part": part,
                "lines": [_line(rows[exercise], targets, load)],
            }
            for place, (part, exercise, targets, load) in enumerate(lines)
        ],
    }


def _line(row: Exercise, targets: Sequence[int], load: float) -> Line:
    return {
        "uid": str(uuid4()),
        "exercise": row.pk,
        "name": row.name,
        "targets": list(targets),
        "load_kg": load,
        "tempo": row.tempo,
        "rest_s": 120,
        "rir": 2,
    }
