"""The course of a year before it is trained: blocks, absences, falls, stalls, ability by day."""

from dataclasses import dataclass
from math import exp, log

import numpy as np
from numpy.typing import NDArray

from coaching.rules.plan import Part
from tests.benchmarks.signals.people import Person
from tests.benchmarks.signals.programme import Programme

Days = NDArray[np.float64]
# No fall begins before this day: every detector needs some weeks to know a client.
LEAD_DAYS = 56
EPISODES_A_YEAR = 1.4
# How often a fall may begin in the two weeks before a deload, against other times: few, because
# a deload week tells next to nothing and would hide them from every detector.
BEFORE_A_DELOAD = 0.35
OWN_DROPS_A_YEAR = 1.6
STALLS_AN_EXERCISE_YEAR = 3.2
# Share of strength lost in each week away after the first, and days to regain it (no source).
LOST_A_WEEK = 0.012
REGAIN_DAYS = 7.0
# Gains slow down: after so many days to a third (no source).
GAIN_FADES = 500


@dataclass(frozen=True, slots=True)
class Fall:
    """A drop in day numbers: from ``onset`` over ``ramp`` days to ``depth``, until ``end``."""

    onset: int
    ramp: int
    depth: float
    end: int
    recovery: float  # days to lose two thirds of what is left

    def on(self, days: Days) -> Days:
        """Log share of strength on each day, 0 or less."""
        into = np.clip((days - self.onset + 1) / self.ramp, 0, 1)
        after = np.exp(-np.clip(days - self.end, 0, None) / self.recovery)
        shape: Days = log(1 - self.depth) * into * after
        return shape

    @property
    def recovered(self) -> int:
        """The first day on which less than 1 % is left."""
        left = log(1 - self.depth) / log(1 - 0.01)
        return self.end + int(np.ceil(self.recovery * log(max(1.0, left))))


@dataclass(frozen=True)
class Calendar:
    """Everything that is settled before the first set."""

    deload_weeks: frozenset[int]
    block_starts: frozenset[int]  # days
    absences: tuple[tuple[int, int], ...]  # days, end excluded
    falls: tuple[Fall, ...]
    own_drops: tuple[tuple[int, Fall], ...]  # slot number
    stalls: tuple[tuple[int, int, int], ...]  # slot number, first day, end
    shared: Days  # log share of every day, without the falls
    shared_falls: Days
    own: tuple[Days, ...]  # log share of every day, by slot
    body_weight: Days


def draw_calendar(
    person: Person, programme: Programme, days: int, random: np.random.Generator
) -> Calendar:
    """One client's year of so many days."""
    starts, deloads = _blocks(days, random)
    absences = _absences(person, days, random)
    falls = _falls(days, deloads, absences, random)
    used = sorted({n for session in programme.sessions for pair in session for n in pair})
    trained = [n for n in used if programme.slots[n].part is not Part.PREHAB]
    drops = _own_drops(days, trained, falls, absences, random)
    stalls = tuple(s for n in trained for s in _stalls(n, days, falls, random))
    every = np.arange(days, dtype=float)
    own = [_own_course(n, person, days, stalls, random) for n in range(len(programme.slots))]
    for slot, drop in drops:
        own[slot] = own[slot] + drop.on(every)
    weight = person.body_weight + person.weight_change * every / 7
    weight += 0.6 * np.sin(2 * np.pi * (every / 180 + random.random()))
    return Calendar(
        deload_weeks=deloads,
        block_starts=starts,
        absences=absences,
        falls=falls,
        own_drops=drops,
        stalls=stalls,
        shared=_wander(person, days, random) + _away(days, absences),
        shared_falls=np.sum([f.on(every) for f in falls], axis=0) if falls else 0 * every,
        own=tuple(own),
        body_weight=weight,
    )


def _blocks(days: int, random: np.random.Generator) -> tuple[frozenset[int], frozenset[int]]:
    """Blocks of 4 to 6 weeks; most, not all, end with a deload week."""
    starts, deloads, week = [0], [], 0
    while week * 7 < days:
        week += int(random.integers(4, 7))
        starts.append(week * 7)
        if random.random() < 0.85:
            deloads.append(week - 1)
    return frozenset(starts), frozenset(deloads)


def _absences(
    person: Person, days: int, random: np.random.Generator
) -> tuple[tuple[int, int], ...]:
    spans: list[tuple[int, int]] = []
    for _ in range(int(random.poisson(person.absences_a_year * days / 365))):
        first = int(random.integers(28, days))
        last = first + int(random.integers(9, 23))
        if all(last + 21 < a or first > b + 21 for a, b in spans):
            spans.append((first, last))
    return tuple(sorted(spans))


def _falls(
    days: int,
    deloads: frozenset[int],
    absences: tuple[tuple[int, int], ...],
    random: np.random.Generator,
) -> tuple[Fall, ...]:
    """Drops of 4 to 15 % over one to two weeks, for two to six weeks or until a deload."""
    falls: list[Fall] = []
    wanted = int(random.poisson(EPISODES_A_YEAR * (days - LEAD_DAYS) / 365))
    for onset in random.integers(LEAD_DAYS, days - 16, size=12 * wanted).tolist():
        if len(falls) == wanted:
            break
        length = int(random.integers(14, 43))
        coming = [7 * w for w in deloads if 7 * w + 7 > onset]
        # A deload comes too early to help in the first two weeks; fewer falls begin there.
        late = [day for day in coming if day >= onset + 14]
        if any(day <= onset for day in coming):
            continue
        if len(late) < len(coming) and random.random() > BEFORE_A_DELOAD:
            continue
        end = min([onset + length, *late])
        fall = Fall(
            onset=onset,
            ramp=int(random.integers(7, 15)),
            depth=float(random.uniform(0.04, 0.15)),
            end=end,
            recovery=float(random.uniform(3, 7)),
        )
        near = any(a < onset + 24 and b > onset - 14 for a, b in absences)
        again = any(abs(onset - f.onset) < 84 for f in falls)
        if not near and not again:
            falls.append(fall)
    return tuple(sorted(falls, key=lambda f: f.onset))


def _own_drops(
    days: int,
    slots: list[int],
    falls: tuple[Fall, ...],
    absences: tuple[tuple[int, int], ...],
    random: np.random.Generator,
) -> tuple[tuple[int, Fall], ...]:
    """Drops of one exercise, 4 to 15 % within four days, two to five weeks long."""
    drops: list[tuple[int, Fall]] = []
    for _ in range(int(random.poisson(OWN_DROPS_A_YEAR * (days - LEAD_DAYS) / 365))):
        onset = int(random.integers(LEAD_DAYS, days - 16))
        end = onset + int(random.integers(14, 36))
        apart = all(end + 14 < f.onset or onset > f.recovered + 14 for f in falls)
        home = all(end < a or onset > b + 14 for a, b in absences)
        if apart and home and all(abs(onset - f.onset) > 35 for _, f in drops):
            depth = float(random.uniform(0.04, 0.15))
            fall = Fall(onset, int(random.integers(1, 5)), depth, end, 4.0)
            drops.append((int(random.choice(slots)), fall))
    return tuple(drops)


def _stalls(
    slot: int, days: int, falls: tuple[Fall, ...], random: np.random.Generator
) -> list[tuple[int, int, int]]:
    """Spans of five to twelve weeks in which one exercise gains nothing."""
    spans: list[tuple[int, int, int]] = []
    for _ in range(int(random.poisson(STALLS_AN_EXERCISE_YEAR * days / 365))):
        first = int(random.integers(14, days))
        last = first + int(random.integers(35, 85))
        if all(last + 14 < a or first > b + 14 for _, a, b in spans):
            spans.append((slot, first, min(days, last)))
    return spans


def _own_course(
    slot: int,
    person: Person,
    days: int,
    stalls: tuple[tuple[int, int, int], ...],
    random: np.random.Generator,
) -> Days:
    """Gain of every day, slower with the months, nothing in a stall, with a slow random walk."""
    rate = person.gain / 7 * exp(0.4 * random.standard_normal())
    gains = np.full(days, rate) * np.exp(-np.arange(days) / GAIN_FADES)
    walk = 0.0025 / np.sqrt(7) * random.standard_normal(days)
    for which, first, last in stalls:
        if which == slot:
            gains[first:last] = 0
            walk[first:last] *= 0.3
    course: Days = np.cumsum(gains + walk)
    return course


def _wander(person: Person, days: int, random: np.random.Generator) -> Days:
    """Ordinary ups and downs shared by all exercises; two weeks until two thirds are forgotten."""
    keep = exp(-1 / 14)
    steps = person.wander * np.sqrt(1 - keep**2) * random.standard_normal(days)
    course = np.empty(days)
    now = person.wander * float(random.standard_normal())
    for day in range(days):
        now = keep * now + float(steps[day])
        course[day] = now
    return course


def _away(days: int, absences: tuple[tuple[int, int], ...]) -> Days:
    """What is lost by an absence and regained after it."""
    course = np.zeros(days)
    for first, last in absences:
        lost = LOST_A_WEEK * max(0.0, (last - first) / 7 - 1)
        after = np.arange(max(0, days - last))
        course[last:] -= lost * np.exp(-after / REGAIN_DAYS)
    return course
