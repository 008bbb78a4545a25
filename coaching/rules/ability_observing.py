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
from coaching.rules.ability_sets import HALF, ROUNDING, Shown, Work
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
from coaching.rules.usual_day import OF_BIAS, OF_TIRING, UsualDay

# A step for a slope.
_STRONGER = 0.01


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

    def row(self, of_bias: float) -> Row:
        """The states that it depends on, with a factor for each."""
        places = (self.place, FORM, DAY, OCCASION, TIRING, BIAS)
        return Row(places, np.array([*[self.of_level] * OF_TIRING, self.of_tiring, of_bias]))


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
    if seen:
        _settle(state, DAY, state.day_noise, BAD_DAY, n.ABILITY_BAD_DAYS.value)
    if rpe is not None and seen:
        _read_effort(state, rpe, seen, shared)


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


@dataclass(frozen=True, slots=True)
class _Tired:
    """The two parts of tiredness, and the same had the client been stronger by ``_STRONGER``.

    Who is stronger than thought goes less near to failure and tires less: a later set depends on
    strength for that too.
    """

    fast: float = 0.0
    slow: float = 0.0
    fast_stronger: float = 0.0
    slow_stronger: float = 0.0

    @property
    def now(self) -> float:
        """What is missing [log share of reps]."""
        return self.fast + self.slow

    @property
    def of_level(self) -> float:
        """How that depends on strength [log share of reps for each log share of strength]."""
        return (self.fast_stronger + self.slow_stronger - self.now) / _STRONGER

    def after(self, rest: float, nearness: float, stronger: float) -> "_Tired":
        """The same after a set that went so near to failure, and would have gone if stronger."""
        return _Tired(
            *tire(rest, nearness, self.fast, self.slow),
            *tire(rest, stronger, self.fast_stronger, self.slow_stronger),
        )


def _read_exercise(state: AbilityState, work: Work, place: int, shift: Numbers) -> list[Expected]:
    state.bank.forget(OCCASION, BAD_EXERCISE)
    tired, seen = _Tired(), []
    usual = UsualDay.of(state, place)
    for shown in work.sets:
        one = _expect(usual, work, shown, place, shift, tired)
        if not (shown.implied and shown.could is None):
            _read_set(state, work, shown, one, usual)
            # How near to failure it went is judged by what the set itself has shown.
            usual = UsualDay.of(state, place)
            one = _expect(usual, work, shown, place, shift, tired)
        seen.append(one)
        tired = tired.after(work.rest, *_nearness(shown, one))
    _settle(state, OCCASION, state.exercise_noise, BAD_EXERCISE, n.ABILITY_BAD_EXERCISES.value)
    return seen


def _expect(
    usual: UsualDay, work: Work, shown: Shown, place: int, shift: Numbers, tired: _Tired
) -> Expected:
    mean, curve = usual.expected, work.curve
    now = float(mean[:OF_TIRING].sum() + shift[usual.best])
    fresh = curve.amount(now - shown.system)
    kept = exp(-tired.now * mean[OF_TIRING])
    could = max(1.0, fresh * kept)
    slope = curve.slope(could)
    of_level = slope * kept / curve.slope(fresh) - slope * could * mean[OF_TIRING] * tired.of_level
    of_tiring = -slope * could * tired.now
    value = shown.system + curve.strength(could)
    return Expected(
        place=place,
        amount=shown.amount,
        could=could,
        slope=slope,
        of_level=of_level,
        of_tiring=of_tiring,
        value=float(value - of_level * now - of_tiring * mean[OF_TIRING]),
        shift=of_level * shift,
    )


def _nearness(shown: Shown, one: Expected) -> tuple[float, float]:
    """How near to failure a set went, by what it has shown itself: its share of what was possible.

    And the same had the client been stronger by ``_STRONGER``.
    """
    if shown.could is not None and shown.reserve is None:
        return shown.amount / shown.could, shown.amount / shown.could
    stronger = one.could + _STRONGER * one.of_level / one.slope
    return shown.amount / one.could, shown.amount / stronger


def _read_set(
    state: AbilityState, work: Work, shown: Shown, one: Expected, usual: UsualDay
) -> None:
    row = one.row(0.0)
    own, doubt = n.ABILITY_SET_NOISE.value**2, n.LOG_DOUBT.value
    if not shown.implied and (shown.could is None or shown.reserve is not None):
        # Who misses a target stops a little before nothing is left; who meets it had that too.
        grain = work.curve.grain(shown.amount)
        least = shown.amount + (n.SET_MISSED_ABOVE.value - HALF) * grain
        bound = shown.system + work.curve.strength(least) - one.value
        noise = own + (n.SET_MISSED_NOISE.value**2 - ROUNDING) * (grain * one.slope) ** 2
        state.bank.observe_at_least(
            row, bound, noise, shift=one.shift, doubt=doubt, mostly=usual.mostly
        )
    if shown.could is None:
        return
    value = shown.system + work.curve.strength(shown.could) - one.value
    if shown.reserve is None:
        noise = (shown.spread * one.slope) ** 2 + own
        state.bank.observe(row, value, noise, shift=one.shift, doubt=doubt)
        return
    _read_reserve(state, value, shown.reserve, one, usual)


def _read_reserve(
    state: AbilityState, value: float, said: int, one: Expected, usual: UsualDay
) -> None:
    """What the client said was left; that none was is read as none or less.

    How far such a saying may lie off hangs on what is expected to be left, never on what was said:
    else a low one would count for more than a high one.
    """
    left = one.could - one.amount - HALF - float(usual.expected[OF_BIAS])
    wider = 1 + n.RESERVE_FAR.value * max(left, 0.0)
    spread = state.reserve_noise.variance * wider**2
    own, doubt = n.ABILITY_SET_NOISE.value**2, n.LOG_DOUBT.value
    noise = (spread + ROUNDING) * one.slope**2 + own
    row = one.row(-one.slope)
    if said == 0:
        none, bound = Row(row.places, -row.factors), -(value + HALF * one.slope)
        usual = UsualDay.of(state, one.place)
        state.bank.observe_at_least(
            none, bound, noise, shift=-one.shift, doubt=doubt, mostly=usual.mostly
        )
        return
    state.bank.observe(row, value, noise, shift=one.shift, doubt=doubt)
    part = spread * one.slope**2 / noise
    off = _noise_afterwards(state, row, value, one.shift)
    square = part**2 * off + part * (1 - part) * noise
    state.reserve_noise.learn(square / (one.slope * wider) ** 2, weight=1.0)


def _noise_afterwards(state: AbilityState, row: Row, value: float, shift: Numbers) -> float:
    """What is believed of the square of a measurement's noise once it has been taken in."""
    best, places = state.bank.likeliest, list(row.places)
    off = value - float(state.bank.mean[best, places] @ row.factors + shift[best])
    return off**2 + float(row.factors @ state.bank.cov[np.ix_(places, places)] @ row.factors)


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
    """Say after the fact how ordinary a day or an occasion was, and learn the noise from it.

    What ordinary ones are like is learned from what this one was if it was ordinary.
    """
    bank, best = state.bank, state.bank.likeliest
    narrow = min(scale.variance, wide / 2)
    unsure = float(bank.cov[place, place])
    kept = 1 / (1 + unsure * (1 / narrow - 1 / wide))
    square = (kept * float(bank.mean[best, place])) ** 2 + kept * unsure
    share = bank.tighten(place, narrow, wide, often)
    scale.learn(square, weight=float(share[best]))
