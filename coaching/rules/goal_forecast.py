"""When a movement goal comes into reach if training goes on as now, in weeks and with its doubt.

Every possible course of level and gain is drawn from what the model of ability believes and
followed week by week: the goal is in reach in the first week in which a fresh set of an ordinary day
would give its repetitions or seconds. The range holds 80 % of the courses. Where it is not closed
within a year nothing is foreseen, and why is said.

A rung that was never logged is read from another of its ladder whose kilograms tell of it
(``ability_forecast.is_same_scale``); what a rung asks of balance, straight arms or reach no
kilograms tell. It knows of no absence, injury or change of plan to come.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cache
from math import erfc, log, sqrt
from typing import Final

import numpy as np

from coaching.rules.ability_forecast import DRAWS, Start, drawn_state, start_of
from coaching.rules.ability_numbers import ABILITY_GAIN_DRIFT, ABILITY_LEVEL_DRIFT
from coaching.rules.ability_state import DAYS_A_WEEK, AbilityState
from coaching.rules.belief_bank import Numbers
from coaching.rules.capacity import Curve
from coaching.rules.fall_numbers import LOST_A_WEEK_AWAY, LOST_AWAY_SPREAD, NO_GAIN
from coaching.rules.findings import Evidence
from coaching.rules.forecast_numbers import FORECAST_BAND, GOAL_WEEKS_MOST
from coaching.rules.numbers import ABSENCE_DAYS
from coaching.rules.plan import Exercise, Measure
from coaching.rules.volume import system_load

CAUTION: Final = (
    "A forecast from the log if training goes on as now, no promise and no plan: prerequisites come "
    "first, and pain or a recorded joint limit come before every date."
)
_SEED = 2
_KINDS = 3
_WEEKS = int(GOAL_WEEKS_MOST.value)
_TAIL = (1 - FORECAST_BAND.value) / 2


@dataclass(frozen=True, slots=True)
class GoalForecast:
    """In how many weeks a goal comes into reach: 80 % of what may come lie in the range.

    ``soonest`` and ``latest`` are whole weeks from the day that was asked for, 0 is that day.
    """

    soonest: int
    latest: int
    sentence: str
    evidence: tuple[Evidence, ...]


@dataclass(frozen=True, slots=True)
class NotForeseeable:
    """That no weeks can be told, why, and the numbers as far as there are any."""

    sentence: str
    evidence: tuple[Evidence, ...] = ()


def goal_forecast(
    state: AbilityState,
    goal: Exercise,
    amount: int,
    *,
    body_weight: float,
    kin: Iterable[Exercise] = (),
    on: date | None = None,
) -> GoalForecast | NotForeseeable:
    """When so many repetitions [or seconds] of an exercise come into reach without help or load.

    Args:
        state: What is believed after the last session; left as it is.
        goal: The rung to work toward.
        amount: Repetitions or seconds in one set, 1 or more.
        body_weight: Weight of the client [kg], above 0, taken to stay.
        kin: The other rungs of its ladder.
        on: The day from which weeks are counted, that of the last session if none.
    """
    kilograms = system_load(goal, 0.0, body_weight)
    if kilograms <= 0:
        return NotForeseeable("Not foreseeable: it is done with a load, and the goal names none.")
    system, others = log(kilograms), list(kin)
    start = start_of(state, goal, system, others)
    if start is None:
        return NotForeseeable(_why_unknown(state, goal, others))
    level, gain = _drawn(state, start, on)
    curve = Curve(goal.measure)
    weeks = _first_weeks(level, gain, start.shift, system + curve.strength(amount))
    evidence = _evidence(goal, curve.amounts(level + start.shift - system), gain)
    if start.kin is not None:
        evidence += (Evidence("Read from", f"{start.kin.name}, by what both move in kilograms"),)
    return _told(weeks, _told_gain(state, start), evidence)


def _drawn(state: AbilityState, start: Start, on: date | None) -> tuple[Numbers, Numbers]:
    """Level and gain a week on the day itself: time since the last session drifts and costs."""
    level, gain, *_ = drawn_state(state, start.of)
    away = max(0, on.toordinal() - state.last) if on else 0
    weeks = away / DAYS_A_WEEK
    variance = start.spread**2 + ABILITY_LEVEL_DRIFT.value**2 * weeks
    level = level + gain * weeks
    if away >= ABSENCE_DAYS.value:
        level = level - LOST_A_WEEK_AWAY.value * max(0.0, weeks - 1)
        variance += (LOST_AWAY_SPREAD.value * weeks) ** 2
    return level + sqrt(variance) * _luck()[-1][0], gain


def _first_weeks(level: Numbers, gain: Numbers, unlearned: float, demand: float) -> Numbers:
    """In which week each course first reaches what is demanded [log kg]; endless if never.

    What is still to be learned of a new exercise counts on the first day only.
    """
    turns, wander, _ = _luck()
    gains = gain + ABILITY_GAIN_DRIFT.value * np.cumsum(turns, axis=0)
    steps = gains + ABILITY_LEVEL_DRIFT.value * wander
    levels = np.vstack([level + unlearned, level + np.cumsum(steps, axis=0)])
    reached = levels >= demand
    weeks: Numbers = np.where(reached.any(axis=0), reached.argmax(axis=0), np.inf)
    return weeks


def _told(
    weeks: Numbers, gains: float, evidence: tuple[Evidence, ...]
) -> GoalForecast | NotForeseeable:
    ordered = np.sort(weeks)
    soonest, latest = (ordered[round(share * (DRAWS - 1))] for share in (_TAIL, 1 - _TAIL))
    if latest <= _WEEKS:
        early, late = int(soonest), int(latest)
        return GoalForecast(early, late, _weeks_words(early, late), evidence)
    if soonest > _WEEKS:
        return NotForeseeable(
            f"Not foreseeable: at the present rate more than {_WEEKS} weeks away.", evidence
        )
    why = "how fast it gains is too uncertain"
    if gains < FORECAST_BAND.value:
        why = "whether it gains at all is too uncertain"
    earliest = f"; not before {_counted(int(soonest))} from now at the earliest" if soonest else ""
    return NotForeseeable(f"Not foreseeable: {why}{earliest}.", evidence)


def _told_gain(state: AbilityState, start: Start) -> float:
    """The probability [0-1] that the exercise gains at all."""
    place, bank = start.of.place + 1, state.bank
    mean, spread = float(bank.weights @ bank.mean[:, place]), sqrt(bank.cov[place, place])
    return erfc((NO_GAIN.value - mean) / max(spread, np.finfo(float).tiny) / sqrt(2)) / 2


def _weeks_words(soonest: int, latest: int) -> str:
    as_now = "if training goes on as now (4 times in 5)"
    if latest == 0:
        return "Probably in reach already on an ordinary day."
    if soonest == 0:
        return f"In reach by now or within {_counted(latest)}, {as_now}."
    if soonest == latest:
        return f"In reach in about {_counted(latest)}, {as_now}."
    return f"In reach in {soonest} to {_counted(latest)}, {as_now}."


def _counted(weeks: int) -> str:
    return "1 week" if weeks == 1 else f"{weeks} weeks"


def _why_unknown(state: AbilityState, goal: Exercise, kin: Iterable[Exercise]) -> str:
    if any(one.key in state.known for one in kin):
        return (
            "Not foreseeable: what this rung asks cannot be told in kilograms from the rungs that "
            "are in the log."
        )
    return f"Not foreseeable: neither {goal.name} nor an easier rung of its ladder is in the log of the last weeks."


def _evidence(goal: Exercise, could: Numbers, gain: Numbers) -> tuple[Evidence, ...]:
    unit = "reps" if goal.measure is Measure.REPS else "s"
    low, middle, high = np.quantile(could, (_TAIL, 1 / 2, 1 - _TAIL)).astype(int)
    slow, usual, fast = 100 * np.quantile(gain, (_TAIL, 1 / 2, 1 - _TAIL))
    return (
        Evidence("Now, a fresh set to failure", f"about {middle} {unit} ({low} to {high})"),
        Evidence(
            "Gain of strength a week",
            f"{_percent(usual)} % ({_percent(slow)} to {_percent(fast)} %)",
        ),
    )


def _percent(percent: float) -> str:
    """One digit, with a minus that is one.

    >>> _percent(0.34), _percent(-0.21), _percent(-0.04)
    ('0.3', '−0.2', '0.0')
    """
    shown = round(percent, 1)
    return f"−{-shown:.1f}" if shown < 0 else f"{abs(shown):.1f}"


@cache
def _luck() -> Numbers:
    """What chance decides in every course: turns of the gain, wandering, and the start."""
    luck: Numbers = np.random.default_rng(_SEED).standard_normal((_KINDS, _WEEKS, DRAWS))
    return luck
