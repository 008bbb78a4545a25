"""The first week of a next block: the usual week with what was chosen, made to end on time."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass

from coaching.blocks.adaptation_values import ChangeKind, LineChange
from coaching.blocks.next_plan import Changed, week_with
from coaching.blocks.snapshots import Line, PairData, SessionData, WeekData, week_as_value
from coaching.rules import plan
from coaching.rules.next_block import KEEP, LineChoice, Outcome
from coaching.rules.next_block_volume import harm_of_cutting
from coaching.rules.session_clock import session_minutes
from coaching.rules.shorter_session import ShorterSession, shorter_session
from sessions.next_block_reading import NextReading
from sessions.next_block_sets import exercises_of, kept_of


@dataclass(frozen=True)
class LineCut:
    """What a line lost so that its session ends on time: sets before and after, 0 when left out.

    ``rests`` are before and after [s].
    """

    before: int
    after: int
    why: str
    rests: tuple[int, int] = (0, 0)

    @property
    def is_all(self) -> bool:
        """Whether nothing is left of it."""
        return not self.after

    @property
    def is_fewer(self) -> bool:
        """Whether sets went, and not only rest."""
        return self.after < self.before

    @property
    def words(self) -> str:
        """Without the reason: 2 sets instead of 3, rest 75 s instead of 90."""
        return lost_words(self.before, self.after, self.rests)


def lost_words(before: int, after: int, rests: tuple[int, int]) -> str:
    """What was lost of sets and of rest."""
    if not after:
        return "left out"
    sets = f"{after} set{'' if after == 1 else 's'} instead of {before}"
    rest = f"rest {rests[1]} s instead of {rests[0]}"
    said = ([sets] if after != before else []) + ([rest] if rests[0] != rests[1] else [])
    return ", ".join(said)


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
    kept_whole = frozenset(whole)
    asked = week_with(reading.last.base, changed_lines(reading, choices), reading.starts_on)
    own = frozenset(line["uid"] for *_, line, key in reading.places() if wished.get(key) == KEEP)
    values = week_as_value(asked, 1, exercises_of(reading, asked)).sessions
    cuts: dict[str, LineCut] = {}
    changes: dict[str, tuple[LineChange, ...]] = {}
    left = {one.key: one for one in values}
    # The longest first: what it keeps, a shorter one may leave out.
    order = sorted(asked["sessions"], key=lambda one: -session_minutes(left[one["uid"]]).total)
    for session in (one for one in order if one["uid"] not in kept_whole):
        value = left[session["uid"]]
        shorter = _shorter(reading, value, left, own | kept_whole)
        left[value.key] = shorter.session
        why = f"{value.name} would take {shorter.minutes[0]} min of {reading.client.minutes}"
        cuts.update(_line_cuts(value, shorter.session, why))
        changes[value.key] = tuple(_told(value, shorter, why))
    sessions = [_with_sets_of(one, left[one["uid"]]) for one in asked["sessions"]]
    told = [line for one in asked["sessions"] for line in changes.get(one["uid"], ())]
    return FirstWeek({**asked, "sessions": sessions}, asked, cuts, tuple(told), kept_whole)


def _shorter(
    reading: NextReading,
    session: plan.PlannedSession,
    week: Mapping[str, plan.PlannedSession],
    whole: frozenset[str],
) -> ShorterSession:
    """One session of the week made to end on time, the others as they are by now."""
    beside = [one for one in week.values() if one.key != session.key]
    return shorter_session(
        session,
        reading.client.minutes,
        kept=reading.goals,
        whole=whole,
        elsewhere=_work_of(beside),
        rests=True,
        harm=harm_of_cutting(kept_of(reading), beside),
    )


def _line_cuts(
    before: plan.PlannedSession, after: plan.PlannedSession, why: str
) -> Iterator[tuple[str, LineCut]]:
    left = {one.key: one for one in after.prescriptions}
    for one in before.prescriptions:
        now = left.get(one.key)
        if now != one:
            rests = (one.rest, now.rest if now else one.rest)
            yield one.key, LineCut(one.sets, now.sets if now else 0, why, rests)


def _work_of(sessions: Iterable[plan.PlannedSession]) -> list[plan.Exercise]:
    """The work of some sessions, prehab and warm-up left aside."""
    steady = {plan.Part.PREHAB, plan.Part.WARM_UP}
    lines = (one for session in sessions for one in session.prescriptions)
    return [one.exercise for one in lines if one.part not in steady]


def _told(session: plan.PlannedSession, shorter: ShorterSession, why: str) -> Iterator[LineChange]:
    """Each cut with its reason, and that a session is still too long."""
    for cut in shorter.cuts:
        names = " and ".join(cut.names)
        lost = lost_words(cut.before, cut.after, cut.rests)
        what = f"{names}: {lost}" if cut.after else f"{names} left out"
        kind = ChangeKind.SHORTER if cut.after else ChangeKind.LEFT_OUT
        yield LineChange(session.name, cut.letter, names, names, why, what, kind)
    if not shorter.fits:
        rest = f"it still takes {shorter.minutes[1]} min, and what is left is not cut further"
        yield LineChange(session.name, "", "", "", rest, f"{session.name} is too long")


def _with_sets_of(session: SessionData, shorter: plan.PlannedSession) -> SessionData:
    """The session with the sets that are left; what has none is gone, and letters close up."""
    left = {one.key: one for one in shorter.prescriptions}
    letters = iter(pair["letter"] for pair in session["pairs"])
    pairs: list[PairData] = []
    for pair in session["pairs"]:
        lines: list[Line] = [
            {
                **line,
                "targets": list(left[line["uid"]].targets),
                "rest_s": left[line["uid"]].rest,
            }
            for line in pair["lines"]
            if line["uid"] in left
        ]
        if lines:
            pairs.append({**pair, "letter": next(letters), "lines": lines})
    return {**session, "pairs": pairs}


def changed_lines(reading: NextReading, choices: Mapping[str, LineChoice]) -> Changed:
    """What stands in the place of each line of the usual week that changes."""
    found: dict[str, Line | None] = {}
    for *_, line, key in reading.places():
        choice = choices[key]
        if choice.exercise is None:
            found[line["uid"]] = None
        elif not stays(choice, asked_in(reading, line)):
            found[line["uid"]] = _line(reading, line, choice, choice.exercise)
    return found


@dataclass(frozen=True)
class Asks:
    """What one line of the usual week asks."""

    exercise: plan.Exercise
    targets: tuple[int, ...]
    load: float


def asked_in(reading: NextReading, line: Line) -> Asks:
    """What a line asks, whatever the others of its course do."""
    return Asks(reading.exercise_of(line), tuple(line["targets"]), line["load_kg"])


def stays(choice: LineChoice, asked: Asks) -> bool:
    """Whether a line comes over as it was."""
    if choice.outcome is not Outcome.KEEP or choice.exercise != asked.exercise:
        return False
    return choice.as_it_was or (choice.targets, choice.load) == (asked.targets, asked.load)


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
