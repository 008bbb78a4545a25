"""Overreaching: a fall of several exercises together that no plan explains.

Each session's mean fall below the client's own usual weeks is added up as it comes,
until the sum is more than chance; the fall began where the sum left zero.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from statistics import fmean, median

from coaching.rules.exposures import Exposure, Usual, percent
from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.log import LoggedSession
from coaching.rules.numbers import (
    ABSENCE_DAYS,
    EFFORT_RISE,
    FALL_LIMIT,
    FALL_MOST_OF_ONE,
    FALL_SLACK,
    HEAVIER_WORK,
    NOISE_FEWEST,
    RECENT_DAYS,
    SESSION_NOISE,
    SHARED_FALL_EXERCISES,
    SHARED_FALL_FEWEST,
    SHARED_FALL_LEAST,
    SHARED_FALL_SESSIONS,
    USUAL_DAYS,
    USUAL_FEWEST,
)
from coaching.rules.trends import tabular_cusum

RULE = (
    f"Each session of the last {RECENT_DAYS.value:g} days is compared, set by set, with the medians "
    f"of the {USUAL_DAYS.value:g} days before. The mean falls are added up beyond "
    f"{FALL_SLACK.value:g} standard deviations each (CUSUM, limit {FALL_LIMIT.value:g}), with as much "
    f"more where effort rose. At least {SHARED_FALL_EXERCISES.value:g} exercises, or most of those "
    f"trained, must have fallen, in {SHARED_FALL_SESSIONS.value:g} or more sessions. Deload and test "
    "weeks, heavier loads, new exercises and the two weeks after an absence of more than "
    f"{ABSENCE_DAYS.value:g} days are left out."
)
COULD_NOT_KNOW = "The log does not know of sleep, illness, food, work or stress."
QUESTION = (
    "Your last sessions were harder than usual on several exercises. How have you slept and eaten "
    "since then, have you been ill, and does anything hurt?"
)


@dataclass(frozen=True, slots=True)
class SharedFall:
    """The finding, and the keys of the exercises that fell."""

    finding: Finding
    exercises: frozenset[str]


@dataclass(frozen=True)
class _Comparison:
    """What each recent exposure lost against the usual, and the noise of a session."""

    falls: tuple[tuple[Exposure, float], ...]
    trained: Mapping[date, int]
    usual: Mapping[str, Usual]
    noise: float
    usual_rpe: float | None


def find_overreaching(
    sessions: Sequence[LoggedSession],
    series: Mapping[str, Sequence[Exposure]],
    *,
    today: date,
) -> SharedFall | None:
    """The fall that several exercises share and nothing planned explains, if there is one.

    Args:
        sessions: Logged sessions, oldest first, deload weeks among them.
        series: What ``read_exposures`` makes of them.
        today: The day of the review.

    It cannot see a fall of a client who stops every set at its target and logs
    neither reserve nor effort.
    """
    returned = _returned_on(sessions, today)
    if returned is None:
        return None
    compared = _compare(series, returned, today)
    since = _onset(compared)
    if since is None:
        return None
    fallen = _fallen(compared, since)
    judged = {e.exercise.key for e, _ in compared.falls if e.on >= since}
    most = max(SHARED_FALL_FEWEST.value, len(judged) // 2 + 1)
    needed = min(SHARED_FALL_EXERCISES.value, most)
    days = {e.on for e, _ in compared.falls if e.on >= since}
    few_days = len(days) < SHARED_FALL_SESSIONS.value
    if len(fallen) < needed or 2 * len(fallen) <= len(judged) or few_days:
        return None
    return SharedFall(_finding(compared, fallen, len(judged), since), frozenset(fallen))


def _returned_on(sessions: Sequence[LoggedSession], today: date) -> date | None:
    """The first day after the last long gap, the very first day, or none while away."""
    days = sorted({s.on for s in sessions if s.on <= today})
    if not days or (today - days[-1]).days > ABSENCE_DAYS.value:
        return None
    gaps = [b for a, b in pairwise(days) if (b - a).days > ABSENCE_DAYS.value]
    return gaps[-1] if gaps else days[0]


def _compare(series: Mapping[str, Sequence[Exposure]], returned: date, today: date) -> _Comparison:
    recent_from = today - timedelta(days=RECENT_DAYS.value)
    # What was before a long absence is no longer the client's usual.
    usual_from = max(returned, recent_from - timedelta(days=USUAL_DAYS.value))
    falls: list[tuple[Exposure, float]] = []
    before: list[tuple[date, float]] = []
    trained: dict[date, int] = {}
    usual: dict[str, Usual] = {}
    rpe: dict[date, float] = {}
    for key, exposures in series.items():
        earlier = [e for e in exposures if usual_from <= e.on <= recent_from]
        recent = [e for e in exposures if recent_from < e.on <= today]
        rpe |= {e.on: e.rpe for e in earlier if e.rpe is not None}
        for one in recent:
            level = _same_level(earlier, one)
            if level is None:
                continue
            usual[key] = level
            trained[one.on] = trained.get(one.on, 0) + 1
            fall = level.fall_of(one)
            if fall is not None:
                falls.append((one, fall))
        if len(earlier) >= USUAL_FEWEST.value:
            own = Usual(tuple(earlier))
            known = ((e.on, own.fall_of(e)) for e in earlier)
            before.extend((on, fall) for on, fall in known if fall is not None)
    usual_rpe = median(rpe.values()) if len(rpe) >= USUAL_FEWEST.value else None
    return _Comparison(tuple(falls), trained, usual, _noise(before), usual_rpe)


def _same_level(earlier: Sequence[Exposure], one: Exposure) -> Usual | None:
    """Earlier exposures that a load may be compared with: none much lighter than it."""
    system = median(s.system for s in one.sets)
    level = tuple(
        e for e in earlier if system <= HEAVIER_WORK.value * median(s.system for s in e.sets)
    )
    return Usual(level) if len(level) >= USUAL_FEWEST.value else None


def _noise(falls: Sequence[tuple[date, float]]) -> float:
    """Robust day-to-day spread of a session's mean fall [log share]."""
    means = [fmean(group) for group in _by_day(falls).values()]
    if len(means) < NOISE_FEWEST.value:
        return SESSION_NOISE.value
    centre = median(means)
    return max(SESSION_NOISE.value, 1.4826 * median(abs(m - centre) for m in means))


def _by_day(falls: Sequence[tuple[date, float]]) -> dict[date, list[float]]:
    days: dict[date, list[float]] = {}
    for on, fall in sorted(falls):
        days.setdefault(on, []).append(fall)
    return days


def _onset(compared: _Comparison) -> date | None:
    """The first day of a fall that is more than chance and has not passed."""
    by_day = _by_day([(e.on, fall) for e, fall in compared.falls])
    # Where the targets were lowered and met, most exercises tell nothing: such a session is
    # no sign of recovery.
    by_day = {on: f for on, f in by_day.items() if 2 * len(f) >= compared.trained[on]}
    if not by_day:
        return None
    effort = {e.on: e.rpe for e, _ in compared.falls}
    steps = []
    for on, falls in by_day.items():
        # One spoilt session must not raise the alarm by itself.
        score = min(FALL_LIMIT.value * FALL_MOST_OF_ONE.value, fmean(falls) / compared.noise)
        rpe, usual = effort[on], compared.usual_rpe
        if rpe is not None and usual is not None and rpe - usual >= EFFORT_RISE.value:
            score += FALL_SLACK.value
        steps.append(score)
    sums = tabular_cusum(steps, usual=0.0, slack=FALL_SLACK.value)
    if sums.above[-1] < FALL_LIMIT.value or steps[-1] <= FALL_SLACK.value:
        return None
    return list(by_day)[-sums.steps_above[-1]]


def _fallen(compared: _Comparison, since: date) -> dict[str, float]:
    """Exercises that fell since the onset, with their mean fall [log share]."""
    by_exercise: dict[str, list[float]] = {}
    for exposure, fall in compared.falls:
        if exposure.on >= since:
            by_exercise.setdefault(exposure.exercise.key, []).append(fall)
    means = {key: fmean(falls) for key, falls in by_exercise.items()}
    return {key: fall for key, fall in means.items() if fall >= SHARED_FALL_LEAST.value}


def _finding(
    compared: _Comparison, fallen: Mapping[str, float], judged: int, since: date
) -> Finding:
    recent = [e for e, _ in compared.falls if e.on >= since]
    falls = sorted(percent(fall) for fall in fallen.values())
    effort = _effort(compared, recent)
    sentence = (
        f"{_count(len(fallen))} of {_count(judged).lower()} exercises fell together by "
        f"{_least(compared, fallen)}{median(falls):.0f} % (range {falls[0]:.0f} to {falls[-1]:.0f} %) since "
        f"{since:%A} {since.day} {since:%b}. Nothing planned explains it: no deload, no change of "
        f"exercise, no missed week."
    )
    if effort is not None:
        sentence += f" Effort rose from {effort[0]:.0f} to {effort[1]:.0f}."
    return Finding(
        kind=FindingKind.OVERREACHING,
        sentence=sentence,
        evidence=tuple(_evidence(compared, recent, fallen, effort)),
        rule=RULE,
        source_key="meeusen-2013",
        since=since,
        could_not_know=COULD_NOT_KNOW,
        question=QUESTION,
    )


def _least(compared: _Comparison, fallen: Mapping[str, float]) -> str:
    """Whether the usual sets mostly stopped at their target and so hide a part of the fall."""
    sets = [s for key in fallen for e in compared.usual[key].exposures for s in e.sets]
    return "at least " if 2 * sum(s.is_measured for s in sets) < len(sets) else ""


def _effort(compared: _Comparison, recent: Sequence[Exposure]) -> tuple[float, float] | None:
    """Session RPE before and since, where it rose enough to be a second witness."""
    now = {e.on: e.rpe for e in recent if e.rpe is not None}
    if compared.usual_rpe is None or not now:
        return None
    after = median(now.values())
    return (compared.usual_rpe, after) if after - compared.usual_rpe >= EFFORT_RISE.value else None


def _evidence(
    compared: _Comparison,
    recent: Sequence[Exposure],
    fallen: Mapping[str, float],
    effort: tuple[float, float] | None,
) -> list[Evidence]:
    lines = []
    for key, fall in sorted(fallen.items(), key=lambda item: -item[1]):
        last = [e for e in recent if e.exercise.key == key][-1]
        before = compared.usual[key].exposures[-1]
        lines.append(
            Evidence(
                last.exercise.name,
                f"−{percent(fall):.0f} %: {before.written} on {before.on.day} {before.on:%b}, "
                f"{last.written} on {last.on.day} {last.on:%b}",
            )
        )
    sets = sum(len(e.sets) for e in recent)
    lines.append(Evidence("Targets missed", f"{sum(e.missed for e in recent)} of {sets} sets"))
    if effort is not None:
        lines.append(
            Evidence("Session effort", f"{effort[0]:.1f} before, {effort[1]:.1f} of 10 now")
        )
    lines.append(Evidence("Noise of a session", f"± {100 * compared.noise:.1f} %"))
    return lines


def _count(number: int) -> str:
    words = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten")
    return words[number] if number < len(words) else str(number)
