"""What a coach or a spreadsheet does, each with one threshold.

All of them look at one number an exercise and session: the best set's estimated
one-repetition maximum (Epley 1985) on the system load, from the repetitions alone. Deload weeks
are left out, as a coach would, and so is a best set that lies 25 % or more from the median of
the three before: a coach sees that such a number was mistyped. Falls are shares of strength (log).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from math import log, sqrt
from statistics import fmean, median
from typing import Protocol

from coaching.rules.log import LoggedSession
from coaching.rules.plan import WeekKind
from coaching.rules.trends import mann_kendall, theil_sen
from coaching.rules.volume import system_load
from tests.benchmarks.signals.detector import ClientLog, Detector, ExerciseReading, Reading

NOTHING = float("-inf")
# An exercise not trained for so long says nothing of today [days].
CURRENT_DAYS = 10
# A best set that is 25 % above or below the three before it was mistyped.
MISTYPED = log(1.25)


@dataclass(frozen=True, slots=True)
class Best:
    """The best set of one exercise in one session: day and log of the estimated maximum."""

    on: date
    value: float


class ExerciseScore(Protocol):
    """How suspicious one exercise is, from its best sets so far, oldest first."""

    def __call__(self, series: Sequence[Best], /) -> float:
        """A number that grows with suspicion, ``-inf`` when it cannot tell."""


def best_sets(session: LoggedSession) -> dict[str, float]:
    """Each exercise's best estimated maximum of a session [log kg]."""
    best: dict[str, float] = {}
    for one in session.sets:
        system = system_load(one.exercise, one.load, session.body_weight)
        if one.warm_up or system <= 0:
            continue
        value = log(system) + log(1 + one.amount / 30)
        best[one.exercise.key] = max(best.get(one.exercise.key, NOTHING), value)
    return best


def add_best(series: dict[str, list[Best]], session: LoggedSession) -> list[str]:
    """Add a session's best sets to the series; says which exercises got one."""
    added: list[str] = []
    if session.kind is not WeekKind.BUILD:
        return added
    for key, value in best_sets(session).items():
        before = series.setdefault(key, [])
        last = [b.value for b in before[-3:]]
        if len(last) == 3 and abs(value - median(last)) > MISTYPED:
            continue
        before.append(Best(session.on, value))
        added.append(key)
    return added


@dataclass(frozen=True)
class PerExercise:
    """Scores every exercise by itself; the client's score is that of the worst, or the mean."""

    name: str
    of: ExerciseScore
    untuned: float  # the threshold that coaches use
    mean: bool = False
    stalls: ExerciseScore | None = None

    def read(self, log: ClientLog) -> list[Reading]:
        """One reading a session."""
        series: dict[str, list[Best]] = {}
        scores: dict[str, float] = {}
        stalled: dict[str, float] = {}
        readings = []
        for session in log.sessions:
            for key in add_best(series, session):
                scores[key] = self.of(series[key])
                if self.stalls is not None:
                    stalled[key] = self.stalls(series[key])
            lately = [k for k, s in series.items() if (session.on - s[-1].on).days <= CURRENT_DAYS]
            known = [scores[k] for k in lately if scores[k] > NOTHING]
            score = (fmean(known) if self.mean else max(known)) if known else NOTHING
            said = {k: ExerciseReading(stalled[k]) for k in lately if k in stalled}
            readings.append(Reading(session.on, score, exercises=said))
        return readings


def two_falls(series: Sequence[Best]) -> float:
    """The smaller of the last two falls in a row."""
    if len(series) < 3:
        return NOTHING
    a, b, c = (one.value for one in series[-3:])
    return min(a - b, b - c)


def under_mean_of_three(series: Sequence[Best]) -> float:
    """How far the last best set lies under the mean of the three before."""
    if len(series) < 4:
        return NOTHING
    return fmean(one.value for one in series[-4:-1]) - series[-1].value


def falling_mann_kendall(series: Sequence[Best]) -> float:
    """Falls minus rises among the last six; the slope decides between equals."""
    if len(series) < 6:
        return NOTHING
    values = [one.value for one in series[-6:]]
    line = theil_sen(range(6), values)
    slope = 0.0 if line is None else line.slope
    return -mann_kendall(values).s + max(-0.49, min(0.49, -5 * slope))


def cusum(series: Sequence[Best], usual: int = 6, last: int = 4, most: float = 5.0) -> float:
    """Falls below the exercise's usual, added up beyond half a standard deviation each.

    The usual is the mean of ``usual`` sessions before the ``last`` ones; the standard deviation
    comes from differences of neighbours; no session counts for more than ``most``
    deviations. Montgomery 2009, chapter 9.
    """
    values = [one.value for one in series[-usual - last :]]
    if len(values) < usual + 1:
        return NOTHING
    earlier = [one.value for one in series[-16:-2]]
    steps = sorted(abs(b - a) for a, b in pairwise(earlier))
    spread = max(0.015, 1.4826 * median(steps) / sqrt(2)) if steps else 0.03
    middle = fmean(values[:usual])
    total = 0.0
    for value in values[usual:]:
        total = max(0.0, total + min(most, (middle - value) / spread) - 0.5)
    return total


def sessions_without_best(series: Sequence[Best]) -> float:
    """How many sessions ago the best of the exercise was."""
    values = [one.value for one in series]
    return float(len(values) - 1 - values.index(max(values)))


def flat_slope(series: Sequence[Best]) -> float:
    """Strength lost a week over the last eight sessions, by the median slope."""
    last = series[-8:]
    line = theil_sen([(b.on - last[0].on).days / 7 for b in last], [b.value for b in last])
    return NOTHING if line is None else -line.slope


def nothing(_series: Sequence[Best]) -> float:
    """Says nothing of overreaching: for rules that only look for stalls."""
    return NOTHING


def everything(_series: Sequence[Best]) -> float:
    """Every exercise is stalled, always."""
    return 1.0


@dataclass(frozen=True)
class WeeklyZ:
    """This week's best of each exercise against its four weeks before, over all exercises."""

    name: str = "weekly z-score over exercises"
    untuned: float = 2.0

    def read(self, log: ClientLog) -> list[Reading]:
        """One reading a session."""
        series: dict[str, list[Best]] = {}
        readings = []
        for session in log.sessions:
            add_best(series, session)
            falls = [f for s in series.values() if (f := _week_fall(s, session.on)) is not None]
            # The sum of n independent standard falls has a standard deviation of sqrt(n).
            score = sum(falls) / sqrt(len(falls)) if falls else NOTHING
            readings.append(Reading(session.on, score))
        return readings


def _week_fall(series: Sequence[Best], today: date) -> float | None:
    now = [b.value for b in series if (today - b.on).days < 7]
    before = [b.value for b in series[-14:] if 7 <= (today - b.on).days < 35]
    if not now or len(before) < 3:
        return None
    middle = fmean(before)
    spread = max(0.015, sqrt(sum((v - middle) ** 2 for v in before) / (len(before) - 1)))
    # The spread of a mean of three to six is itself uncertain: no fall counts for more than 3.
    return max(-3.0, min(3.0, (middle - max(now)) / spread))


SIMPLE_RULES: tuple[PerExercise | WeeklyZ, ...] = (
    PerExercise("two falls in a row, any exercise", two_falls, 1e-9),
    PerExercise("best 1RM under mean of three", under_mean_of_three, 0.05),
    PerExercise(
        "Mann-Kendall of six, any exercise",
        falling_mann_kendall,
        10.51,
        stalls=falling_mann_kendall,
    ),
    PerExercise("Mann-Kendall of six, mean", falling_mann_kendall, 5.0, mean=True),
    PerExercise("CUSUM, any exercise", cusum, 4.0),
    PerExercise("CUSUM, mean over exercises", cusum, 2.0, mean=True),
    WeeklyZ(),
)
STALL_RULES: tuple[PerExercise, ...] = (
    PerExercise("sessions without a best", nothing, 0, stalls=sessions_without_best),
    PerExercise("slope of the last eight", nothing, 0, stalls=flat_slope),
    PerExercise("everything is stalled", nothing, 0, stalls=everything),
)


def detectors() -> list[Detector]:
    """The simple rules as detectors."""
    return [*SIMPLE_RULES]
