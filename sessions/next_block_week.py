"""The first week of a next block: the usual week with what was chosen, made to end on time."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from coaching.blocks.adaptation_values import LineChange
from coaching.blocks.next_plan import Changed, week_with
from coaching.blocks.snapshots import Line, PairData, SessionData, WeekData, week_as_value
from coaching.library.queries import exercise_value
from coaching.rules import plan
from coaching.rules.next_block import KEEP, LineChoice, Outcome
from coaching.rules.shorter_session import ShorterSession, shorter_session
from sessions.next_block_reading import NextReading, places_in


@dataclass(frozen=True)
class LineCut:
    """What a line lost so that its session ends on time: sets before and after, 0 when left out."""

    before: int
    after: int
    why: str

    @property
    def words(self) -> str:
        """Without the reason: 2 sets instead of 3."""
        if not self.after:
            return "left out"
        return f"{self.after} set{'' if self.after == 1 else 's'} instead of {self.before}"


@dataclass(frozen=True)
class FirstWeek:
    """The first week as it will be; ``asked`` is the same with nothing cut.

    ``cuts`` says by a line's uid what it lost, ``changes`` the same in the words of a draft.
    ``whole`` holds the uids of the lines and sessions that the coach keeps uncut.
    """

    week: WeekData
    asked: WeekData
    cuts: Mapping[str, LineCut]
    changes: tuple[LineChange, ...]
    whole: frozenset[str]


def first_week(
    reading: NextReading,
    choices: Mapping[str, LineChoice],
    wished: Mapping[str, str],
    whole: Collection[str] = (),
) -> FirstWeek:
    """The usual week with what was chosen, its sessions made to end within the client's minutes.

    What the coach left as it was is not cut, nor are the lines and sessions in ``whole``; what a
    movement goal stands on is never left out. No query.
    """
    kept = frozenset(whole)
    asked = week_with(reading.last.base, changed_lines(reading, choices), reading.starts_on)
    base = places_in(reading.last.base)
    own = {line["uid"] for _session, _pair, line, key in base if wished.get(key) == KEEP}
    values = week_as_value(asked, 1, exercises_of(reading, asked)).sessions
    sessions: list[SessionData] = []
    cuts: dict[str, LineCut] = {}
    changes: list[LineChange] = []
    for session in asked["sessions"]:
        value = next(one for one in values if one.key == session["uid"])
        if session["uid"] in kept:
            sessions.append(session)
            continue
        shorter = shorter_session(
            value, reading.client.minutes, kept=reading.goals, whole=own | kept
        )
        why = f"{value.name} would take {shorter.minutes[0]} min of {reading.client.minutes}"
        cuts.update(_line_cuts(value, shorter.session, why))
        changes.extend(_told(value, shorter, why))
        sessions.append(_with_sets_of(session, shorter.session))
    return FirstWeek({**asked, "sessions": sessions}, asked, cuts, tuple(changes), kept)


def _line_cuts(
    before: plan.PlannedSession, after: plan.PlannedSession, why: str
) -> Iterator[tuple[str, LineCut]]:
    left = {one.key: one.sets for one in after.prescriptions}
    for one in before.prescriptions:
        now = left.get(one.key, 0)
        if now != one.sets:
            yield one.key, LineCut(one.sets, now, why)


def _told(session: plan.PlannedSession, shorter: ShorterSession, why: str) -> Iterator[LineChange]:
    """Each cut with its reason, and that a session is still too long."""
    for cut in shorter.cuts:
        names = " and ".join(cut.names)
        what = f"{names}: {cut.after} sets instead of {cut.before}"
        if not cut.after:
            what = f"{names} left out"
        yield LineChange(session.name, cut.letter, names, names, why, what)
    if not shorter.fits:
        rest = f"it still takes {shorter.minutes[1]} min, and what is left is not cut further"
        yield LineChange(session.name, "", "", "", rest, f"{session.name} is too long")


def _with_sets_of(session: SessionData, shorter: plan.PlannedSession) -> SessionData:
    """The session with the sets that are left; what has none is gone, and letters close up."""
    left = {one.key: one.targets for one in shorter.prescriptions}
    letters = iter(pair["letter"] for pair in session["pairs"])
    pairs: list[PairData] = []
    for pair in session["pairs"]:
        lines: list[Line] = [
            {**line, "targets": list(left[line["uid"]])}
            for line in pair["lines"]
            if line["uid"] in left
        ]
        if lines:
            pairs.append({**pair, "letter": next(letters), "lines": lines})
    return {**session, "pairs": pairs}


def changed_lines(reading: NextReading, choices: Mapping[str, LineChoice]) -> Changed:
    """What stands in the place of each line of the usual week that changes."""
    found: dict[str, Line | None] = {}
    for _session, _pair, line, key in places_in(reading.last.base):
        choice = choices[key]
        if choice.exercise is None:
            found[line["uid"]] = None
        elif not stays(choice, reading.lines[key].asked):
            found[line["uid"]] = _line(reading, line, choice, choice.exercise)
    return found


def stays(choice: LineChoice, asked: plan.Prescription) -> bool:
    """Whether a line comes over as it was."""
    now = (choice.exercise, choice.targets, choice.load)
    return choice.outcome is Outcome.KEEP and now == (asked.exercise, asked.targets, asked.load)


def _line(reading: NextReading, line: Line, choice: LineChoice, exercise: plan.Exercise) -> Line:
    own = reading.exercise_of(line)
    row = None if exercise.key == own.key else reading.library.rows[exercise.key]
    return {
        **line,
        "exercise": row.pk if row else line["exercise"],
        "name": row.name if row else line["name"],
        "targets": list(choice.targets),
        "load_kg": choice.load,
        "tempo": str(choice.tempo) if row else line["tempo"],
    }


def exercises_of(reading: NextReading, week: WeekData) -> dict[int, plan.Exercise]:
    """The exercises of a week made from the last one, by row; no query."""
    by_row = {row.pk: row for row in reading.library.rows.values()}
    named = {line["exercise"] for _session, _pair, line, _key in places_in(week)}
    known = reading.exercises
    return {pk: known[pk] if pk in known else exercise_value(by_row[pk]) for pk in named}
