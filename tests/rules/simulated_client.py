"""A made-up client who trains a plan, tires, has good and bad days, and logs in a certain way.

The model is our own and simple: strength with day and exercise noise, repetitions that
fall from set to set, a stair of targets that follows what was met. It shows whether
a rule behaves on data like this; it says nothing of how often it is right in life.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import exp, log
from random import Random

from coaching.rules.log import LoggedSession, LoggedSet
from coaching.rules.plan import Exercise, Pattern, WeekKind
from tests.rules.examples import MONDAY, make_exercise, make_pull_up

EXERCISES: tuple[Exercise, ...] = (
    make_exercise("push-up"),
    make_pull_up(),
    make_exercise("dip", body_share=1.0),
    make_exercise("row", Pattern.PULL, body_share=0.6),
    make_exercise("squat", Pattern.LEGS, body_share=0.6),
)

# Change of log strength on a day: positive days from the start, exercise key -> log share.
Change = Callable[[int, str], float]


def no_change(_day: int, _key: str) -> float:
    return 0.0


def drop(from_day: int, depth: float, keys: set[str], length: int = 21) -> Change:
    """A fall that comes within three days, lasts, and passes."""

    def change(day: int, key: str) -> float:
        into = day - from_day
        if key not in keys or not 0 <= into < length:
            return 0.0
        return log(1 - depth) * min(1.0, (into + 1) / 3)

    return change


@dataclass
class Stair:
    """Targets of one exercise: a repetition more when met, a step back when missed twice."""

    targets: list[int] = field(default_factory=lambda: [6] * 5)
    load: float = 0.0
    misses: int = 0

    def after(self, met: bool) -> None:
        if met:
            self.misses = 0
            lowest = self.targets.index(min(self.targets))
            self.targets[lowest] += 1
            if min(self.targets) >= 8:
                self.targets, self.load = [6] * 5, self.load + 2.5
            return
        self.misses += 1
        if self.misses == 2:
            self.misses = 0
            self.targets = [max(4, min(self.targets) - 1)] * 5


@dataclass
class SimulatedClient:
    """Three sessions a week of five exercises; noise is in log strength."""

    seed: int
    logs_reserve: str = "last"  # all, last, none
    logs_effort: bool = True
    gain_a_week: float = 0.0025
    day_noise: float = 0.015
    exercise_noise: float = 0.02
    change: Change = no_change
    kinds: dict[int, WeekKind] = field(default_factory=dict)
    away: range = range(0)
    start: date = MONDAY
    body_weight: float = 80.0

    def sessions(self, weeks: int) -> list[LoggedSession]:
        random = Random(self.seed)  # noqa: S311 - a simulation, no secret
        stairs = {e.key: Stair() for e in EXERCISES}
        days = [7 * w + d for w in range(weeks) for d in (0, 2, 4)]
        return [self._session(random, stairs, day) for day in days if day not in self.away]

    def _session(self, random: Random, stairs: dict[str, Stair], day: int) -> LoggedSession:
        kind = self.kinds.get(day // 7, WeekKind.BUILD)
        today = random.gauss(0, self.day_noise)
        sets: list[LoggedSet] = []
        reserves: list[float] = []
        for exercise in EXERCISES:
            strength = today + random.gauss(0, self.exercise_noise)
            strength += self.gain_a_week * day / 7 + self.change(day, exercise.key)
            done = self._sets(random, exercise, stairs[exercise.key], strength, kind, reserves)
            sets.extend(done)
            if kind is WeekKind.BUILD:
                stairs[exercise.key].after(all(s.amount >= (s.target or 0) for s in done))
        effort = 10 - sum(reserves) / len(reserves) + random.gauss(0, 0.5)
        return LoggedSession(
            on=self.start + timedelta(days=day),
            sets=tuple(sets),
            body_weight=self.body_weight,
            kind=kind,
            rpe=float(min(10, max(1, round(effort)))) if self.logs_effort else None,
        )

    def _sets(
        self,
        random: Random,
        exercise: Exercise,
        stair: Stair,
        strength: float,
        kind: WeekKind,
        reserves: list[float],
    ) -> list[LoggedSet]:
        targets = stair.targets if kind is WeekKind.BUILD else [4, 4]
        body = exercise.body_share * self.body_weight
        could_lift = body * 1.32 * exp(strength)
        done = []
        for number, target in enumerate(targets, start=1):
            fresh = 30 * (could_lift / (body + stair.load) - 1)
            capacity = max(0.0, fresh * 0.95 ** (number - 1) * (1 + random.gauss(0, 0.03)))
            amount = min(target, int(capacity))
            reserves.append(capacity - amount)
            asked = self.logs_reserve == "all" or (
                self.logs_reserve == "last" and number == len(targets)
            )
            said = max(0, round(capacity - amount - 0.95 + random.gauss(0, 0.8)))
            done.append(
                LoggedSet(
                    exercise,
                    number,
                    amount,
                    stair.load,
                    target,
                    stair.load,
                    rir=said if asked else None,
                )
            )
        return done
