"""Effort that rises at the same work: sessions that feel harder though the plan is not."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from statistics import median

from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.log import LoggedSession, LoggedSet
from coaching.rules.log_numbers import (
    EFFORT_SAME_WORK,
    EFFORT_SESSIONS,
    EFFORT_SETS_FEWEST,
    EFFORT_USUAL_FEWEST,
)
from coaching.rules.numbers import (
    ABSENCE_DAYS,
    EFFORT_RISE,
    RECENT_DAYS,
    REVIEW_DAYS,
    USUAL_DAYS,
    USUAL_FEWEST,
)
from coaching.rules.plan import LoadKind, Measure, WeekKind
from coaching.rules.volume import system_load

LAST = int(EFFORT_SESSIONS.value)
RULE = (
    f"Each of the last {LAST} sessions of usual weeks lies {EFFORT_RISE.value:g} or more above the "
    f"median effort of the {USUAL_DAYS.value:g} days before, at no more than "
    f"{EFFORT_SAME_WORK.value:g} times the usual reps times load. Without session RPE the reserve "
    "of sets at no more than the usual work stands in. The weeks after an absence of more than "
    f"{ABSENCE_DAYS.value:g} days are left out."
)
COULD_NOT_KNOW = (
    "The log does not know of sleep, illness, food, heat, work or stress, nor whether the client "
    "rates as before."
)
QUESTION = (
    "Your last sessions felt harder than usual though the plan was not. How have you slept and "
    "eaten, are you getting ill, and has anything else changed?"
)


@dataclass(frozen=True)
class _Effort:
    """One session: what was logged of its effort, and how far that lies above usual [points]."""

    on: date
    logged: float
    rise: float


@dataclass(frozen=True)
class _Course:
    """What effort is usual, from how many sessions, and the last sessions."""

    usual: float
    rated: int
    last: tuple[_Effort, ...]
    by_reserve: bool = False


def find_rising_effort(sessions: Sequence[LoggedSession], *, today: date) -> Finding | None:
    """Whether the last sessions cost more effort than usual at work that is no harder.

    Args:
        sessions: Logged sessions, oldest first; seven weeks are enough.
        today: The day of the review; later sessions are not read.

    It cannot see the effort of a client who logs neither session RPE nor reserve.
    """
    known = sorted((s for s in sessions if s.on <= today), key=lambda s: s.on)
    built = [s for s in known if s.kind is WeekKind.BUILD and s.sets]
    for read in (_by_rating, _by_reserve):
        course = read(built, today)
        if course is not None:
            told = _rose(course) and not _was_away(known, course.last[0].on)
            return _finding(course) if told else None
    return None


def _was_away(known: Sequence[LoggedSession], first: date) -> bool:
    """Whether a long absence lies in the weeks that would be the usual, or after them."""
    since = first - timedelta(days=USUAL_DAYS.value)
    days = [s.on for s in known if s.on >= since]
    return any((b - a).days > ABSENCE_DAYS.value for a, b in pairwise(days))


def _rose(course: _Course) -> bool:
    return all(one.rise >= EFFORT_RISE.value for one in course.last)


def _by_rating(built: Sequence[LoggedSession], today: date) -> _Course | None:
    """The course of session RPE, where enough sessions were rated."""
    last, before = _split([(s, s.rpe) for s in built if s.rpe is not None], today)
    if not last or not _is_no_harder([s for s, _ in last], [s for s, _ in before]):
        return None
    usual = median(effort for _, effort in before)
    efforts = tuple(_Effort(s.on, effort, effort - usual) for s, effort in last)
    return _Course(usual, len(before), efforts)


def _by_reserve(built: Sequence[LoggedSession], today: date) -> _Course | None:
    """The course of the reserve, set by set, where enough sets have one."""
    reserves = [(s, median(reserve)) for s in built if (reserve := _reserves(s))]
    last, before = _split(reserves, today)
    usual: dict[tuple[str, int], list[LoggedSet]] = {}
    for session, _ in before:
        for one in _working(session):
            if one.rir is not None:
                usual.setdefault((one.exercise.key, one.number), []).append(one)
    efforts = []
    for session, left in last:
        falls = [fall for one in _working(session) if (fall := _fall(one, usual)) is not None]
        if len(falls) < EFFORT_SETS_FEWEST.value:
            return None
        efforts.append(_Effort(session.on, left, median(falls)))
    if not efforts:
        return None
    return _Course(median(left for _, left in before), len(before), tuple(efforts), by_reserve=True)


def _working(session: LoggedSession) -> list[LoggedSet]:
    return [s for s in session.sets if not s.warm_up and s.exercise.measure is Measure.REPS]


def _reserves(session: LoggedSession) -> list[int]:
    return [s.rir for s in _working(session) if s.rir is not None]


def _fall(one: LoggedSet, usual: Mapping[tuple[str, int], Sequence[LoggedSet]]) -> float | None:
    """How much less than usual was left at no more than the usual work, or no answer."""
    same = usual.get((one.exercise.key, one.number), ())
    if one.rir is None or len(same) < USUAL_FEWEST.value:
        return None
    # Less help is more work, so a load of help counts against the others.
    sign = -1 if one.exercise.load_kind is LoadKind.ASSISTED else 1
    is_more = one.amount > median(s.amount for s in same)
    is_heavier = sign * one.load > median(sign * s.load for s in same)
    return None if is_more or is_heavier else median(s.rir or 0 for s in same) - one.rir


_Rated = tuple[LoggedSession, float]


def _split(rated: Sequence[_Rated], today: date) -> tuple[list[_Rated], list[_Rated]]:
    """The last sessions when they are news, and those of the weeks before."""
    last = list(rated[-LAST:])
    if len(last) < LAST:
        return [], []
    first, newest = last[0][0].on, last[-1][0].on
    recent = today - timedelta(days=RECENT_DAYS.value)
    if newest < today - timedelta(days=REVIEW_DAYS.value) or first < recent:
        return [], []
    since = first - timedelta(days=USUAL_DAYS.value)
    before = [(s, effort) for s, effort in rated[:-LAST] if s.on >= since]
    return (last, before) if len(before) >= EFFORT_USUAL_FEWEST.value else ([], [])


def _is_no_harder(last: Sequence[LoggedSession], before: Sequence[LoggedSession]) -> bool:
    """Whether every session asked for no more than usual, on the exercises that can be compared."""
    usual: dict[str, list[float]] = {}
    for session in before:
        for key, work in _work(session).items():
            usual.setdefault(key, []).append(work)
    return all(_is_no_harder_than(_work(session), usual) for session in last)


def _is_no_harder_than(work: Mapping[str, float], usual: Mapping[str, Sequence[float]]) -> bool:
    known = [key for key in work if key in usual]
    if 2 * len(known) <= len(work):
        return False
    asked = sum(work[key] for key in known)
    return asked <= EFFORT_SAME_WORK.value * sum(median(usual[key]) for key in known)


def _work(session: LoggedSession) -> dict[str, float]:
    """What each exercise asked for: repetitions or seconds times the system load."""
    work: dict[str, float] = {}
    for one in session.sets:
        if not one.warm_up:
            key = one.exercise.key
            work[key] = work.get(key, 0.0) + _asked(one, session.body_weight)
    return work


def _asked(one: LoggedSet, body_weight: float) -> float:
    """One set as planned, or as done where nothing was planned."""
    amount = one.amount if one.target is None else one.target
    load = one.load if one.target_load is None else one.target_load
    try:
        return amount * system_load(one.exercise, load, body_weight)
    except ValueError:
        return 0.0


def _finding(course: _Course) -> Finding:
    last = ", ".join(f"{one.logged:g}" for one in course.last)
    unit = " reps left" if course.by_reserve else " of 10"
    what = "Reserve fell" if course.by_reserve else "Effort rose"
    least = min(one.rise for one in course.last)
    return Finding(
        kind=FindingKind.EFFORT,
        sentence=(
            f"{what} at work that is no harder: usual {course.usual:g}, the last "
            f"{len(course.last)} sessions {last}{unit}."
        ),
        evidence=(
            Evidence("Usual", f"{course.usual:g}{unit}, the middle of {course.rated} sessions"),
            *(Evidence(f"{e.on.day} {e.on:%b}", f"{e.logged:g}{unit}") for e in course.last),
            Evidence("Harder by", f"{least:g} or more {'reps' if course.by_reserve else 'points'}"),
        ),
        rule=RULE,
        source_key="common-practice",
        since=course.last[0].on,
        could_not_know=COULD_NOT_KNOW,
        question=QUESTION,
    )
