"""One exercise by itself: progressing, holding or stalled, and its pacing."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from statistics import median

from coaching.rules.exposures import Exposure, Usual, percent
from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.likelihood import likely_words
from coaching.rules.numbers import (
    FALL_OF_ONE_SESSIONS,
    PACING_DROP,
    PACING_LOOK_BACK,
    PROGRESS_LEAST,
    STALL_DAYS,
    STALL_EXPOSURES,
    STALL_LAST,
    STALL_RESERVE,
    STALL_TRIED,
    TREND_FEWEST,
    TREND_SESSIONS,
    TYPICAL_ERROR,
    USUAL_BEFORE_FALL,
    USUAL_FEWEST,
)
from coaching.rules.plan import Measure
from coaching.rules.trends import mann_kendall, theil_sen

LAST = int(TREND_SESSIONS.value)
TREND_RULE = (
    f"Theil-Sen slope and Mann-Kendall count over the last {LAST} sessions of the exercise, on "
    f"estimated strength from every set; progress is {100 * PROGRESS_LEAST.value:g} % or more with "
    "more rises than falls, or a heavier load with its targets met."
)
STALL_RULE = (
    f"Stalled is said late: {STALL_EXPOSURES.value:g} or more sessions at the same load over "
    f"{STALL_DAYS.value:g} days or more, no best in the last {STALL_LAST.value:g}, a slope of zero or "
    f"less, and targets missed in {STALL_TRIED.value:g} of the last {STALL_LAST.value:g} (without "
    f"targets: {STALL_RESERVE.value:g} repetition or less in reserve)."
)
PACING_RULE = (
    f"First set {PACING_DROP.value:g} or more repetitions above the last, beyond what the targets "
    "ask."
)
BLIND = (
    "Every set stopped at its target and no reserve was logged, so a fall would not show here. "
    "Ask for the reserve of the last set."
)


def judge_exercise(exposures: Sequence[Exposure], *, fell_with_others: bool = False) -> Finding:
    """Whether an exercise progresses, holds or is stalled; one finding.

    Args:
        exposures: Sessions of one exercise, oldest first, at least one.
        fell_with_others: It takes part in a fall of several exercises, which says more
            than its own course.
    """
    if fell_with_others:
        name = exposures[-1].exercise.name
        return _trend(FindingKind.HOLDING, exposures[-LAST:], f"{name} fell together with others.")
    stuck = _stuck(exposures)
    return _stalled(stuck) if stuck else _progressing_or_holding(exposures)


def _progressing_or_holding(exposures: Sequence[Exposure]) -> Finding:
    last = exposures[-LAST:]
    if len(last) < TREND_FEWEST.value:
        return _holding(
            last, f"{len(last)} session{'s' * (len(last) > 1)} so far, too few to judge"
        )
    change = _change(last)
    rises = mann_kendall([e.index for e in last]).s > 0
    if change >= PROGRESS_LEAST.value and rises:
        return _progressing(last, f"{-percent(-change):+.0f} % over {len(last)} sessions")
    if last[-1].load > last[0].load and not last[-1].missed:
        return _progressing(last, f"{last[0].load:g} to {last[-1].load:g} kg, targets met")
    fall = _own_fall(exposures)
    if fall is not None:
        return _holding(
            last,
            f"{percent(fall):.0f} % weaker in the last {FALL_OF_ONE_SESSIONS.value:g} sessions; look at "
            "pain, technique and load",
        )
    return _holding(last, "no clear change")


def _change(exposures: Sequence[Exposure]) -> float:
    """Change in log strength over the sessions, by the Theil-Sen slope."""
    days = [(e.on - exposures[0].on).days for e in exposures]
    line = theil_sen(days, [e.index for e in exposures])
    return 0.0 if line is None else line.slope * days[-1]


def _own_fall(exposures: Sequence[Exposure]) -> float | None:
    """How far the last two sessions both lie under those before, beyond typical error."""
    last, most = int(FALL_OF_ONE_SESSIONS.value), int(USUAL_BEFORE_FALL.value)
    before = exposures[:-last]
    if len(before) < USUAL_FEWEST.value:
        return None
    usual = Usual(tuple(before[-most:]))
    falls = [usual.fall_of(e) for e in exposures[-last:]]
    known = [f for f in falls if f is not None]
    return min(known) if len(known) == last and min(known) >= TYPICAL_ERROR.value else None


def _stuck(exposures: Sequence[Exposure]) -> list[Exposure]:
    """The last sessions at one load, when they show no progress in spite of effort."""
    run: list[Exposure] = []
    for one in reversed(exposures):
        if one.load != exposures[-1].load:
            break
        run.insert(0, one)
    if len(run) < STALL_EXPOSURES.value or (run[-1].on - run[0].on).days < STALL_DAYS.value:
        return []
    last = int(STALL_LAST.value)
    no_best = max(e.work for e in run[-last:]) <= max(e.work for e in run[:-last])
    tried = sum(_tried(e) for e in run[-last:]) >= STALL_TRIED.value
    recent = run[-LAST:]
    flat = _change(recent) <= 0 and mann_kendall([e.index for e in recent]).s <= 0
    return run if no_best and tried and flat else []


def _tried(exposure: Exposure) -> bool:
    """Whether the client worked as hard as the plan, or the set, allowed."""
    if any(s.target is not None for s in exposure.sets):
        return exposure.missed > 0
    reserves = [s.reserve for s in exposure.sets if s.reserve is not None]
    return bool(reserves) and min(reserves) <= STALL_RESERVE.value


def _stalled(run: Sequence[Exposure]) -> Finding:
    best = max(run, key=lambda e: e.work)
    last = run[-1]
    unit = "s" if last.exercise.measure is Measure.SECONDS else "reps"
    return Finding(
        kind=FindingKind.STALLED,
        sentence=(
            f"{last.exercise.name} has not moved in {len(run)} sessions since "
            f"{best.on:%A} {best.on.day} {best.on:%b}, in spite of effort."
        ),
        evidence=(
            Evidence("Best", f"{best.written} = {best.work} {unit} on {best.on.day} {best.on:%b}"),
            Evidence("Last", f"{last.written} = {last.work} {unit}"),
            Evidence("Sessions with a missed target", f"{sum(e.missed > 0 for e in run)}"),
        ),
        rule=STALL_RULE,
        source_key="helsel-hirsch",
        exercise=last.exercise.key,
        since=best.on,
        could_not_know="Three weeks without gain can also be noise; the log does not know of sleep, "
        "illness or food.",
        question=f"How does {last.exercise.name} feel, and what gives out first?",
    )


def stalled_with(stalled: Finding, no_gain: float) -> Finding:
    """A stall, which is counted, with how likely nothing was gained by all sets together [0-1]."""
    told = Evidence("Nothing gained, by all sets together", likely_words(no_gain))
    return replace(stalled, probability=no_gain, evidence=(*stalled.evidence, told))


def _progressing(last: Sequence[Exposure], how: str) -> Finding:
    return _trend(FindingKind.PROGRESSING, last, f"{last[-1].exercise.name} is progressing: {how}.")


def _holding(last: Sequence[Exposure], how: str) -> Finding:
    return _trend(FindingKind.HOLDING, last, f"{last[-1].exercise.name} is holding: {how}.")


def _trend(kind: FindingKind, last: Sequence[Exposure], sentence: str) -> Finding:
    blind = all(e.at_least and e.rpe is None for e in last)
    return Finding(
        kind=kind,
        sentence=sentence,
        evidence=tuple(
            Evidence(f"{e.on.day} {e.on:%b}", f"{e.written} at {e.load:g} kg") for e in last
        ),
        rule=TREND_RULE,
        source_key="helsel-hirsch",
        exercise=last[-1].exercise.key,
        could_not_know=BLIND if blind else "",
        question="On your last set, how many more good repetitions were left?" if blind else "",
    )


def find_pacing_fault(exposures: Sequence[Exposure], *, since: date) -> Finding | None:
    """Whether repetitions collapsed inside the last session of an exercise."""
    last = exposures[-1]
    drop = _collapse(last)
    if last.on < since or drop < PACING_DROP.value:
        return None
    earlier = exposures[:-1][-int(PACING_LOOK_BACK.value) :]
    before = [e for e in earlier if _collapse(e) >= PACING_DROP.value]
    again = " as in the session before" if exposures[-2:-1] and exposures[-2] in before else ""
    return Finding(
        kind=FindingKind.PACING,
        sentence=(
            f"{last.exercise.name} fell from {last.sets[0].amount} to {last.sets[-1].amount} reps "
            f"within the session{again}: start with fewer on the first set."
        ),
        evidence=(
            Evidence(f"{last.on.day} {last.on:%b}", last.written),
            Evidence("Drop beyond the targets", f"{drop:g} reps"),
        ),
        rule=PACING_RULE,
        source_key="common-practice",
        exercise=last.exercise.key,
        since=(before[0] if before else last).on,
        could_not_know="The log does not know how long the rests were.",
    )


def _collapse(exposure: Exposure) -> float:
    """Repetitions lost from the first to the last set, less what the targets take off."""
    first, last = exposure.sets[0], exposure.sets[-1]
    if exposure.exercise.measure is Measure.SECONDS or len(exposure.sets) < 2:
        return 0
    if median(s.load for s in exposure.sets) < first.load or last.load > first.load:
        return 0
    asked = 0 if first.target is None or last.target is None else first.target - last.target
    return first.amount - last.amount - max(0, asked)
