"""What a session's sets and its rating say of the state, one observation after another.

Everything is made linear around the likeliest hypothesis. How the fall of repetitions over the sets
depends on rest and nearness to failure is chosen so that it gives the totals of Willardson &
Burkett 2005 for rests of 1, 2 and 5 minutes (checked in the tests).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp

import numpy as np

from coaching.rules import ability_numbers as n
from coaching.rules.ability_sets import ROUNDING, Shown, Work
from coaching.rules.ability_state import (
    BAD_DAY,
    BAD_EXERCISE,
    BIAS,
    DAY,
    EFFORT,
    FORM,
    OCCASION,
    TIRING,
    AbilityState,
)
from coaching.rules.belief_bank import Numbers, Row
from coaching.rules.fall_hypotheses import SHARED
from coaching.rules.noise_scale import NoiseScale


@dataclass(frozen=True, slots=True)
class Expected:
    """One set as expected: what could be done, and how its value depends on the state.

    ``value`` is what is left of the expectation without the state; ``shift`` is what each
    hypothesis adds to it (hypotheses,).
    """

    place: int
    amount: int
    could: float
    slope: float
    of_level: float
    of_tiring: float
    value: float
    shift: Numbers


def read_works_into(
    state: AbilityState, works: Mapping[str, Work], day: int, rpe: float | None
) -> None:
    """Learn from all exercises of a session and, if it was rated, from its effort.

    Args:
        state: Changed.
        works: The exercises by key; all of them known to the state.
        day: Ordinal of the date.
        rpe: Session RPE, none when not rated or not to be read.
    """
    courses = state.falls.courses(day)
    shared = np.where(state.falls.exercise == SHARED, courses, 0.0)
    seen: list[Expected] = []
    for key, work in works.items():
        one = state.known[key]
        shift = shared + np.where(state.falls.exercise == one.place, courses, 0.0)
        before = state.bank.log_weight
        seen += _read_exercise(state, work, one.place, shift)
        state.falls.hear(one.number, state.bank.log_weight - before)
        one.times += 1
        one.last = day
    if rpe is not None and seen:
        _read_effort(state, rpe, seen, shared)
    if seen:
        _settle(state, DAY, state.day_noise, BAD_DAY, n.ABILITY_BAD_DAYS.value)


def tire(work_rest: float, nearness: float, fast: float, slow: float) -> tuple[float, float]:
    """The two parts of tiredness [log share of reps] before the next set.

    Args:
        work_rest: Rest until it [s].
        nearness: Repetitions done over repetitions possible, 0-1.
        fast: What passes with rest, before.
        slow: What stays for the session, before.
    """
    near = min(1.0, nearness) ** n.SET_NEARNESS.value
    kept = exp(-work_rest / n.SET_FAST_SECONDS.value)
    return (fast + n.SET_FAST.value * near) * kept, slow + n.SET_SLOW.value * near


def _read_exercise(state: AbilityState, work: Work, place: int, shift: Numbers) -> list[Expected]:
    state.bank.forget(OCCASION, BAD_EXERCISE)
    fast = slow = 0.0
    seen = []
    for shown in work.sets:
        one = _expect(state, work, shown, place, shift, fast + slow)
        _read_set(state, work, shown, one)
        seen.append(one)
        fast, slow = tire(work.rest, shown.amount / one.could, fast, slow)
    _settle(state, OCCASION, state.exercise_noise, BAD_EXERCISE, n.ABILITY_BAD_EXERCISES.value)
    return seen


def _expect(
    state: AbilityState, work: Work, shown: Shown, place: int, shift: Numbers, tired: float
) -> Expected:
    best = state.bank.likeliest
    mean, curve = state.bank.mean[best], work.curve
    now = float(mean[place] + mean[FORM] + mean[DAY] + mean[OCCASION] + shift[best])
    fresh = curve.amount(now - shown.system)
    kept = exp(-tired * mean[TIRING])
    could = max(1.0, fresh * kept)
    slope = curve.slope(could)
    of_level = slope * kept / curve.slope(fresh)
    of_tiring = -slope * could * tired
    value = shown.system + curve.strength(could)
    return Expected(
        place=place,
        amount=shown.amount,
        could=could,
        slope=slope,
        of_level=of_level,
        of_tiring=of_tiring,
        value=float(value - of_level * now - of_tiring * mean[TIRING]),
        shift=of_level * shift,
    )


def _read_set(state: AbilityState, work: Work, shown: Shown, one: Expected) -> None:
    row = Row(
        (one.place, FORM, DAY, OCCASION, TIRING),
        np.array([one.of_level, one.of_level, one.of_level, one.of_level, one.of_tiring]),
    )
    own, doubt = n.ABILITY_SET_NOISE.value**2, n.LOG_DOUBT.value
    if shown.could is None:
        bound = shown.system + work.curve.strength(shown.amount) - one.value
        state.bank.observe_at_least(row, bound, own, shift=one.shift, doubt=doubt)
        return
    value = shown.system + work.curve.strength(shown.could) - one.value
    if shown.reserve is None:
        noise = (shown.spread * one.slope) ** 2 + own
        state.bank.observe(row, value, noise, shift=one.shift, doubt=doubt)
        return
    row = Row((*row.places, BIAS), np.append(row.factors, -one.slope))
    wider = 1 + n.RESERVE_FAR.value * shown.reserve
    spread = state.reserve_noise.variance * wider**2
    noise = (spread + 2 * ROUNDING) * one.slope**2 + own
    best = state.bank.likeliest
    off = float(state.bank.observe(row, value, noise, shift=one.shift, doubt=doubt)[best])
    part = spread * one.slope**2 / noise
    state.reserve_noise.learn((off / one.slope / wider) ** 2 * part, weight=0.5)


def _read_effort(
    state: AbilityState, rpe: float, seen: Sequence[Expected], shared: Numbers
) -> None:
    """Session RPE at the repetitions that were left: a second witness."""
    size, best = len(seen), state.bank.likeliest
    left = sum(max(one.could - one.amount - 0.5, 0.0) for one in seen) / size
    if left >= n.EFFORT_FAR.value:
        return
    rep = n.EFFORT_A_REP.value / size
    factors = np.zeros(len(state.bank.cov))
    factors[EFFORT] = 1.0
    shift = -n.EFFORT_OF_FALL.value * shared
    for one in seen:
        # A set that went beyond what was thought possible has nothing left either way.
        if one.could > one.amount - 1:
            factors[[one.place, FORM, DAY]] -= rep * one.of_level / one.slope
            shift = shift - rep * (one.shift - one.shift[best]) / one.slope
    places = np.flatnonzero(factors)
    row = Row(tuple(places.tolist()), factors[places])
    mean = state.bank.mean[best]
    expected = float(mean[EFFORT]) - n.EFFORT_A_REP.value * left
    value = rpe - expected + float(row.factors @ mean[places])
    noise = state.effort_noise.variance + ROUNDING
    off = state.bank.observe(row, value, noise, shift=shift, doubt=n.LOG_DOUBT.value)
    square = n.EFFORT_OWN_NOISE.value * float(off[best]) ** 2
    state.effort_noise.learn(square, weight=0.5)


def _settle(state: AbilityState, place: int, scale: NoiseScale, wide: float, often: float) -> None:
    """Say after the fact how ordinary a day or an occasion was, and learn the noise from it."""
    narrow = min(scale.variance, wide / 2)
    share = state.bank.tighten(place, narrow, wide, often)
    best = state.bank.likeliest
    square = float(state.bank.mean[best, place] ** 2 + state.bank.cov[place, place])
    scale.learn(square, weight=float(share[best]))
