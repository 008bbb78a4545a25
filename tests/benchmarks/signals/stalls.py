"""Judging what is said of single exercises: stalls, and drops of one exercise alone.

**Stalls** are judged once in four weeks, for every exercise trained in the last two weeks and at
least six times. *Stalled* is an exercise whose underlying strength has gained nothing for 21
days or more, over three sessions or more, and still does not. *Not stalled* is one without such
a span in the last 21 days. What lies between is left out, and so are days of overreaching
or its recovery, of a drop of the exercise itself, and the three weeks after an absence.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from coaching.rules.plan import WeekKind
from tests.benchmarks.signals.detector import Reading
from tests.benchmarks.signals.scoring import Numbers, Read, episode_at
from tests.benchmarks.signals.truth import Stall, Truth

STALL_DAYS = timedelta(days=21)
TRAINED_LATELY = timedelta(days=14)
NAMED_DAYS = timedelta(days=21)


@dataclass(frozen=True)
class StallScore:
    """How well stalls were told from gains at one threshold."""

    threshold: float
    judged: int
    stalled: int
    precision: float
    recall: float

    @property
    def f1(self) -> float:
        """The harmonic mean of precision and recall, 0 when both are."""
        both = self.precision + self.recall
        return 2 * self.precision * self.recall / both if both else 0.0


def stall_points(reads: Sequence[Read]) -> tuple[Numbers, NDArray[np.bool_]]:
    """What was said of each judged exercise, and whether it was stalled."""
    said, true = [], []
    for read in reads:
        times: dict[str, list[date]] = {}
        due = read.first_day
        for reading, session in zip(read.readings, read.client.log.sessions, strict=True):
            if session.kind is WeekKind.BUILD:
                for key in {s.exercise.key for s in session.sets}:
                    times.setdefault(key, []).append(session.on)
            if reading.on >= due:
                due = reading.on + timedelta(days=28)
                for key, stalled in _labels(read.truth, reading.on, times).items():
                    said.append(_said(reading, key))
                    true.append(stalled)
    return np.array(said, dtype=float), np.array(true, dtype=bool)


def _said(reading: Reading, key: str) -> float:
    exercise = reading.exercises.get(key)
    return float("-inf") if exercise is None else exercise.stalled


def _labels(truth: Truth, on: date, times: Mapping[str, list[date]]) -> dict[str, bool]:
    """Which exercises are stalled and which are not, on a day on which that can be said."""
    if episode_at(truth, on) is not None:
        return {}
    if any(a.since <= on and a.until > on - STALL_DAYS for a in truth.absences):
        return {}
    labels = {}
    for key, days in times.items():
        dropped = any(d.exercise == key and d.onset <= on <= d.until for d in truth.own_drops)
        if len(days) < 6 or days[-1] < on - TRAINED_LATELY or dropped:
            continue
        spans = [s for s in truth.stalls if s.exercise == key and s.until > on - STALL_DAYS]
        spans = [s for s in spans if s.since <= on]
        if not spans:
            labels[key] = False
        elif spans[-1].since <= on - STALL_DAYS and _lasts(spans[-1], on, days):
            labels[key] = True
    return labels


def _lasts(stall: Stall, on: date, days: Sequence[date]) -> bool:
    """Whether a stall goes on and holds three sessions."""
    return stall.until > on and sum(d >= stall.since for d in days) >= 3


def score_stalls(said: Numbers, true: NDArray[np.bool_], threshold: float) -> StallScore:
    """Precision and recall of calling everything at or above the threshold stalled."""
    called = said >= threshold
    hits = int((called & true).sum())
    return StallScore(
        threshold=threshold,
        judged=len(true),
        stalled=int(true.sum()),
        precision=hits / int(called.sum()) if called.any() else 0.0,
        recall=hits / int(true.sum()) if true.any() else 0.0,
    )


def best_stall_threshold(said: Numbers, true: NDArray[np.bool_]) -> float:
    """The threshold with the highest F1; infinite when nothing was ever said."""
    seen = np.unique(said[np.isfinite(said)])
    if len(seen) == 0:
        return float("inf")
    if len(seen) > 200:
        seen = np.quantile(seen, np.linspace(0, 1, 200))
    return float(max(seen, key=lambda t: score_stalls(said, true, float(t)).f1))


@dataclass(frozen=True)
class OwnDropScore:
    """How often the right exercise was named at a probability of one half or more."""

    drops: int
    named: int  # within 21 days of the first
    false_a_year: float  # names of another time or exercise, more than 14 days apart


def score_own_drops(reads: Sequence[Read], threshold: float = 0.5) -> OwnDropScore | None:
    """Judge what was said of drops of one exercise; none when nothing was said at all."""
    drops = named = false = 0
    spoke = False
    for read in reads:
        raised: dict[str, list[date]] = {}
        for reading in read.judged:
            for key, exercise in reading.exercises.items():
                spoke = spoke or exercise.dropped is not None
                if exercise.dropped is not None and exercise.dropped >= threshold:
                    raised.setdefault(key, []).append(reading.on)
        drops += len(read.truth.own_drops)
        for drop in read.truth.own_drops:
            days = raised.get(drop.exercise, [])
            named += any(drop.onset <= on <= drop.onset + NAMED_DAYS for on in days)
        false += sum(_false_names(read.truth, key, days) for key, days in raised.items())
    years = sum(read.years for read in reads)
    return OwnDropScore(drops, named, false / years) if spoke else None


def _false_names(truth: Truth, key: str, days: Sequence[date]) -> int:
    """Names outside any drop of that exercise and its two weeks of recovery, and any episode."""
    after = timedelta(days=14)
    own = [d for d in truth.own_drops if d.exercise == key]
    count, last = 0, date.min
    for on in days:
        real = any(d.onset <= on <= d.until + after for d in own)
        if not real and episode_at(truth, on) is None:
            count += (on - last).days > 14
            last = on
    return count
