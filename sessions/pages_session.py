"""One planned session as the phone shows it: pairs around the spine, set by set."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from clients.templatetags.in_words import rest as rest_words
from coaching.blocks.models import Pair, PlannedSession, Prescription
from coaching.rules import plan
from coaching.rules.loads import EquipmentItem, available_loads
from sessions.models import LoggedSession, LoggedSet
from sessions.queries_phone import LastTime
from sessions.set_words import amount_words, done_words, load_words, sets_words


@dataclass(frozen=True)
class Line:
    """One exercise of a pair with what is asked for, and how it went last time."""

    uid: str
    place: str
    side: str
    name: str
    asked: str
    load: str
    tempo: str
    rest: str
    last: str
    cues: tuple[str, ...]
    caution: str


@dataclass(frozen=True)
class Cell:
    """One set of one line: what is asked, and what was done."""

    key: str
    side: str
    words: str
    target: str
    done: str
    is_short: bool


@dataclass(frozen=True)
class Row:
    """The sets of one number, facing each other."""

    number: int
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class PairView:
    """One letter: its lines and its rows of sets."""

    letter: str
    title: str
    is_centre: bool
    lines: tuple[Line, ...]
    rows: tuple[Row, ...]
    blank: Row


def sides_of(patterns: Sequence[str]) -> tuple[str, ...]:
    """On which side of the spine each exercise of a letter stands.

    >>> sides_of(["push", "pull"]), sides_of(["pull", "push"]), sides_of(["legs"])
    (('push', 'pull'), ('pull', 'push'), ('centre',))
    >>> sides_of(["core", "push"]), sides_of(["push", "push"]), sides_of(["push"])
    (('right', 'push'), ('left', 'right'), ('push',))
    """
    own = [p if p in ("push", "pull") else "" for p in patterns]
    if len(own) == 1:
        return (own[0] or "centre",)
    if own[0] == own[1]:
        return ("left", "right")
    taken = {"push": "right", "pull": "left"}
    other = next(p for p in own if p)
    return tuple(p or taken[other] for p in own)


def pair_views(
    session: PlannedSession, last: Mapping[int, LastTime], sets: Sequence[LoggedSet]
) -> tuple[PairView, ...]:
    """All letters of a session fetched with its plan."""
    done = {(str(s.prescription_uid), s.number): s for s in sets}
    return tuple(
        _pair_view(pair, last, done) for pair in session.pairs.all() if pair.prescriptions.all()
    )


def _pair_view(
    pair: Pair, last: Mapping[int, LastTime], done: Mapping[tuple[str, int], LoggedSet]
) -> PairView:
    rows = list(pair.prescriptions.all())
    sides = sides_of([p.exercise.pattern for p in rows])
    most = max(len(p.targets) for p in rows)
    extra = [n for uid, n in done if n > most and uid in {str(p.uid) for p in rows}]
    numbers = range(1, max([most, *extra]) + 1)
    word = f"{pair.part} pair" if len(rows) == 2 else pair.part
    return PairView(
        letter=pair.letter,
        title=word,
        is_centre=sides == ("centre",),
        lines=tuple(
            _line(p, side, f"{pair.letter}{i}" if len(rows) == 2 else pair.letter, last)
            for i, (p, side) in enumerate(zip(rows, sides, strict=True), start=1)
        ),
        rows=tuple(
            Row(
                n,
                tuple(
                    c for p, side in zip(rows, sides, strict=True) for c in _cell(p, side, n, done)
                ),
            )
            for n in numbers
        ),
        blank=Row(0, tuple(_blank(p, side) for p, side in zip(rows, sides, strict=True))),
    )


def _line(p: Prescription, side: str, place: str, last: Mapping[int, LastTime]) -> Line:
    exercise = p.exercise
    before = last.get(p.exercise_id)
    each = " each side" if exercise.laterality == plan.Laterality.UNILATERAL else ""
    return Line(
        uid=str(p.uid),
        place=place,
        side=side,
        name=exercise.name,
        asked=sets_words(p.targets, exercise.measure) + each,
        load=load_words(float(p.load_kg), exercise.load_kind),
        tempo=p.tempo,
        rest=rest_words(p.rest_s),
        last=_last_words(before, exercise.measure, exercise.load_kind),
        cues=tuple(exercise.cues),
        caution=exercise.caution,
    )


def _last_words(before: LastTime | None, measure: str, kind: str) -> str:
    return done_words(before.amounts, before.loads, measure, kind) if before else ""


def _cell(
    p: Prescription, side: str, number: int, done: Mapping[tuple[str, int], LoggedSet]
) -> tuple[Cell, ...]:
    logged = done.get((str(p.uid), number))
    target = p.targets[number - 1] if number <= len(p.targets) else None
    if logged is None and target is None:
        return ()
    return (
        Cell(
            key=f"{p.uid}:{number}",
            side=side,
            words=f"{p.exercise.name}, set {number}",
            target="" if target is None else str(target),
            done="" if logged is None else str(logged.amount),
            is_short=logged is not None and target is not None and logged.amount < target,
        ),
    )


def _blank(p: Prescription, side: str) -> Cell:
    return Cell(f"{p.uid}:", side, p.exercise.name, "", "", is_short=False)


def session_data(
    session: PlannedSession,
    value: plan.PlannedSession,
    equipment: Sequence[EquipmentItem],
    logged: LoggedSession | None,
    sets: Sequence[LoggedSet],
) -> dict[str, Any]:
    """What the phone's scripts work on: lines in order, and what the server has."""
    exercises = {p.key: p.exercise for p in value.prescriptions}
    return {
        "session": str(logged.uid if logged else session.uid),
        "planned_session": str(session.uid),
        "session_name": session.name,
        "lines": [
            _line_data(pair, p, exercises[str(p.uid)], equipment)
            for pair in session.pairs.all()
            for p in pair.prescriptions.all()
        ],
        "sets": [_set_data(s) for s in sets],
        "about": None if logged is None else _about(logged),
    }


def _line_data(
    pair: Pair, p: Prescription, exercise: plan.Exercise, equipment: Sequence[EquipmentItem]
) -> dict[str, Any]:
    planned = float(p.load_kg)
    loads = sorted({planned, *available_loads(exercise, equipment)})
    takes_load = exercise.load_kind is not plan.LoadKind.NONE and (
        planned > 0 or len(loads) > 1 or exercise.load_kind is not plan.LoadKind.ADDED
    )
    return {
        "uid": str(p.uid),
        "pair": pair.letter,
        "exercise": p.exercise_id,
        "name": p.exercise.name,
        "side": exercise.pattern.value,
        "measure": exercise.measure.value,
        "each_side": exercise.sides == 2,
        "targets": list(p.targets),
        "load": planned,
        "loads": loads if takes_load else [],
        "load_kind": exercise.load_kind.value,
        "takes_load": takes_load,
        "tempo": p.tempo,
        "rest": p.rest_s,
        "rest_words": rest_words(p.rest_s),
        "rir": p.rir,
        "warm_up": pair.part == plan.Part.WARM_UP.value,
    }


def _set_data(row: LoggedSet) -> dict[str, Any]:
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
        "removed": False,
    }


def _about(row: LoggedSession) -> dict[str, Any]:
    return {
        "uid": str(row.uid),
        "revision": row.revision,
        "rpe": None if row.rpe is None else float(row.rpe),
        "note": row.note,
        "finished_at": row.finished_at.isoformat() if row.finished_at else None,
        "skipped_reason": row.skipped_reason,
        "done_at": row.started_at.isoformat(),
    }


def reps_of(session: PlannedSession) -> int:
    """Repetitions asked for in a session, holds left out."""
    return sum(
        sum(p.targets)
        for pair in session.pairs.all()
        for p in pair.prescriptions.all()
        if p.exercise.measure == plan.Measure.REPS
    )


def light_words(session: PlannedSession, usual: PlannedSession | None) -> str:
    """That a light week is light on purpose, and by how much this session is."""
    first = "Light week: fewer reps on purpose, same loads, easy effort."
    if usual is None:
        return first
    loads = {
        (p.exercise_id, p.load_kg) for pair in usual.pairs.all() for p in pair.prescriptions.all()
    }
    light = {
        (p.exercise_id, p.load_kg) for pair in session.pairs.all() for p in pair.prescriptions.all()
    }
    if not light <= loads:
        first = "Light week: fewer reps on purpose, loads as written, easy effort."
    now, before = reps_of(session), reps_of(usual)
    return f"{first} Today {amount_words(now, 'reps')} instead of {before}." if before else first
