"""What a client's log says, most urgent first.

``read_signals`` puts together what the other rules find: warning words
(``red_flags``), pain (``care``), a shared fall and
drops of one exercise as the model of ability believes them (``ability``, ``shared_fall``,
``exercise_drop``), missed sessions, effort that rises (``effort_trend``), what looks
mistyped (``log_checks``), and each exercise by itself (``exercise_trend``). ``exposures``
turns sessions into the series that most of them read.
"""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from coaching.rules.ability import Believed, believe
from coaching.rules.care import find_pain
from coaching.rules.effort_trend import find_rising_effort
from coaching.rules.exercise_drop import exercise_drop, pain_on
from coaching.rules.exercise_trend import find_pacing_fault, judge_exercise, stalled_with
from coaching.rules.exposures import Exposure, ExposureReader
from coaching.rules.fall_numbers import OWN_DROP_SAID
from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.log import Attendance, LoggedSession
from coaching.rules.log_checks import find_log_mistakes
from coaching.rules.numbers import (
    ABSENCE_DAYS,
    DELOAD_DUE_FROM,
    DELOAD_DUE_UNTIL,
    JUDGED_DAYS,
    MISSED_SESSIONS,
    RECENT_DAYS,
    REVIEW_DAYS,
    USUAL_DAYS,
)
from coaching.rules.red_flags import find_red_flags
from coaching.rules.return_check import return_check, return_finding
from coaching.rules.shared_fall import SharedFall, find_overreaching
from coaching.rules.watchfulness import USUAL_BUDGET, threshold_for

NO_REASON = "no reason given"
_URGENCY = {kind: place for place, kind in enumerate(FindingKind)}
# The rules look back so far; older sessions change nothing [days].
_LOOK_BACK = RECENT_DAYS.value + 2 * USUAL_DAYS.value


def read_signals(
    sessions: Sequence[LoggedSession],
    attendance: Sequence[Attendance],
    *,
    today: date,
    believed: Believed | None = None,
    false_alarms_a_year: float = USUAL_BUDGET,
    reader: ExposureReader | None = None,
) -> tuple[Finding, ...]:
    """Everything a client's log says on a day, most urgent first.

    Args:
        sessions: Logged sessions, oldest first; ten weeks are enough.
        attendance: What became of the planned sessions.
        today: The day of the review; later sessions are not read.
        believed: What the model of ability believes after the last session up to today, from as
            much of the log as there is; when none, it is read from these sessions.
        false_alarms_a_year: How watchful to be about overreaching [false alarms per client
            and year]; one of ``watchfulness.budgets()``.
        reader: One for all weeks of a log saves reading its sessions anew each time.
    """
    from_day = today - timedelta(days=_LOOK_BACK)
    known = [s for s in sessions if from_day <= s.on <= today]
    series = (reader or ExposureReader()).read(known)
    believed = believe(known) if believed is None else believed
    fall = _fall(believed, series, threshold_for(false_alarms_a_year), today)
    mistakes = find_log_mistakes(known, today=today)
    found = [
        *find_red_flags(known, today=today),
        *find_pain(known, today=today),
        *mistakes,
    ]
    found += [fall.finding] if fall is not None else []
    found += _of_return(known, fall, today)
    # A shared fall tells of the effort itself.
    effort = find_rising_effort(known, today=today) if fall is None else None
    missed = find_missed_sessions(attendance, today=today)
    found += [one for one in (effort, missed) if one is not None]
    lately = {
        key: exposures
        for key, exposures in series.items()
        if (today - exposures[-1].on).days <= JUDGED_DAYS.value
    }
    found += _of_exercises(known, lately, believed, fall, mistakes, today)
    if believed is not None and fall is None:
        found += _drops(known, lately, believed)
    return tuple(sorted(found, key=lambda one: _URGENCY[one.kind]))


def _of_return(
    known: Sequence[LoggedSession], fall: SharedFall | None, today: date
) -> list[Finding]:
    """Whether strength came back after a light week; a fall since then tells of it itself."""
    check = return_check(known, today=today)
    found = return_finding(check) if check is not None else None
    return [found] if found is not None and fall is None else []


def _fall(
    believed: Believed | None,
    series: Mapping[str, Sequence[Exposure]],
    threshold: float,
    today: date,
) -> SharedFall | None:
    """A shared fall, unless the client has been away since."""
    if believed is None or (today - believed.on).days > ABSENCE_DAYS.value:
        return None
    return find_overreaching(believed, series, threshold=threshold)


def _of_exercises(
    sessions: Sequence[LoggedSession],
    series: Mapping[str, Sequence[Exposure]],
    believed: Believed | None,
    fall: SharedFall | None,
    mistakes: Sequence[Finding],
    today: date,
) -> list[Finding]:
    """What each exercise says by itself."""
    found = []
    # Nobody is told to start slower because of a number that was mistyped.
    mistyped = {finding.exercise for finding in mistakes}
    since = today - timedelta(days=REVIEW_DAYS.value)
    for key, exposures in series.items():
        fell = fall is not None and key in fall.exercises
        finding = judge_exercise(exposures, fell_with_others=fell)
        own = None if believed is None else believed.exercises.get(key)
        if own is not None and finding.kind is FindingKind.STALLED:
            finding = stalled_with(finding, own.no_gain)
        found.append(finding)
        pacing = find_pacing_fault(exposures, since=since)
        # A fall that hurts is pain, whatever the first set was.
        hurts = pacing is not None and pain_on(sessions, key, exposures[-1].on)
        if pacing is not None and key not in mistyped and not hurts:
            found.append(pacing)
    return found


def _drops(
    sessions: Sequence[LoggedSession],
    series: Mapping[str, Sequence[Exposure]],
    believed: Believed,
) -> list[Finding]:
    """Exercises that have more likely than not fallen alone."""
    return [
        exercise_drop(
            series[key][-1].exercise,
            share=own.share,
            probability=own.dropped,
            since=own.since,
            pain=pain_on(sessions, key, own.since),
        )
        for key, own in believed.exercises.items()
        if key in series and own.since is not None and own.dropped >= OWN_DROP_SAID.value
    ]


def find_missed_sessions(attendance: Sequence[Attendance], *, today: date) -> Finding | None:
    """Two or more planned sessions missed in a week, or one or more two weeks running."""
    week = timedelta(days=REVIEW_DAYS.value)
    past = sorted((a for a in attendance if a.on < today), key=lambda a: a.on)
    this = [a for a in past if a.on >= today - week]
    before = [a for a in past if today - 2 * week <= a.on < today - week]
    missed, earlier = ([a for a in group if not a.done] for group in (this, before))
    if not missed or (len(missed) < MISSED_SESSIONS.value and not earlier):
        return None
    days, of_days = f"{REVIEW_DAYS.value:g} days", f"{len(missed)} of {len(this)}"
    sentence = f"{of_days} planned sessions were missed in the last {days}"
    counts = [Evidence(f"Missed in the last {days}", of_days)]
    if earlier:
        of_before = f"{len(earlier)} of {len(before)}"
        sentence += f", {of_before} in the {days} before"
        counts.append(Evidence(f"Missed in the {days} before", of_before))
    return Finding(
        kind=FindingKind.MISSED,
        sentence=f"{sentence}.",
        evidence=(
            *counts,
            *(
                Evidence(f"{a.on.day} {a.on:%b}", f"{a.name}: {a.skipped_reason or NO_REASON}")
                for a in (*earlier, *missed)
            ),
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
    weeks = f"{weeks_since_last_deload:g} weeks since the last light week"
    return Finding(
        kind=FindingKind.DELOAD_DUE,
        sentence=f"{weeks}: {'plan one now' if over else 'one may be due within two weeks'}.",
        evidence=(
            Evidence("Since the last light week", f"{weeks_since_last_deload:g} weeks"),
            Evidence("Usual among strength athletes", "every 5.6 ± 2.3 weeks"),
        ),
        rule="A light week every 4 to 6 weeks, sooner when several exercises fall together.",
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
