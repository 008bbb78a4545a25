"""The week as it was done, session by session, around the spine and against the targets."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from coaching.library.queries import exercise_values
from coaching.rules import plan
from coaching.rules.log import Attendance
from sessions.log_change_words import Told, told_changes
from sessions.models import LoggedSession, LoggedSet
from sessions.queries import sessions_with_sets
from sessions.queries_log_changes import log_changes
from sessions.set_words import load_words, sets_words
from sessions.week_reading import WeekReading


@dataclass(frozen=True)
class DoneSet:
    """One set: what was done, what was asked, and whether it fell short."""

    number: int
    amount: int | None
    target: int | None

    @property
    def is_short(self) -> bool:
        """Whether it fell short of its target, or was left out."""
        return self.target is not None and (self.amount or 0) < self.target


@dataclass(frozen=True)
class DoneLine:
    """One exercise of a session, as asked and as done."""

    name: str
    side: str
    sets: tuple[DoneSet, ...]
    asked: str
    load: str
    unit: str
    remarks: str
    instead_of: str = ""
    """What was planned, when this was done in its place; then it has no targets."""
    skipped: str = ""
    """Why it was left out."""

    @property
    def short_sets(self) -> int:
        """How many sets fell short."""
        return sum(one.is_short for one in self.sets)

    @property
    def done_total(self) -> int:
        """Repetitions or seconds done."""
        return sum(one.amount or 0 for one in self.sets)

    @property
    def asked_total(self) -> int:
        """Repetitions or seconds asked for."""
        return sum(one.target or 0 for one in self.sets)


@dataclass(frozen=True)
class DonePair:
    """A pair as the spine shows it: pushing left, pulling right, all else in the middle."""

    letter: str
    left: DoneLine | None
    right: DoneLine | None
    centre: DoneLine | None

    @property
    def lines(self) -> tuple[DoneLine, ...]:
        """The exercises of the pair."""
        return tuple(line for line in (self.left, self.right, self.centre) if line)

    @property
    def short_sets(self) -> int:
        """How many of its sets fell short."""
        return sum(line.short_sets for line in self.lines)

    @property
    def rows(self) -> list[tuple[int, DoneSet | None, DoneSet | None]]:
        """Sets that face each other, by their number."""
        left = {s.number: s for s in self.left.sets} if self.left else {}
        right = {s.number: s for s in self.right.sets} if self.right else {}
        return [(n, left.get(n), right.get(n)) for n in sorted(left | right)]


@dataclass(frozen=True)
class DoneSession:
    """One logged session of the week."""

    on: date
    name: str
    kind: str
    rpe: str
    note: str
    pairs: tuple[DonePair, ...]

    @property
    def short_sets(self) -> int:
        """How many sets fell short."""
        return sum(pair.short_sets for pair in self.pairs)


@dataclass(frozen=True)
class PainLine:
    """Pain that the client logged."""

    on: date
    exercise: str
    pain: int
    where: str


@dataclass(frozen=True)
class NoteLine:
    """A word of the client, to a session or to a set."""

    on: date
    about: str
    text: str


@dataclass(frozen=True)
class WeekDone:
    """All that was logged in one week."""

    sessions: tuple[DoneSession, ...]
    not_done: tuple[Attendance, ...]
    pains: tuple[PainLine, ...]
    notes: tuple[NoteLine, ...]
    changes: tuple[Told, ...]

    @property
    def focus(self) -> tuple[DoneSession, DonePair] | None:
        """The session and the facing pair that fell shortest of the targets, if one did."""
        facing = [(s, p) for s in self.sessions for p in s.pairs if p.short_sets and not p.centre]
        return max(facing, key=lambda it: (it[1].short_sets, it[0].on), default=None)


Sides = Mapping[int, plan.Exercise]
Skips = Mapping[tuple[int, str], str]


def read_week_done(reading: WeekReading, start: date, end: date) -> WeekDone:
    """The week's logged sessions with what was asked; 7 queries, 4 more for joint limits."""
    rows: list[LoggedSession] = list(sessions_with_sets([reading.client], start, end))
    used = {s.exercise_id for row in rows for s in row.sets.all()}
    planned = {
        line["exercise"]
        for row in rows
        for session in row.plan
        for pair in session["pairs"]
        for line in pair["lines"]
    }
    found = log_changes(reading.client, rows, with_limits=True)
    values = exercise_values(used | planned)
    told = told_changes(reading.client, found)
    return week_done(rows, values, reading.week_attendance, found.skips, told)


def week_done(
    rows: Sequence[LoggedSession],
    exercises: Sides,
    attendance: Iterable[Attendance],
    skips: Skips,
    changes: tuple[Told, ...],
) -> WeekDone:
    """The week of sessions fetched with their sets; no query.

    ``skips`` are the reasons of exercises that were left out, by session and line of the plan.
    """
    return WeekDone(
        sessions=tuple(_session(row, exercises, skips) for row in rows),
        not_done=tuple(a for a in attendance if not a.done),
        pains=tuple(_pains(rows, exercises)),
        notes=tuple(_notes(rows, exercises)),
        changes=changes,
    )


def _session(row: LoggedSession, exercises: Sides, skips: Skips) -> DoneSession:
    by_line: dict[str, list[LoggedSet]] = defaultdict(list)
    for one in row.sets.all():
        if not one.warm_up:
            by_line[str(one.prescription_uid or f"free {one.exercise_id}")].append(one)
    reasons = {uid: reason for (session, uid), reason in skips.items() if session == row.pk}
    pairs = [
        _pair(pair, by_line, exercises, reasons)
        for session in row.plan
        for pair in session["pairs"]
        if pair["part"] != plan.Part.WARM_UP.value
    ]
    pairs.extend(_unplanned(sets, exercises) for sets in by_line.values())
    return DoneSession(
        on=row.on,
        name=row.name,
        kind=row.kind,
        rpe="" if row.rpe is None else f"{float(row.rpe):g}",
        note=row.note,
        pairs=tuple(pairs),
    )


def _pair(
    data: Mapping[str, Any],
    by_line: dict[str, list[LoggedSet]],
    exercises: Sides,
    reasons: Mapping[str, str],
) -> DonePair:
    lines = []
    for line in data["lines"]:
        said = by_line.pop(line["uid"], [])
        own = [one for one in said if one.exercise_id == line["exercise"]]
        other = [one for one in said if one.exercise_id != line["exercise"]]
        if other and not own:
            lines.append(_instead(exercises, other, line["exercise"]))
            continue
        for one in other:
            by_line[f"free {one.exercise_id}"].append(one)
        asked = (line["targets"], float(line["load_kg"]))
        found = _line(exercises[line["exercise"]], own, *asked)
        reason = "" if own else reasons.get(line["uid"], "")
        lines.append(replace(found, sets=(), skipped=reason) if reason else found)
    return _facing(data["letter"], lines)


def _instead(exercises: Sides, sets: Sequence[LoggedSet], planned: int) -> DoneLine:
    """What was done in the place of a planned exercise, whose targets say nothing of it."""
    line = _line(exercises[sets[0].exercise_id], sets, [], None)
    return replace(line, instead_of=exercises[planned].name)


def _unplanned(sets: Sequence[LoggedSet], exercises: Sides) -> DonePair:
    """Sets that nobody planned, by their exercise."""
    line = _line(exercises[sets[0].exercise_id], sets, [], None)
    return _facing("+", [line])


def _facing(letter: str, lines: Sequence[DoneLine]) -> DonePair:
    if len(lines) == 1:
        only = lines[0]
        places = {"push": (only, None, None), "pull": (None, only, None)}
        return DonePair(letter, *places.get(only.side, (None, None, only)))
    left, right = lines[0], lines[1]
    if left.side == "pull" or right.side == "push":
        left, right = right, left
    return DonePair(letter, left, right, None)


def _line(
    exercise: plan.Exercise, sets: Sequence[LoggedSet], targets: Sequence[int], load: float | None
) -> DoneLine:
    by_number = {one.number: one for one in sets}
    numbers = sorted({*by_number, *range(1, len(targets) + 1)})
    asked = sets_words(targets, exercise.measure) if targets else "not planned"
    asked_load = load_words(load or 0, exercise.load_kind)
    return DoneLine(
        name=exercise.name,
        side=exercise.pattern.value if exercise.pattern.value in {"push", "pull"} else "neutral",
        sets=tuple(
            DoneSet(
                number=n,
                amount=by_number[n].amount if n in by_number else None,
                target=targets[n - 1] if n <= len(targets) else None,
            )
            for n in numbers
        ),
        asked=asked + (f" · {asked_load}" if asked_load else ""),
        load=_other_load(exercise, sets, load),
        unit="s" if exercise.measure is plan.Measure.SECONDS else "reps",
        remarks=_remarks(sets),
    )


def _other_load(exercise: plan.Exercise, sets: Sequence[LoggedSet], asked: float | None) -> str:
    """The loads that were used, when they are not the one that was asked for."""
    loads = list(dict.fromkeys(float(one.load_kg) for one in sets))
    if loads == [asked]:
        return ""
    return ", ".join(load_words(kg, exercise.load_kind) or "no load" for kg in loads if kg or asked)


def _remarks(sets: Sequence[LoggedSet]) -> str:
    """Reserve of the last set and the worst pain, where they were logged."""
    reserve = [one.rir for one in sets if one.rir is not None]
    pain = max((one.pain or 0 for one in sets), default=0)
    said = [f"{reserve[-1]} in reserve"] if reserve else []
    return ", ".join([*said, f"pain {pain} of 10"] if pain else said)


def _pains(rows: Sequence[LoggedSession], exercises: Sides) -> Iterable[PainLine]:
    for row in rows:
        worst: dict[int, LoggedSet] = {}
        for one in row.sets.all():
            held = worst.get(one.exercise_id)
            if (one.pain or 0) > ((held.pain or 0) if held else 0):
                worst[one.exercise_id] = one
        for one in worst.values():
            name = exercises[one.exercise_id].name
            yield PainLine(row.on, name, one.pain or 0, one.pain_where)


def _notes(rows: Sequence[LoggedSession], exercises: Sides) -> Iterable[NoteLine]:
    for row in rows:
        if row.note:
            yield NoteLine(row.on, row.name, row.note)
        for one in row.sets.all():
            if one.note:
                about = f"{exercises[one.exercise_id].name}, set {one.number}"
                yield NoteLine(row.on, about, one.note)
