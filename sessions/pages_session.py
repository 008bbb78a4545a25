"""One planned session as the phone shows it: pairs around the spine, set by set."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from clients.templatetags.in_words import rest as rest_words
from coaching.blocks.models import PlannedSession
from coaching.rules import plan
from coaching.rules.load_to_choose import load_is_needed
from sessions.asked_lines import ADDED, AskedLine, AskedPair, line_key
from sessions.models import LineChange, LoggedSet
from sessions.pages_swaps import Choice, exercise_data
from sessions.queries_phone import LastTime
from sessions.set_words import amount_words, asked_load_words, done_words, sets_words
from sessions.shown_session import Shown
from sessions.statements import line_statement, session_statement, set_statement

UNPLANNED = "Unplanned session"


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
    """One letter: its lines and its rows of sets; ``key`` tells added lines apart."""

    key: str
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
    pairs: Sequence[AskedPair], last: Mapping[int, LastTime], sets: Sequence[LoggedSet]
) -> tuple[PairView, ...]:
    """All letters of a session with what was done of them; no query."""
    return tuple(_pair_view(pair, last, _places(pair, sets)) for pair in pairs)


def _places(pair: AskedPair, sets: Sequence[LoggedSet]) -> dict[tuple[str, int], LoggedSet]:
    """The sets of a pair by their place; a warm-up set of working lines fills none."""
    own = {line.uid for line in pair.lines}
    is_warm_up = pair.part == plan.Part.WARM_UP
    return {
        (line_key(s), s.number): s
        for s in sets
        if line_key(s) in own and (is_warm_up or not s.warm_up)
    }


def _pair_view(
    pair: AskedPair, last: Mapping[int, LastTime], done: Mapping[tuple[str, int], LoggedSet]
) -> PairView:
    sides = sides_of([line.row.pattern for line in pair.lines])
    both = list(zip(pair.lines, sides, strict=True))
    most = max([len(line.targets) for line in pair.lines] + [number for _, number in done])
    is_pair = len(pair.lines) == 2
    word = f"{pair.part} pair" if is_pair else pair.part
    return PairView(
        key=pair.key,
        letter=pair.letter,
        title="added" if pair.letter == ADDED else word,
        is_centre=sides == ("centre",),
        lines=tuple(
            _line(line, side, f"{pair.letter}{i}" if is_pair else pair.letter, last)
            for i, (line, side) in enumerate(both, start=1)
        ),
        rows=tuple(
            Row(n, tuple(c for line, side in both for c in _cell(line, side, n, done)))
            for n in range(1, most + 1)
        ),
        blank=Row(0, tuple(_blank(line, side) for line, side in both)),
    )


def _line(asked: AskedLine, side: str, place: str, last: Mapping[int, LastTime]) -> Line:
    exercise = asked.row
    before = last.get(asked.exercise_id)
    each = " each side" if exercise.laterality == plan.Laterality.UNILATERAL else ""
    needed = load_is_needed(exercise.load_kind, exercise.equipment)
    return Line(
        uid=asked.uid,
        place=place,
        side=side,
        name=exercise.name,
        asked=sets_words(asked.targets, exercise.measure) + each if asked.targets else "",
        load=asked_load_words(asked.load, exercise.load_kind, needed=needed),
        tempo=asked.tempo,
        rest=rest_words(asked.rest),
        last=_last_words(before, exercise.measure, exercise.load_kind),
        cues=tuple(exercise.cues),
        caution=exercise.caution,
    )


def _last_words(before: LastTime | None, measure: str, kind: str) -> str:
    return done_words(before.amounts, before.loads, measure, kind) if before else ""


def _cell(
    asked: AskedLine, side: str, number: int, done: Mapping[tuple[str, int], LoggedSet]
) -> tuple[Cell, ...]:
    logged = done.get((asked.uid, number))
    target = asked.targets[number - 1] if number <= len(asked.targets) else None
    if logged is None and target is None:
        return ()
    return (
        Cell(
            key=f"{asked.uid}:{number}",
            side=side,
            words=f"{asked.row.name}, set {number}",
            target="" if target is None else str(target),
            done="" if logged is None else str(logged.amount),
            is_short=logged is not None and target is not None and logged.amount < target,
        ),
    )


def _blank(asked: AskedLine, side: str) -> Cell:
    return Cell(f"{asked.uid}:", side, asked.row.name, "", "", is_short=False)


def session_data(
    shown: Shown,
    pairs: Sequence[AskedPair],
    choice: Choice,
    log: tuple[Sequence[LoggedSet], Sequence[LineChange]],
) -> dict[str, Any]:
    """What the phone's scripts work on: lines in order, and what the server has; no query.

    A session without a plan that is not begun has no id yet: the phone makes it.
    """
    planned, logged = shown.planned, shown.logged
    sets, changes = log
    said: list[LoggedSet | LineChange] = [*changes, *sets]
    begun = logged or planned
    return {
        "session": str(begun.uid) if begun else "",
        "planned_session": str(planned.uid) if planned else None,
        "session_name": begun.name if begun else UNPLANNED,
        "lines": [_line_data(pair, line, choice, said) for pair in pairs for line in pair.lines],
        "sets": [set_statement(s) for s in sets],
        "changes": [line_statement(c) for c in changes],
        "about": None if logged is None else session_statement(logged),
    }


def _line_data(
    pair: AskedPair,
    asked: AskedLine,
    choice: Choice,
    said: Sequence[LoggedSet | LineChange],
) -> dict[str, Any]:
    done_instead = [
        one.exercise_id
        for one in said
        if str(one.prescription_uid) == asked.uid and one.exercise_id not in (None, asked.row.pk)
    ]
    return {
        "uid": asked.uid,
        "pair": pair.key,
        "part": pair.part,
        **exercise_data(asked.row, choice.value(asked.row.pk), choice.equipment, asked.load),
        "targets": list(asked.targets),
        "tempo": asked.tempo,
        "rest": asked.rest,
        "rest_words": rest_words(asked.rest),
        "rir": asked.rir,
        "warm_up": pair.part == plan.Part.WARM_UP.value,
        "swaps": []
        if pair.letter == ADDED
        else choice.swaps(asked.row.pk, [pk for pk in done_instead if pk]),
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
