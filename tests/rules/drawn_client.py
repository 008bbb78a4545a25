"""A client drawn from what the model of ability believes of any client, who logs by its rules.

Of every number the model begins with one value is drawn, and a log is made from it: level and
gain of each exercise, form, ordinary days and others, falls, habits of stating reserve and of
rating effort. What the bands of the model hold of such clients shows whether its
reckoning is right; whether people are like that is another question.
"""

from dataclasses import dataclass, field
from datetime import date, timedelta
from math import exp, log, sqrt

import numpy as np

from coaching.rules import ability_numbers as n
from coaching.rules import fall_numbers as falls
from coaching.rules.ability_observing import tire
from coaching.rules.capacity import Curve
from coaching.rules.log import LoggedSession, LoggedSet
from coaching.rules.plan import Exercise, Measure
from tests.rules.examples import MONDAY
from tests.rules.simulated_client import EXERCISES

CURVE = Curve(Measure.REPS)
BODY = 80.0
SETS = 3
# Where first levels lie: a choice of this simulation, the model begins with what the first set says.
FIRST_LEVEL, FIRST_LEVEL_SPREAD = log(1.4), 0.08
DAYS_A_YEAR = 365.25
# Of a missed target the model believes that more was possible; a whole number hides the rest of it.
STOPS_SHORT = sqrt(n.SET_MISSED_NOISE.value**2 - 1 / 12)


@dataclass
class DrawnClient:
    """Truth and log of one client; the truth by day of a session and exercise key [log kg].

    ``could`` is what each set would have given to failure, by the same and the number of the set.
    """

    truth: dict[tuple[date, str], float] = field(default_factory=dict)
    could: dict[tuple[date, str, int], float] = field(default_factory=dict)
    sessions: list[LoggedSession] = field(default_factory=list)


@dataclass
class _Slot:
    exercise: Exercise
    level: float
    gain: float

    @property
    def system(self) -> float:
        return log(self.exercise.body_share * BODY)


class _Drawing:
    """Draws one client, day by day."""

    def __init__(self, seed: int, *, days: int, logs_reserve: float, with_falls: bool) -> None:
        self.random = np.random.default_rng(seed)
        self.days, self.logs_reserve = days, logs_reserve
        self.bias = self.normal(n.RESERVE_BIAS.value, n.RESERVE_BIAS_SPREAD.value)
        self.tiring = self.normal(1.0, n.SET_TIRING_SPREAD.value)
        self.effort = self.normal(n.EFFORT_AT_FAILURE.value, n.EFFORT_OFFSET_SPREAD.value)
        self.form = self.normal(0.0, n.ABILITY_FORM_NOISE.value)
        self.slots = [self._slot(one) for one in EXERCISES[:4]]
        self.falls = self._falls() if with_falls else []

    def normal(self, mean: float, spread: float) -> float:
        return float(self.random.normal(mean, spread))

    def _slot(self, exercise: Exercise) -> _Slot:
        level = log(exercise.body_share * BODY) + self.normal(FIRST_LEVEL, FIRST_LEVEL_SPREAD)
        gain = self.normal(n.ABILITY_GAIN.value, n.ABILITY_GAIN_SPREAD.value)
        return _Slot(exercise, level, gain)

    def _falls(self) -> list[tuple[int, float, float, str]]:
        """Onset, depth, days until it is full, and the exercise that falls ("" for all)."""
        found = []
        kinds = (
            (falls.FALLS_A_YEAR, falls.FALL_DEPTHS, falls.FALL_FULL_AFTER, False),
            (falls.OWN_FALLS_A_YEAR, falls.OWN_FALL_DEPTHS, falls.OWN_FALL_FULL_AFTER, True),
        )
        for a_year, depths, full_after, own in kinds:
            (row,) = depths.rows.values()
            for day in range(int(falls.FALL_FROM_DAY.value) + 1, self.days):
                if self.random.uniform() < a_year.value / DAYS_A_YEAR:
                    key = str(self.random.choice([s.exercise.key for s in self.slots]))
                    depth = float(self.random.choice(row))
                    found.append((day, depth, full_after.value, key if own else ""))
        return found

    def fall(self, day: int, key: str) -> float:
        return sum(
            -depth * min(max((day - onset + 1) / ramp, 0), 1)
            for onset, depth, ramp, of in self.falls
            if of in {"", key}
        )

    def pass_time(self, gap: float) -> None:
        weeks, fades = gap / 7, exp(-gap / n.ABILITY_FORM_DAYS.value)
        noise = n.ABILITY_FORM_NOISE.value * sqrt(1 - fades**2)
        self.form = fades * self.form + self.normal(0, noise)
        self.bias += self.normal(0, n.RESERVE_DRIFT.value * sqrt(weeks))
        self.effort += self.normal(0, n.EFFORT_DRIFT.value * sqrt(weeks))
        for slot in self.slots:
            slot.level += slot.gain * weeks
            slot.level += self.normal(0, n.ABILITY_LEVEL_DRIFT.value * sqrt(weeks))
            slot.gain += self.normal(0, n.ABILITY_GAIN_DRIFT.value * sqrt(weeks))

    def mixed(self, usual: float, wide: float, often: float) -> float:
        return self.normal(0, wide if self.random.uniform() < often else usual)

    def train(self, client: DrawnClient, day: int) -> None:
        on = MONDAY + timedelta(days=day)
        shared = self.mixed(
            n.ABILITY_DAY_NOISE.value, n.ABILITY_BAD_DAY.value, n.ABILITY_BAD_DAYS.value
        )
        sets: list[LoggedSet] = []
        left: list[float] = []
        for slot in self.slots:
            key = slot.exercise.key
            now = slot.level + self.form + self.fall(day, key)
            client.truth[on, key] = now
            own = self.mixed(
                n.ABILITY_EXERCISE_NOISE.value,
                n.ABILITY_BAD_EXERCISE.value,
                n.ABILITY_BAD_EXERCISES.value,
            )
            done = self.sets(slot, now + shared + own, left)
            sets += [one for one, _ in done]
            client.could |= {(on, key, one.number): could for one, could in done}
        client.sessions.append(
            LoggedSession(on, tuple(sets), BODY, rpe=self.rated(left, self.fall(day, "")))
        )

    def rated(self, left: list[float], fall: float) -> float:
        mean = self.effort - n.EFFORT_A_REP.value * sum(left) / len(left)
        mean -= n.EFFORT_OF_FALL.value * fall
        return float(round(self.normal(mean, n.EFFORT_NOISE.value)))

    def sets(
        self, slot: _Slot, strength: float, left: list[float]
    ) -> list[tuple[LoggedSet, float]]:
        # The coach asks for what leaves about three of what is usual.
        target = max(2, int(CURVE.amount(slot.level - slot.system)) - 3)
        fast = slow = 0.0
        done = []
        for number in range(1, SETS + 1):
            fresh = CURVE.amount(strength - slot.system)
            tired = CURVE.strength(fresh * exp(-(fast + slow) * self.tiring))
            could = CURVE.amount(tired + self.normal(0, n.ABILITY_SET_NOISE.value))
            stops = could - n.SET_MISSED_ABOVE.value + 0.5 + self.normal(0, STOPS_SHORT)
            amount = max(1, min(target, int(stops)))
            rir = self.said(could - amount) if amount >= target else None
            left.append(max(could - amount - 0.5, 0.0))
            one = LoggedSet(slot.exercise, number, amount, 0.0, target, 0.0, rir=rir)
            done.append((one, could))
            fast, slow = tire(n.SET_REST.value, amount / could, fast, slow)
        return done

    def said(self, left: float) -> int | None:
        if self.random.uniform() >= self.logs_reserve:
            return None
        mean = left - 0.5 - self.bias
        wider = 1 + n.RESERVE_FAR.value * max(mean, 0)
        return max(0, round(self.normal(mean, n.RESERVE_NOISE.value * wider)))


def drawn_client(
    seed: int, *, weeks: int = 16, logs_reserve: float = 0.7, with_falls: bool = True
) -> DrawnClient:
    """Three sessions a week of four exercises.

    Args:
        seed: Another client for each.
        weeks: How long the log is.
        logs_reserve: Of the sets that met their target, how many carry a reserve [0-1].
        with_falls: Whether falls begin as often as the model expects.
    """
    drawing = _Drawing(seed, days=7 * weeks, logs_reserve=logs_reserve, with_falls=with_falls)
    client, last = DrawnClient(), 0
    for day in (7 * week + on for week in range(weeks) for on in (0, 2, 4)):
        if day:
            drawing.pass_time(day - last)
        drawing.train(client, day)
        last = day
    return client
