"""What a client's log says, most urgent first.

``read_signals`` puts together what the other rules find: pain (``care``), a shared
fall (``shared_fall``), missed sessions, effort that rises (``effort_trend``), what looks
mistyped (``log_checks``), and each exercise by itself (``exercise_trend``). ``exposures``
turns sessions into the series that most of them read.
"""

from collections.abc import Sequence
from datetime import date, timedelta

from coaching.rules.care import find_pain
from coaching.rules.effort_trend import find_rising_effort
from coaching.rules.exercise_trend import find_pacing_fault, judge_exercise
from coaching.rules.exposures import read_exposures
from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.log import Attendance, LoggedSession
from coaching.rules.log_checks import find_log_mistakes
from coaching.rules.numbers import (
    DELOAD_DUE_FROM,
    DELOAD_DUE_UNTIL,
    JUDGED_DAYS,
    MISSED_SESSIONS,
    RECENT_DAYS,
    REVIEW_DAYS,
    USUAL_DAYS,
)
from coaching.rules.shared_fall import find_overreaching

_URGENCY = {kind: place for place, kind in enumerate(FindingKind)}
# The rules look back so far; older sessions change nothing [days].
_LOOK_BACK = RECENT_DAYS.value + 2 * USUAL_DAYS.value


def read_signals(
    sessions: Sequence[LoggedSession], attendance: Sequence[Attendance], *, today: date
) -> tuple[Finding, ...]:
    """Everything a client's log says on a day, most urgent first.

    Args:
        sessions: Logged sessions, oldest first; ten weeks are enough.
        attendance: What became of the planned sessions.
        today: The day of the review; later sessions are not read.
    """
    from_day = today - timedelta(days=_LOOK_BACK)
    known = [s for s in sessions if from_day <= s.on <= today]
    series = read_exposures(known)
    found = find_pain(known, today=today)
    fall = find_overreaching(known, series, today=today)
    missed = find_missed_sessions(attendance, today=today)
    if fall is not None:
        found.append(fall.finding)
    if missed is not None:
        found.append(missed)
    # A shared fall tells of the effort itself.
    effort = find_rising_effort(known, today=today) if fall is None else None
    found.extend([effort] if effort is not None else [])
    mistakes = find_log_mistakes(known, today=today)
    found.extend(mistakes)
    for exposures in series.values():
        if (today - exposures[-1].on).days > JUDGED_DAYS.value:
            continue
        fell = fall is not None and exposures[-1].exercise.key in fall.exercises
        found.append(judge_exercise(exposures, fell_with_others=fell))
        since = today - timedelta(days=REVIEW_DAYS.value)
        pacing = find_pacing_fault(exposures, since=since)
        # Nobody is told to start slower because of a number that was mistyped.
        mistyped = any(f.exercise == exposures[-1].exercise.key for f in mistakes)
        if pacing is not None and not mistyped:
            found.append(pacing)
    return tuple(sorted(found, key=lambda one: _URGENCY[one.kind]))


def find_missed_sessions(attendance: Sequence[Attendance], *, today: date) -> Finding | None:
    """Two or more planned sessions missed in a week, or one or more two weeks running."""
    week = timedelta(days=REVIEW_DAYS.value)
    past = sorted((a for a in attendance if a.on < today), key=lambda a: a.on)
    this = [a for a in past if a.on >= today - week]
    before = [a for a in past if today - 2 * week <= a.on < today - week]
    missed, earlier = ([a for a in group if not a.done] for group in (this, before))
    if not missed or (len(missed) < MISSED_SESSIONS.value and not earlier):
        return None
    sentence = f"{len(missed)} of {len(this)} planned sessions were missed in the last week"
    if earlier:
        sentence += f", {len(earlier)} of {len(before)} in the week before"
    return Finding(
        kind=FindingKind.MISSED,
        sentence=f"{sentence}.",
        evidence=tuple(
            Evidence(f"{a.on.day} {a.on:%b}", f"{a.name}: {a.skipped_reason or 'no reason given'}")
            for a in (*earlier, *missed)
        ),
        rule=(
            f"{MISSED_SESSIONS.value:g} or more planned sessions missed in {REVIEW_DAYS.value:g} days, "
            "or 1 or more in each of two weeks."
        ),
        source_key="common-practice",
        since=(*earlier, *missed)[0].on,
        could_not_know="Why, unless the client wrote it.",
        question="What got in the way of training, and what would fit next week?",
    )


def deload_due(weeks_since_last_deload: float) -> Finding | None:
    """Whether a light week is coming up, from the weeks trained since the last one.

    >>> deload_due(3) is None
    True
    """
    if weeks_since_last_deload < DELOAD_DUE_FROM.value:
        return None
    over = weeks_since_last_deload >= DELOAD_DUE_UNTIL.value
    weeks = f"{weeks_since_last_deload:g} weeks since the last deload"
    return Finding(
        kind=FindingKind.DELOAD_DUE,
        sentence=f"{weeks}: {'plan one now' if over else 'one may be due within two weeks'}.",
        evidence=(
            Evidence("Since the last deload", f"{weeks_since_last_deload:g} weeks"),
            Evidence("Usual among strength athletes", "every 5.6 ± 2.3 weeks"),
        ),
        rule="A deload every 4 to 6 weeks, sooner when several exercises fall together.",
        source_key="rogerson-2024",
        could_not_know="How recovered the client feels.",
    )


def block_ends(ends_on: date, *, today: date) -> Finding | None:
    """Whether the programme block ends within a week or has ended.

    >>> block_ends(date(2025, 3, 30), today=date(2025, 3, 3)) is None
    True
    """
    left = (ends_on - today).days
    if left > REVIEW_DAYS.value:
        return None
    words = f"ended on {ends_on:%A}" if left < 0 else f"ends on {ends_on:%A}"
    return Finding(
        kind=FindingKind.BLOCK_ENDS,
        sentence=f"The block {words} {ends_on.day} {ends_on:%b}; the next one is to be written.",
        evidence=(Evidence("Days left", str(max(0, left))),),
        rule="Said from 7 days before the last day of the block.",
        source_key="common-practice",
        since=ends_on,
    )
