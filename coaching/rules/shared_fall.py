"""Overreaching: a fall of several exercises together that no plan explains.

Whether one is running, since when and how likely is what the model of ability believes
(``ability``); here it is put into words, with the sets before and since then beside it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import inf
from statistics import fmean, median

from coaching.rules.ability import Believed
from coaching.rules.exposures import Exposure, Usual, percent
from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.likelihood import likely_words
from coaching.rules.numbers import (
    EFFORT_RISE,
    HEAVIER_WORK,
    SHARED_FALL_LEAST,
    USUAL_DAYS,
    USUAL_FEWEST,
)
from coaching.rules.plan import LoadKind

RULE = (
    "Every set is read together with the plan, the reserve and the effort of the session: what each "
    "exercise can do, what all share, the noise of a day. A fall that all share and that began on "
    "any day is weighed against the client's ordinary ups and downs. It must stay likely when the "
    "exercise that speaks most for it is left out. Light weeks, light days, absences, new exercises and "
    "jumps in load are part of the reckoning and are not flagged."
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
    """What each exposure since the onset lost against the usual before it."""

    falls: tuple[tuple[Exposure, float], ...]
    usual: Mapping[str, Usual]
    usual_rpe: float | None


def find_overreaching(
    believed: Believed,
    series: Mapping[str, Sequence[Exposure]],
    *,
    threshold: float,
) -> SharedFall | None:
    """What is said of a fall that several exercises share, if one is likely enough.

    Args:
        believed: What the model believes after the last session.
        series: What ``read_exposures`` makes of the last weeks.
        threshold: The probability [0-1] from which it is said (``watchfulness``).

    It cannot see a fall of a client who stops every set at its target and logs
    neither reserve nor effort.
    """
    if believed.since is None or believed.fall_of_several < threshold:
        return None
    compared = _compare(series, believed.since)
    fallen = _fallen(compared)
    return SharedFall(_finding(believed, believed.since, compared, fallen), frozenset(fallen))


def _compare(series: Mapping[str, Sequence[Exposure]], since: date) -> _Comparison:
    falls: list[tuple[Exposure, float]] = []
    usual: dict[str, Usual] = {}
    rpe: dict[date, float] = {}
    for key, exposures in series.items():
        from_day = since - timedelta(days=USUAL_DAYS.value)
        earlier = [e for e in exposures if from_day <= e.on < since]
        rpe |= {e.on: e.rpe for e in earlier if e.rpe is not None}
        for one in exposures:
            level = _same_level(earlier, one) if one.on >= since else None
            fall = None if level is None else level.fall_of(one)
            if level is not None and fall is not None:
                usual[key] = level
                falls.append((one, fall))
    usual_rpe = median(rpe.values()) if len(rpe) >= USUAL_FEWEST.value else None
    return _Comparison(tuple(falls), usual, usual_rpe)


def _same_level(earlier: Sequence[Exposure], one: Exposure) -> Usual | None:
    """Earlier exposures that a load may be compared with: none much lighter than it."""
    system = median(s.system for s in one.sets)
    level = tuple(
        e for e in earlier if system <= HEAVIER_WORK.value * median(s.system for s in e.sets)
    )
    return Usual(level) if len(level) >= USUAL_FEWEST.value else None


def _fallen(compared: _Comparison) -> dict[str, float]:
    """Exercises that fell since the onset, with their mean fall [log share]."""
    by_exercise: dict[str, list[float]] = {}
    for exposure, fall in compared.falls:
        by_exercise.setdefault(exposure.exercise.key, []).append(fall)
    means = {key: fmean(falls) for key, falls in by_exercise.items()}
    return {key: fall for key, fall in means.items() if fall >= SHARED_FALL_LEAST.value}


def _finding(
    believed: Believed, since: date, compared: _Comparison, fallen: Mapping[str, float]
) -> Finding:
    judged = {e.exercise.key for e, _ in compared.falls}
    recent = [e for e, _ in compared.falls]
    effort = _effort(compared, recent)
    sentence = (
        f"All exercises together are about {100 * believed.share:.0f} % weaker since {since:%A} "
        f"{since.day} {since:%b} ({likely_words(believed.fall)})."
    )
    if fallen:
        falls = sorted(percent(fall) for fall in fallen.values())
        sentence += (
            f" Of {len(judged)} that can be compared set by set {len(fallen)} fell by "
            f"{_least(compared, fallen)}{_range(falls)}."
        )
    sentence += (
        " Nothing planned explains it: no light week, no change of exercise, no missed week."
    )
    if effort is not None:
        sentence += f" Effort rose from {effort[0]:.0f} to {effort[1]:.0f}."
    return Finding(
        kind=FindingKind.OVERREACHING,
        sentence=sentence,
        evidence=(
            Evidence(
                "All exercises together",
                f"about {100 * believed.share:.0f} % weaker since {since.day} {since:%b}",
            ),
            *_evidence(compared, recent, fallen, effort),
        ),
        rule=RULE,
        source_key="meeusen-2013",
        since=since,
        could_not_know=COULD_NOT_KNOW,
        question=QUESTION,
        probability=believed.fall,
    )


def _range(falls: Sequence[float]) -> str:
    """Sorted percentages in words.

    >>> _range([4.0, 6.0, 9.4]), _range([5.2])
    ('6 % (range 4 to 9 %)', '5 %')
    """
    middle = f"{median(falls):.0f} %"
    return middle if len(falls) == 1 else f"{middle} (range {falls[0]:.0f} to {falls[-1]:.0f} %)"


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


def example_words(before: Exposure, last: Exposure) -> str:
    """The sets before and since, as an example of a loss; empty where they would be read as a gain."""
    if _looks_better(before, last):
        return ""
    return f"{_example(before, last)}, {_example(last, before)}"


def _looks_better(before: Exposure, last: Exposure) -> bool:
    """Whether the later sets alone would be read as a gain, with nothing that tells why they are none."""
    help_less = -1 if last.exercise.load_kind is LoadKind.ASSISTED else 1
    load, earlier = (help_less * one.load for one in (last, before))
    explained = load < earlier or _reserve(last) < _reserve(before)
    return (last.work > before.work or load > earlier) and not explained


def _reserve(exposure: Exposure) -> float:
    """The least reserve of its sets; none told is more than any."""
    return min((s.reserve for s in exposure.sets if s.reserve is not None), default=inf)


def _example(one: Exposure, other: Exposure) -> str:
    """Its sets and its day, with the load where that differs and the reserve where it was told."""
    load = f" at {one.load:g} kg" if one.load != other.load else ""
    least = _reserve(one)
    left = "" if least == inf else f", {least:g} in reserve" if least else ", to failure"
    return f"{one.written}{load}{left} on {one.on.day} {one.on:%b}"


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
        told = example_words(before, last)
        lines.append(
            Evidence(last.exercise.name, f"−{percent(fall):.0f} %" + (f": {told}" if told else ""))
        )
    sets = sum(len(e.sets) for e in recent)
    lines.append(Evidence("Targets missed", f"{sum(e.missed for e in recent)} of {sets} sets"))
    if effort is not None:
        lines.append(
            Evidence("Session effort", f"{effort[0]:.1f} before, {effort[1]:.1f} of 10 now")
        )
    return lines
