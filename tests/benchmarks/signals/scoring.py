"""One way of judging every detector.

**Alarm.** A score at or above the threshold opens an alarm. The coach has then been told, so
no other opens for 14 days; a score that is still high after that is a new alarm.

**False.** An alarm is false unless it opens inside an episode or its recovery, from the first day
of the fall until less than 1 % of it is left. So an alarm during recovery is not false, but
it is no detection either: an episode is *detected within n days* when an alarm opens
no later than n days after its first day, and before recovery begins.

**Budget.** The threshold is the lowest that raises at most one false alarm per client and
calendar year on training clients. It is then applied to other clients.

**Decided** after every session, or weekly: on Monday, from the last reading of the week before.

**Judged time** starts after the eight weeks in which a detector gets to know the client.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from functools import cached_property
from statistics import median

import numpy as np
from numpy.typing import NDArray

from tests.benchmarks.signals.calendar import LEAD_DAYS
from tests.benchmarks.signals.detector import Detector, Reading
from tests.benchmarks.signals.simulator import SimulatedClient
from tests.benchmarks.signals.truth import Episode, Truth

QUIET_DAYS = 14
BUDGET = 1.0  # false alarms a client-year
_YEAR = 365.25
Numbers = NDArray[np.float64]


class Decide(StrEnum):
    """How often the scores are looked at."""

    SESSION = "session"
    WEEK = "week"


@dataclass(frozen=True)
class Read:
    """A client with what a detector said of them."""

    client: SimulatedClient
    readings: Sequence[Reading]

    @property
    def truth(self) -> Truth:
        """What really happened."""
        return self.client.truth

    @cached_property
    def first_day(self) -> date:
        """The first judged day."""
        return self.client.log.planned[0].on + timedelta(days=LEAD_DAYS)

    @cached_property
    def years(self) -> float:
        """Judged time."""
        return (self.client.log.planned[-1].on - self.first_day).days / _YEAR

    @cached_property
    def judged(self) -> tuple[Reading, ...]:
        """Readings of judged days."""
        return tuple(r for r in self.readings if r.on >= self.first_day)

    @cached_property
    def by_session(self) -> tuple[tuple[date, ...], Numbers]:
        """When scores were looked at, and what they were, after every session."""
        days = tuple(r.on for r in self.judged)
        return days, np.array([r.score for r in self.judged], dtype=float)

    @cached_property
    def by_week(self) -> tuple[tuple[date, ...], Numbers]:
        """The same on the Monday after each week with a session."""
        weeks: dict[date, float] = {}
        for reading in self.judged:
            weeks[reading.on + timedelta(days=7 - reading.on.weekday())] = reading.score
        return tuple(weeks), np.array(list(weeks.values()), dtype=float)

    def alarms(self, threshold: float, decide: Decide) -> list[date]:
        """Days on which an alarm opens."""
        days, scores = self.by_session if decide is Decide.SESSION else self.by_week
        opened: list[date] = []
        for place in np.flatnonzero(scores >= threshold):
            on = days[int(place)]
            if not opened or (on - opened[-1]).days >= QUIET_DAYS:
                opened.append(on)
        return opened


def read_all(detector: Detector, clients: Sequence[SimulatedClient]) -> list[Read]:
    """What a detector says of each client; one reading a session or it is refused."""
    found = []
    for client in clients:
        readings = detector.read(client.log)
        if [r.on for r in readings] != [s.on for s in client.log.sessions]:
            message = f"{detector.name} did not give one reading for every session, in order."
            raise ValueError(message)
        found.append(Read(client, readings))
    return found


def episode_at(truth: Truth, on: date) -> Episode | None:
    """The episode, recovery included, that a day lies in."""
    return next((e for e in truth.episodes if e.onset <= on < e.recovered_on), None)


def false_alarm_rate(reads: Sequence[Read], threshold: float, decide: Decide) -> float:
    """False alarms per client and calendar year."""
    false = sum(
        episode_at(read.truth, on) is None
        for read in reads
        for on in read.alarms(threshold, decide)
    )
    return false / sum(read.years for read in reads)


def choose_threshold(reads: Sequence[Read], decide: Decide, budget: float = BUDGET) -> float:
    """The lowest of the scores seen that keeps the budget; infinite when none does."""
    scores = np.concatenate(
        [(r.by_session if decide is Decide.SESSION else r.by_week)[1] for r in reads]
    )
    seen = np.unique(scores[np.isfinite(scores)])
    low, high = 0, len(seen)  # the first place that keeps the budget lies in low..high
    while low < high:
        middle = (low + high) // 2
        if false_alarm_rate(reads, float(seen[middle]), decide) <= budget:
            high = middle
        else:
            low = middle + 1
    return float(seen[low]) if low < len(seen) else float("inf")


@dataclass(frozen=True)
class Detection:
    """How a detector did at one threshold. Shares are none when there was nothing to share."""

    threshold: float
    episodes: int
    within_7: float | None
    within_14: float | None
    delay: float | None  # median days from the first day to the alarm, of those found in time
    onset_error: float | None  # median days between the guessed and the true first day
    false_a_year: float
    precision: float | None  # alarms inside an episode or its recovery, of all alarms
    own_drops: int
    own_called_shared: float | None  # one-exercise drops with an alarm within 21 days
    by_kind: dict[str, tuple[int, int]]  # found within 14 days, episodes


def score_detection(reads: Sequence[Read], threshold: float, decide: Decide) -> Detection:
    """Judge the alarms of one threshold."""
    delays: list[int] = []
    errors: list[int] = []
    kinds: dict[str, tuple[int, int]] = {}
    alarms = inside = own = own_alarmed = episodes = 0
    for read in reads:
        opened = read.alarms(threshold, decide)
        alarms += len(opened)
        inside += sum(episode_at(read.truth, on) is not None for on in opened)
        for episode in read.truth.episodes:
            first = first_alarm(opened, episode)
            delay = None if first is None else (first - episode.onset).days
            episodes += 1
            kind = str(read.client.person.kind)
            found, seen = kinds.get(kind, (0, 0))
            kinds[kind] = (found + (delay is not None and delay <= 14), seen + 1)
            if first is not None and delay is not None:
                delays.append(delay)
                errors += _onset_error(read, first, episode)
        for drop in read.truth.own_drops:
            own += 1
            last = drop.onset + timedelta(days=21)
            own_alarmed += any(drop.onset <= on <= last for on in opened)
    return Detection(
        threshold=threshold,
        episodes=episodes,
        within_7=_share(sum(d <= 7 for d in delays), episodes),
        within_14=_share(sum(d <= 14 for d in delays), episodes),
        delay=median(delays) if delays else None,
        onset_error=median(errors) if errors else None,
        false_a_year=false_alarm_rate(reads, threshold, decide),
        precision=_share(inside, alarms),
        own_drops=own,
        own_called_shared=_share(own_alarmed, own),
        by_kind=kinds,
    )


def first_alarm(opened: Sequence[date], episode: Episode) -> date | None:
    """The first alarm that opens between the first day of a fall and its recovery."""
    return next((on for on in opened if episode.onset <= on < episode.recovery_from), None)


def _onset_error(read: Read, alarm: date, episode: Episode) -> list[int]:
    """Days between guess and truth, from the last reading up to the alarm; empty without one."""
    said = [r for r in read.judged if r.on <= alarm]
    since = said[-1].since if said else None
    return [] if since is None else [abs((since - episode.onset).days)]


def _share(part: int, whole: int) -> float | None:
    return part / whole if whole else None


# --- probabilities ------------------------------------------------------------------


@dataclass(frozen=True)
class Reliability:
    """Of the days given about one probability: how many, its mean, and how often it was true."""

    low: float
    days: int
    said: float
    true: float


@dataclass(frozen=True)
class Calibration:
    """How far probabilities can be taken at their word."""

    brier: float
    error: float  # expected calibration error
    table: tuple[Reliability, ...]


def overreaching_days(reads: Sequence[Read]) -> tuple[list[Reading], NDArray[np.bool_]]:
    """Judged readings and whether each day lay in a fall; days of recovery are left out."""
    readings, labels = [], []
    for read in reads:
        for reading in read.judged:
            episode = episode_at(read.truth, reading.on)
            if episode is not None and reading.on >= episode.recovery_from:
                continue
            readings.append(reading)
            labels.append(episode is not None)
    return readings, np.array(labels, dtype=bool)


def calibration(said: Numbers, true: NDArray[np.bool_], bins: int = 10) -> Calibration:
    """Brier score, expected calibration error over equal bins, and the table behind it.

    Args:
        said: Probabilities [0-1].
        true: Whether each came true.
        bins: How many equal steps from 0 to 1.
    """
    place = np.minimum((said * bins).astype(int), bins - 1)
    rows = []
    for number in range(bins):
        inside = place == number
        if inside.any():
            rows.append(
                Reliability(
                    number / bins,
                    int(inside.sum()),
                    float(said[inside].mean()),
                    float(true[inside].mean()),
                )
            )
    error = sum(row.days * abs(row.said - row.true) for row in rows) / len(said)
    return Calibration(float(np.mean((said - true) ** 2)), error, tuple(rows))


@dataclass(frozen=True)
class ScoreToChance:
    """A rising step curve from score to probability, learned from training clients."""

    scores: Numbers
    chances: Numbers

    def __call__(self, scores: Numbers) -> Numbers:
        """The chance for each score; what cannot be told gets the lowest."""
        place = np.clip(np.searchsorted(self.scores, scores, side="right") - 1, 0, None)
        chances: Numbers = self.chances[place]
        return chances


def learn_chances(scores: Numbers, true: NDArray[np.bool_]) -> ScoreToChance:
    """The rising curve with the least squared error (pool adjacent violators).

    Source: Barlow and others 1972, Statistical Inference under Order Restrictions (from memory).
    """
    levels, place = np.unique(scores, return_inverse=True)
    weight = np.bincount(place).astype(float)
    mean = np.bincount(place, weights=true.astype(float)) / weight
    blocks: list[list[float]] = []  # first level, weight, mean
    for number, (w, m) in enumerate(zip(weight.tolist(), mean.tolist(), strict=True)):
        blocks.append([number, w, m])
        while len(blocks) > 1 and blocks[-2][2] >= blocks[-1][2]:
            _, w2, m2 = blocks.pop()
            first, w1, m1 = blocks[-1]
            blocks[-1] = [first, w1 + w2, (w1 * m1 + w2 * m2) / (w1 + w2)]
    starts = levels[[int(b[0]) for b in blocks]]
    return ScoreToChance(starts, np.array([b[2] for b in blocks]))
