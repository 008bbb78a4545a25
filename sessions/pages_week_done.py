"""The week as it was done, session by session, around the spine and against the targets."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from coaching.rules import plan
from coaching.rules.log import Attendance
from sessions.models import LoggedSession, LoggedSet
from sessions.set_words import load_words, sets_words


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

    @property
    def focus(self) -> tuple[DoneSession, DonePair] | None:
        """The session and the facing pair that fell shortest of the targets, if one did."""
        facing = [(s, p) for s in self.sessions for p in s.pairs if p.short_sets and not p.centre]
        return max(facing, key=lambda it: (it[1].short_sets, it[0].on), default=None)


Sides = Mapping[int, plan.Exercise]


def week_done(
    rows: Sequence[LoggedSession], exercises: Sides, attendance: Iterable[Attendance]
) -> WeekDone:
    """The week of sessions fetched with their sets; no query."""
    return WeekDone(
        sessions=tuple(_session(row, exercises) for row in rows),
        not_done=tuple(a for a in attendance if not a.done),
        pains=tuple(_pains(rows, exercises)),
        notes=tuple(_notes(rows, exercises)),
    )


def _session(row: LoggedSession, exercises: Sides) -> DoneSession:
    by_line: dict[str, list[LoggedSet]] = defaultdict(list)
    for one in row.sets.all():
        if not one.warm_up:
            by_line[str(one.prescription_uid or f"free {one.exercise_id}")].append(one)
    pairs = [
        _pair(pair, by_line, exercises)
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
    data: Mapping[str, Any], by_line: dict[str, list[LoggedSet]], exercises: Sides
) -> DonePair:
    lines = []
    for line in data["lines"]:
        sets = by_line.pop(line["uid"], [])
        done = sets[0].exercise_id if sets else line["exercise"]
        lines.append(_line(exercises[done], sets, line["targets"], float(line["load_kg"])))
    return _facing(data["letter"], lines)


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
