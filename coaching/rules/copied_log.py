"""Sessions whose repetitions look copied from the session before, though the plan moved on."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.log import LoggedSession, LoggedSet
from coaching.rules.log_numbers import COPIED_EXERCISES, COPIED_SESSIONS
from coaching.rules.plan import WeekKind

IN_A_ROW = int(COPIED_SESSIONS.value)
RULE = (
    f"Every exercise of the session repeats, set by set, the repetitions and the reserve of its "
    f"last {IN_A_ROW} sessions, and on {COPIED_EXERCISES.value:g} or more of them the targets "
    "changed meanwhile. Targets that stayed and were met are no sign of it."
)
_Done = tuple[date, tuple[LoggedSet, ...]]


@dataclass(frozen=True, slots=True)
class _Repeat:
    """One exercise whose last sessions hold the very same numbers, oldest first."""

    sessions: tuple[_Done, ...]

    @property
    def against_the_plan(self) -> bool:
        """Whether its targets changed meanwhile, so that the same numbers cannot be the plan."""
        asked = {tuple(s.target for s in sets) for _, sets in self.sessions}
        return len(asked) > 1


def find_copied(sessions: Sequence[LoggedSession], *, since: date, today: date) -> Finding | None:
    """The newest session of the days that looks copied, if one does.

    Args:
        sessions: Logged sessions, oldest first.
        since: The first day that is looked at.
        today: The last.
    """
    history: dict[str, list[_Done]] = {}
    found: tuple[LoggedSession, list[_Repeat]] | None = None
    for session in sorted(sessions, key=lambda s: s.on):
        if session.on > today or session.kind is not WeekKind.BUILD:
            continue
        done = _by_exercise(session)
        for key, sets in done.items():
            history.setdefault(key, []).append((session.on, sets))
        repeats = _repeats([history[key] for key in done])
        if repeats and session.on >= since:
            found = (session, repeats)
    return _finding(*found) if found is not None else None


def _by_exercise(session: LoggedSession) -> dict[str, tuple[LoggedSet, ...]]:
    groups: dict[str, tuple[LoggedSet, ...]] = {}
    for one in session.sets:
        if not one.warm_up:
            groups[one.exercise.key] = (*groups.get(one.exercise.key, ()), one)
    return groups


def _repeats(histories: Sequence[Sequence[_Done]]) -> list[_Repeat]:
    """The exercises that repeat against their plan, when all that can be compared repeat."""
    known = [_Repeat(tuple(h[-IN_A_ROW:])) for h in histories if len(h) >= IN_A_ROW]
    if not all(_is_same(one) for one in known):
        return []
    against = [one for one in known if one.against_the_plan]
    return against if len(against) >= COPIED_EXERCISES.value else []


def _is_same(repeat: _Repeat) -> bool:
    return len({tuple((s.amount, s.rir) for s in sets) for _, sets in repeat.sessions}) == 1


def _finding(session: LoggedSession, repeats: Sequence[_Repeat]) -> Finding:
    names = [one.sessions[-1][1][0].exercise.name for one in repeats]
    day = f"{session.on:%A} {session.on.day} {session.on:%b}"
    several = f"{', '.join(names[:-1])} and {names[-1]}"
    return Finding(
        kind=FindingKind.LOG_MISTAKE,
        sentence=(
            f"{several} on {day}: set by set the same reps and reserve {IN_A_ROW} sessions "
            "running, though the targets changed; they may be copied."
        ),
        evidence=tuple(
            Evidence(f"{one.sessions[-1][1][0].exercise.name}, {on.day} {on:%b}", _written(sets))
            for one in repeats
            for on, sets in one.sessions
        ),
        rule=RULE,
        source_key="house",
        since=session.on,
        could_not_know="Whether it was done so after all: the log holds what was typed.",
        question=(
            f"{several} on {day}: are these the reps you did, or were they taken over from the "
            "session before?"
        ),
    )


def _written(sets: Sequence[LoggedSet]) -> str:
    reps = ",".join(str(s.amount) for s in sets)
    reserve = ",".join("–" if s.rir is None else str(s.rir) for s in sets)
    asked = ",".join("–" if s.target is None else str(s.target) for s in sets)
    left = f", reserve {reserve}" if any(s.rir is not None for s in sets) else ""
    return f"{reps} of {asked} asked{left}"
