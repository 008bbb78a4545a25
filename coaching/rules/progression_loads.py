"""Which load a proposal goes to, whether it waits, and with how many repetitions it begins."""

from dataclasses import replace
from math import ceil

from coaching.rules.forecast_numbers import STEP_CHANCE
from coaching.rules.loads import next_load_down
from coaching.rules.next_load import LoadStep, load_for, one_load_up, step_to
from coaching.rules.numbers import (
    HOLD_LOAD_SHARE,
    HOLD_STRENGTH_SHARE,
    JUMP_LEAST_SHARE,
    JUMP_SHORT_OF_RANGE,
    MOST_ABOVE_TOP,
    PAIN_LOAD_SHARE,
)
from coaching.rules.plan import Exercise, LoadKind, Measure, Part
from coaching.rules.progression_case import Case
from coaching.rules.volume import system_load

_GRAIN = 1e-9
"""So little too few is none, but the rounding of the computer."""


def next_load(case: Case, load: float, reps: int) -> LoadStep | None:
    """The load to go to: for about the fewest reps on the stair, else the very next one.

    Where a forecast is known it says how many repetitions to expect, on the last set.
    """
    if case.exercise.load_kind is LoadKind.NONE:
        return None
    step = one_load_up(case.exercise, load, reps, case.loads, case.body_weight)
    told = None if step is None else _told(case, step)
    if told is not None:
        primary = case.asked.part is Part.PRIMARY
        return _aimed(case, told[0], load, reps) if primary else told[0]
    if step is None or case.asked.part is not Part.PRIMARY:
        return step
    own = (case.exercise, load)
    return load_for(own, reps, case.range.bottom, case.loads, case.body_weight)


def reps_needed(case: Case, wanted: int) -> float:
    """What is to be expected of a new load at the least, with the reserve that is asked for."""
    return wanted + (case.asked.rir or 0) - JUMP_SHORT_OF_RANGE.value


def load_back(case: Case, wanted: int) -> LoadStep | None:
    """The hardest of the easier loads at which the poorest set last done promises about enough.

    With the reserve that is asked for, and as near as where a new load may begin. The easiest one
    where none promises that; none where nothing easier can be made.
    """
    poorest = min(case.work_of(case.usual[-1]), key=lambda one: one.amount)
    reps, own, best = max(1, poorest.amount + (poorest.rir or 0)), case.exercise, None
    load = next_load_down(case.asked.load, case.loads, assisted=case.assisted)
    while load is not None:
        best = step_to(own, poorest.load, load, reps, case.body_weight)
        if best.promises(reps_needed(case, wanted)):
            break
        load = next_load_down(load, case.loads, assisted=case.assisted)
    return best


def load_after_pain(case: Case) -> float | None:
    """A load [kg] with which the muscles move a tenth less than what hurt.

    The easiest where none is that light; none where nothing easier can be made.
    """
    own, weight = case.exercise, case.body_weight
    limit = PAIN_LOAD_SHARE.value * system_load(own, case.asked.load, weight)
    load = next_load_down(case.asked.load, case.loads, assisted=case.assisted)
    while load is not None and system_load(own, load, weight) > limit:
        easier = next_load_down(load, case.loads, assisted=case.assisted)
        if easier is None:
            break
        load = easier
    return load


def _aimed(case: Case, first: LoadStep, load: float, reps: int) -> LoadStep:
    """The hardest load that will do by the forecast, and beyond the first no big jump."""
    best = first
    steps = (step_to(case.exercise, load, to, reps, case.body_weight) for to in case.loads)
    further = (one for one in steps if one.after > first.after and not one.is_big)
    for step in sorted(further, key=lambda one: one.after):
        told = _told(case, step)
        if told is None or told[1] < STEP_CHANCE.value:
            break
        best = told[0]
    return best


def _told(case: Case, step: LoadStep) -> tuple[LoadStep, float] | None:
    """The step with what the forecast expects of it, and the chance of the fewest reps."""
    if case.exercise.measure is not Measure.REPS:
        return None
    targets = (case.range.bottom,) * case.asked.sets
    told = case.ahead.of(case.exercise, step.load, targets)
    if told is None:
        return None
    return replace(step, expected=float(told.sets[-1].middle)), told.chance


def too_big(case: Case, step: LoadStep, reps: int) -> bool:
    """Whether a load waits, because the client could not own it or would fall right back."""
    if step.expected is None:
        return False
    if case.asked.part is Part.PRIMARY:
        return step.expected < case.range.bottom - JUMP_SHORT_OF_RANGE.value
    # Dumbbells come in big steps: more repetitions first, but not without end.
    patient = reps < case.range.top + MOST_ABOVE_TOP.value
    return patient and step.expected < JUMP_LEAST_SHARE.value * case.range.bottom


def rung_too_hard(case: Case, rung: Exercise, base: tuple[int, ...]) -> bool:
    """Whether a rung waits for more repetitions, by the forecast; not without end."""
    if min(base) >= case.range.top + MOST_ABOVE_TOP.value * case.range.step:
        return False
    bottom = case.bottom_of(rung)
    loads = case.rung_loads.get(rung.key) or (0.0,)
    told = case.ahead.of(rung, loads[0], (bottom,) * case.asked.sets)
    return told is not None and told.sets[0].middle < bottom - JUMP_SHORT_OF_RANGE.value


def first_reps(case: Case, step: LoadStep, done: int) -> int:
    """What to begin with at a new load: the bottom of the range, fewer after a big jump.

    Outside a primary pair a step that is small for the muscles begins where it is expected to
    lead: a kilogram more on a whole body is no reason to ask for a third less. A hold begins with
    the seconds that are left when a share of more load counts like a share of more seconds.
    """
    bottom = case.range.bottom
    if case.exercise.measure is Measure.SECONDS:
        grain = case.range.step
        left = max(HOLD_LOAD_SHARE.value, 1 - step.jump / HOLD_STRENGTH_SHARE.value)
        return max(bottom, min(int(left * done), done - grain) // grain * grain)
    if case.asked.part is Part.PRIMARY or step.expected is None:
        return bottom
    if not step.is_big:
        return _owned(case, step)
    least = ceil(JUMP_LEAST_SHARE.value * bottom)
    return min(bottom, max(least, int(step.expected)))


def _owned(case: Case, step: LoadStep) -> int:
    """As many as can be expected after a small step, below the top of the range.

    Where a forecast is known, no more than are all made as often as not.
    """
    bottom = case.range.bottom
    most = min(int((step.expected or 0) + _GRAIN), case.range.top - case.range.step)
    for reps in range(most, bottom, -1):
        told = case.ahead.of(case.exercise, step.load, (reps,) * case.asked.sets)
        if told is None or told.chance >= STEP_CHANCE.value:
            return reps
    return bottom
