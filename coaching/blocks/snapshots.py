"""A whole block as plain data: what a version keeps, and what a change produces.

Every change of a block is a function from one snapshot to the next; one writer,
``snapshot_writer``, puts the result into the rows. So a preview, a change and an undo
are the same thing, and a session that is past or begun is left alone in one place.
"""

from collections.abc import Callable, Iterator, Mapping
from datetime import date, timedelta
from typing import NotRequired, TypedDict
from uuid import uuid4

from coaching.blocks.editing.values import MOST_RIR
from coaching.blocks.models import Pair, PlannedSession
from coaching.rules import plan


class Line(TypedDict):
    """One prescription; ``exercise`` is the row id."""

    uid: str
    exercise: int
    name: str
    targets: list[int]
    load_kg: float
    tempo: str
    rest_s: int
    rir: int | None


class PairData(TypedDict):
    """One or two lines under a letter; ``locked`` is left out when it is not."""

    letter: str
    part: str
    lines: list[Line]
    locked: NotRequired[bool]


class SessionData(TypedDict):
    """One planned session; ``locked`` is left out when it is not."""

    uid: str
    name: str
    on: str
    pairs: list[PairData]
    locked: NotRequired[bool]


class WeekData(TypedDict):
    """One week; its number follows from the order of the weeks."""

    starts_on: str
    kind: str
    sessions: list[SessionData]


class Snapshot(TypedDict):
    """A whole block."""

    weeks: list[WeekData]


def session_data(row: PlannedSession) -> SessionData:
    """One planned session fetched by ``with_plan`` as plain data; no query."""
    data: SessionData = {
        "uid": str(row.uid),
        "name": row.name,
        "on": row.on.isoformat(),
        "pairs": [_pair_data(pair) for pair in row.pairs.all()],
    }
    if row.locked:
        data["locked"] = True
    return data


def _pair_data(row: Pair) -> PairData:
    data: PairData = {
        "letter": row.letter,
        "part": row.part,
        "lines": [
            {
                "uid": str(p.uid),
                "exercise": p.exercise_id,
                "name": p.exercise.name,
                "targets": list(p.targets),
                "load_kg": float(p.load_kg),
                "tempo": p.tempo,
                "rest_s": p.rest_s,
                "rir": p.rir,
            }
            for p in row.prescriptions.all()
        ],
    }
    if row.locked:
        data["locked"] = True
    return data


def week_data(week: plan.PlannedWeek, rows: Mapping[str, int]) -> WeekData:
    """A week value as plain data; ``rows`` names each exercise's row by its key."""
    return {
        "starts_on": week.starts_on.isoformat(),
        "kind": week.kind.value,
        "sessions": [
            {
                "uid": session.key,
                "name": session.name,
                "on": session.on.isoformat(),
                "pairs": [
                    {
                        "letter": pair.letter,
                        "part": pair.part.value,
                        "lines": [_line(p, rows) for p in pair.prescriptions],
                    }
                    for pair in session.pairs
                ],
            }
            for session in week.sessions
        ],
    }


def _line(value: plan.Prescription, rows: Mapping[str, int]) -> Line:
    return {
        "uid": value.key,
        "exercise": rows[value.exercise.key],
        "name": value.exercise.name,
        "targets": list(value.targets),
        "load_kg": value.load,
        "tempo": str(value.tempo),
        "rest_s": value.rest,
        "rir": value.rir,
    }


def week_as_value(
    data: WeekData, number: int, exercises: Mapping[int, plan.Exercise]
) -> plan.PlannedWeek:
    """A week of a snapshot as the rules see it; ``exercises`` is by row id."""

    def pair(one: PairData) -> plan.Pair:
        part = plan.Part(one["part"])
        lines = tuple(line_as_value(ln, part, exercises) for ln in one["lines"])
        return plan.Pair(one["letter"], part, lines)

    return plan.PlannedWeek(
        number=number,
        kind=plan.WeekKind(data["kind"]),
        starts_on=date.fromisoformat(data["starts_on"]),
        sessions=tuple(
            plan.PlannedSession(
                key=one["uid"],
                name=one["name"],
                on=date.fromisoformat(one["on"]),
                pairs=tuple(pair(p) for p in one["pairs"] if p["lines"]),
            )
            for one in data["sessions"]
        ),
    )


def line_as_value(
    line: Line, part: plan.Part, exercises: Mapping[int, plan.Exercise]
) -> plan.Prescription:
    """One line as the rules see it; ``exercises`` is by row id."""
    return plan.Prescription(
        key=line["uid"],
        exercise=exercises[line["exercise"]],
        targets=tuple(line["targets"]),
        load=line["load_kg"],
        tempo=plan.Tempo.parse(line["tempo"]),
        rest=line["rest_s"],
        part=part,
        rir=line["rir"],
    )


def lines_of(
    snapshot: Snapshot, *, since: date | None = None
) -> Iterator[tuple[SessionData, Line]]:
    """Every prescription with its session, from a day on when one is given."""
    for week in snapshot["weeks"]:
        for session in week["sessions"]:
            if since is None or date.fromisoformat(session["on"]) >= since:
                for pair in session["pairs"]:
                    for line in pair["lines"]:
                        yield session, line


def locked_in(snapshot: Snapshot) -> frozenset[str]:
    """The uids of the sessions that are locked, and of the lines of pairs that are."""
    sessions = [one for week in snapshot["weeks"] for one in week["sessions"]]
    pairs = [pair for one in sessions for pair in one["pairs"] if pair.get("locked")]
    return frozenset(
        {one["uid"] for one in sessions if one.get("locked")}
        | {line["uid"] for pair in pairs for line in pair["lines"]}
    )


def moved(week: WeekData, days: int) -> WeekData:
    """The same week that many days later."""
    shift = timedelta(days=days)
    return {
        "starts_on": (date.fromisoformat(week["starts_on"]) + shift).isoformat(),
        "kind": week["kind"],
        "sessions": [
            {**s, "on": (date.fromisoformat(s["on"]) + shift).isoformat()} for s in week["sessions"]
        ],
    }


def light_week_data(usual: WeekData, light: plan.PlannedWeek) -> WeekData:
    """The light week in data, with uids of its own, after the usual week it was made from."""
    usual_lines = {
        line["uid"]: line for s in usual["sessions"] for p in s["pairs"] for line in p["lines"]
    }
    return {
        "starts_on": light.starts_on.isoformat(),
        "kind": plan.WeekKind.DELOAD.value,
        "sessions": [_light_session(session, usual_lines) for session in light.sessions],
    }


def _light_session(session: plan.PlannedSession, usual_lines: dict[str, Line]) -> SessionData:
    return {
        "uid": str(uuid4()),
        "name": session.name,
        "on": session.on.isoformat(),
        "pairs": [
            {
                "letter": pair.letter,
                "part": pair.part.value,
                "lines": [
                    {
                        **usual_lines[p.key],
                        "uid": str(uuid4()),
                        "targets": list(p.targets),
                        "load_kg": p.load,
                        "rir": None if p.rir is None else min(p.rir, MOST_RIR),
                    }
                    for p in pair.prescriptions
                    if p.targets
                ],
            }
            for pair in session.pairs
            if any(p.targets for p in pair.prescriptions)
        ],
    }


def with_light_week(
    snapshot: Snapshot, light: WeekData, *, days: int = 7, replaces: bool = False
) -> Snapshot:
    """The block with a light spell put in; what follows moves on, or what is there gives way.

    A week that the first day falls into is cut there. What follows moves on by whole
    weeks, so that training days stay on their weekdays. ``replaces`` drops what is planned
    in those days instead, in a week at the least, and nothing moves.
    """
    start = date.fromisoformat(light["starts_on"])
    end = start + timedelta(days=max(days, 7))
    cut = split_week(snapshot, start)
    if replaces:
        cut = split_week(cut, end)
    before = [week for week in cut["weeks"] if week["starts_on"] < start.isoformat()]
    after = [week for week in cut["weeks"] if week["starts_on"] >= start.isoformat()]
    if replaces:
        kept = [week for week in after if week["starts_on"] >= end.isoformat()]
        return {"weeks": [*before, light, *kept]}
    shift = 7 * -(-days // 7)
    return {"weeks": [*before, light, *(moved(week, shift) for week in after)]}


def with_lines_changed(
    snapshot: Snapshot,
    wanted: Callable[[SessionData, PairData, Line], bool],
    change: Callable[[PairData, Line], Line],
    *,
    since: date,
    light_too: bool = False,
) -> Snapshot:
    """The block with some prescriptions changed from a day on.

    Light weeks stay as they are, unless ``light_too`` says that they change alike.
    """

    def pair(session: SessionData, data: PairData) -> PairData:
        lines = [change(data, ln) if wanted(session, data, ln) else ln for ln in data["lines"]]
        return {**data, "lines": lines}

    def session(data: SessionData) -> SessionData:
        if date.fromisoformat(data["on"]) < since:
            return data
        return {**data, "pairs": [pair(data, p) for p in data["pairs"]]}

    return {
        "weeks": [
            {**week, "sessions": [session(s) for s in week["sessions"]]}
            if light_too or week["kind"] != plan.WeekKind.DELOAD
            else week
            for week in snapshot["weeks"]
        ]
    }


def split_week(snapshot: Snapshot, start: date) -> Snapshot:
    """Cut the week that a day falls into, so that what is left of it can move on."""
    weeks: list[WeekData] = []
    cut = start.isoformat()
    for week in snapshot["weeks"]:
        ends_on = date.fromisoformat(week["starts_on"]) + timedelta(days=6)
        if week["starts_on"] < cut <= ends_on.isoformat():
            first = [s for s in week["sessions"] if s["on"] < cut]
            rest = [s for s in week["sessions"] if s["on"] >= cut]
            if first or not rest:
                weeks.append({**week, "sessions": first})
            if rest:
                weeks.append({**week, "starts_on": cut, "sessions": rest})
        else:
            weeks.append(week)
    return {"weeks": weeks}
