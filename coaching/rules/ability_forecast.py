"""What a client will probably do in a planned session: repetitions of each set, and the chance.

A thousand possible courses are drawn from what the model of ability believes and counted: which
fall is running if any, level, gain, form and how the client tires with all their uncertainty, the
day, the occasion and each set. The draws are the same every time, so that the same question gets the
same answer and a heavier load never a better one.

What is told is what the set would give **if it went to failure**, in whole repetitions, after
earlier sets that stopped at their target. A set that stops at its target shows less than that; to hold
a forecast against such a log, cut both at the target.

It says nothing of how a client feels today, and takes it that a gap of an absence was one. It knows
of an exercise that was never logged only through an exercise of the same ladder whose kilograms
can be compared (``is_same_scale``).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cache
from itertools import pairwise
from math import exp, log, sqrt

import numpy as np
from numpy.typing import NDArray

from coaching.rules import ability_numbers as n
from coaching.rules.ability_state import (
    DAYS_A_WEEK,
    FORM,
    TIRING,
    AbilityState,
    KnownExercise,
)
from coaching.rules.belief_bank import Numbers
from coaching.rules.capacity import Curve
from coaching.rules.fall_hypotheses import SHARED
from coaching.rules.fall_numbers import LOST_A_WEEK_AWAY, LOST_AWAY_SPREAD
from coaching.rules.forecast_numbers import FORECAST_BAND, FORECAST_DRAWS, RUNG_TELLS
from coaching.rules.numbers import ABSENCE_DAYS
from coaching.rules.plan import Exercise
from coaching.rules.volume import system_load

_SEED = 1
# Level, gain, form and tiring are drawn together.
_STATES = 4
DRAWS = int(FORECAST_DRAWS.value)


@dataclass(frozen=True, slots=True)
class PlannedWork:
    """One exercise as it is asked for: load [kg], targets set by set, rest between two sets [s].

    ``goes_on`` is whether the client goes on past the targets until nothing is left, which tires
    the next sets.
    """

    exercise: Exercise
    load: float
    targets: tuple[int, ...]
    rest: float
    goes_on: bool = False


@dataclass(frozen=True, slots=True)
class SetForecast:
    """One set: repetitions [or seconds] to failure and the chance of making its target [0-1].

    ``middle`` is as likely too many as too few; ``low`` to ``high`` holds 80 % of what may come.
    """

    target: int
    middle: int
    low: int
    high: int
    chance: float


@dataclass(frozen=True)
class Forecast:
    """A planned exercise set by set, and the chance of making all its targets [0-1].

    ``could`` holds every course that was counted: whole repetitions to failure (courses, sets).
    """

    sets: tuple[SetForecast, ...]
    chance: float
    could: NDArray[np.int_]

    @property
    def band(self) -> float:
        """How much of what may come each range holds [0-1]."""
        return FORECAST_BAND.value


@dataclass(frozen=True, slots=True)
class Start:
    """Where the belief of an exercise is read from, and what the step to the plan adds to it.

    ``shift`` and ``spread`` [log share] hold for the next session; what is still to be learned of a
    new exercise is in them.
    """

    of: KnownExercise
    kin: Exercise | None
    shift: float
    spread: float

    @property
    def is_own(self) -> bool:
        """Whether the exercise itself was logged, and not only one like it."""
        return self.kin is None


def forecast(
    state: AbilityState,
    work: PlannedWork,
    *,
    on: date,
    body_weight: float,
    kin: Iterable[Exercise] = (),
) -> Forecast | None:
    """What the sets of a planned exercise will probably give; none when nothing is known of it.

    Args:
        state: What is believed after the last session; left as it is.
        work: What is planned, one set or more.
        on: The planned day, not before the last session.
        body_weight: Weight of the client [kg], above 0.
        kin: Exercises of its ladder to read it from when it was never logged.
    """
    kilograms = system_load(work.exercise, work.load, body_weight)
    if kilograms <= 0 or not work.targets:
        return None
    system = log(kilograms)
    start = start_of(state, work.exercise, system, kin)
    if start is None:
        return None
    strength, tiring = _drawn_strength(state, start, on.toordinal())
    could = _drawn_sets(work, strength - system, tiring)
    return _counted(work.targets, could)


def is_same_scale(known: Exercise, load: float, wanted: Exercise, wanted_load: float) -> bool:
    """Whether the kilograms of one rung tell those of another: the harder rung must move more.

    A rung that is harder at the same kilograms is harder by something that they do not tell,
    and a hold tells nothing of repetitions.

    Args:
        known: The rung that was trained.
        load: Log of what it moves [kg].
        wanted: The rung to tell of.
        wanted_load: Log of what that moves [kg].
    """
    is_one_ladder = bool(known.ladder) and known.ladder == wanted.ladder
    harder = (wanted.rung > known.rung) - (wanted.rung < known.rung)
    return (
        is_one_ladder
        and known.measure is wanted.measure
        and (known.posture is None) == (wanted.posture is None)
        and harder * (wanted_load - load) > RUNG_TELLS.value
    )


def start_of(
    state: AbilityState, exercise: Exercise, system: float, kin: Iterable[Exercise]
) -> Start | None:
    """Where to read an exercise at a log system load from; none when nothing is known of it."""
    own = state.known.get(exercise.key)
    if own is not None:
        jump = n.ABILITY_JUMP.value * (system - own.load)
        learned = _learned_next(own) if own.is_new else 0.0
        unsure = n.ABILITY_LEARNED_UNSURELY.value * learned
        shift = n.ABILITY_LEARNED_SURELY.value * learned
        return Start(own, None, shift=shift, spread=sqrt(jump**2 + unsure**2))
    ladder = sorted(kin, key=lambda one: (abs(one.rung - exercise.rung), one.key))
    for other in ladder:
        known = state.known.get(other.key)
        if known is None or not _is_told_on_the_way(other, exercise, ladder):
            continue
        if is_same_scale(other, known.load, exercise, system):
            jump = n.ABILITY_JUMP.value * (system - known.load)
            unlearned = n.ABILITY_LEARNED_SURELY.value * n.ABILITY_LEARNED.value
            spread = sqrt(jump**2 + n.ABILITY_NEW.value**2)
            return Start(known, other, shift=-unlearned, spread=spread)
    return None


def _is_told_on_the_way(known: Exercise, wanted: Exercise, ladder: Iterable[Exercise]) -> bool:
    """Whether every rung from one to the other moves more of the body than the one below it.

    Otherwise something else than kilograms makes a rung on the way hard: balance, reach, lowering.
    """
    low, high = sorted((known.rung, wanted.rung))
    between = {one.rung: one.body_share for one in ladder if low < one.rung < high}
    ends = {known.rung: known.body_share, wanted.rung: wanted.body_share}
    shares = [share for _, share in sorted((between | ends).items())]
    return len(shares) == len(ends) or all(a < b for a, b in pairwise(shares))


def _learned_next(one: KnownExercise) -> float:
    fades = n.ABILITY_LEARNING.value
    return n.ABILITY_LEARNED.value * (exp(-(one.times - 1) / fades) - exp(-one.times / fades))


def _drawn_strength(state: AbilityState, start: Start, day: int) -> tuple[Numbers, Numbers]:
    """Log strength of the day on this occasion, and how much the client tires, drawn."""
    luck = _luck()
    level, gain, form, tiring, which = drawn_state(state, start.of)
    away = max(0, day - state.last)
    weeks = away / DAYS_A_WEEK
    variance = n.ABILITY_LEVEL_DRIFT.value**2 * weeks + start.spread**2
    fades = exp(-away / n.ABILITY_FORM_DAYS.value)
    variance += n.ABILITY_FORM_NOISE.value**2 * (1 - fades**2)
    strength = level + gain * weeks + start.shift + fades * form
    if away >= ABSENCE_DAYS.value:
        strength -= LOST_A_WEEK_AWAY.value * max(0.0, weeks - 1)
        variance += (LOST_AWAY_SPREAD.value * weeks) ** 2
    strength += sqrt(variance) * luck.ahead
    strength += _fallen(state, start, day)[which]
    usual = sqrt(state.day_noise.variance)
    strength += np.where(luck.is_bad_day, n.ABILITY_BAD_DAY.value, usual) * luck.day
    usual = sqrt(state.exercise_noise.variance)
    strength += np.where(luck.is_bad_occasion, n.ABILITY_BAD_EXERCISE.value, usual) * luck.occasion
    return strength, np.maximum(0.0, tiring)


def drawn_state(
    state: AbilityState, one: KnownExercise
) -> tuple[Numbers, Numbers, Numbers, Numbers, NDArray[np.int_]]:
    """Level, gain, form and tiring as believed after the last session, and which hypothesis."""
    bank, places = state.bank, [one.place, one.place + 1, FORM, TIRING]
    luck = _luck()
    shares = bank.weights.cumsum()
    which = np.minimum(np.searchsorted(shares, luck.share), len(shares) - 1)
    values, axes = np.linalg.eigh(bank.cov[np.ix_(places, places)])
    root = axes * np.sqrt(np.maximum(values, 0.0))
    level, gain, form, tiring = bank.mean[:, places][which].T + root @ luck.state
    return level, gain, form, tiring, which


def _fallen(state: AbilityState, start: Start, day: int) -> Numbers:
    """How far the exercise will have fallen by each hypothesis [log share] (hypotheses,)."""
    falls = state.falls
    concerns = falls.exercise == SHARED
    if start.is_own:
        concerns = concerns | (falls.exercise == start.of.place)
    return np.where(concerns, falls.courses(day), 0.0)


def _drawn_sets(work: PlannedWork, above: Numbers, tiring: Numbers) -> NDArray[np.int_]:
    curve = Curve(work.exercise.measure)
    fresh = curve.amounts(above)
    fast = slow = np.zeros(DRAWS)
    done = np.empty((DRAWS, len(work.targets)), dtype=int)
    for place, target in enumerate(work.targets):
        now = curve.strengths(fresh * np.exp(-(fast + slow) * tiring))
        could = curve.amounts(now + n.ABILITY_SET_NOISE.value * _set_luck(place))
        done[:, place] = could.astype(int)
        nearness = 1.0 if work.goes_on else np.minimum(1.0, target / np.maximum(could, 1.0))
        fast, slow = _tired(work.rest, nearness, fast, slow)
    return done


def _tired(
    rest: float, nearness: Numbers | float, fast: Numbers, slow: Numbers
) -> tuple[Numbers, Numbers]:
    """The same as ``tire`` for every course at once."""
    near = nearness**n.SET_NEARNESS.value
    kept = exp(-rest / n.SET_FAST_SECONDS.value)
    return (fast + n.SET_FAST.value * near) * kept, slow + n.SET_SLOW.value * near


@dataclass(frozen=True, slots=True)
class _Luck:
    """What chance decides in every course, the same for every forecast.

    ``share`` runs evenly from 0 to 1, to share out the hypotheses by their weights.
    """

    share: Numbers
    state: Numbers
    ahead: Numbers
    is_bad_day: NDArray[np.bool_]
    day: Numbers
    is_bad_occasion: NDArray[np.bool_]
    occasion: Numbers


@cache
def _luck() -> _Luck:
    random = np.random.default_rng(_SEED)
    return _Luck(
        share=(np.arange(DRAWS) + 1 / 2) / DRAWS,
        state=random.standard_normal((_STATES, DRAWS)),
        ahead=random.standard_normal(DRAWS),
        is_bad_day=random.random(DRAWS) < n.ABILITY_BAD_DAYS.value,
        day=random.standard_normal(DRAWS),
        is_bad_occasion=random.random(DRAWS) < n.ABILITY_BAD_EXERCISES.value,
        occasion=random.standard_normal(DRAWS),
    )


@cache
def _set_luck(place: int) -> Numbers:
    """The luck of one set, by its place in the exercise."""
    luck: Numbers = np.random.default_rng((_SEED, place)).standard_normal(DRAWS)
    return luck


def _counted(targets: tuple[int, ...], could: NDArray[np.int_]) -> Forecast:
    tail = (1 - FORECAST_BAND.value) / 2
    places = [round(share * (len(could) - 1)) for share in (tail, 1 / 2, 1 - tail)]
    low, middle, high = np.sort(could, axis=0)[places]
    made = could >= np.array(targets)
    sets = tuple(
        SetForecast(target, int(middle[i]), int(low[i]), int(high[i]), float(made[:, i].mean()))
        for i, target in enumerate(targets)
    )
    return Forecast(sets, float(made.all(axis=1).mean()), could)
