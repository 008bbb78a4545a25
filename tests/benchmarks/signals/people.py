"""Kinds of clients, and the parameters of one client drawn afresh.

The middle values are a coach's sense of such clients (common practice, no source) unless a
source is named. They are drawn with a wide spread, because nobody knows them better.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np


class Kind(StrEnum):
    """The kinds of clients on a roster that detection must work for."""

    NOVICE = "novice"
    INTERMEDIATE = "intermediate"
    ADVANCED = "advanced"
    IRREGULAR = "irregular"
    BLIND = "stops at target, no RIR"
    FAILURE = "trains to failure"
    RESERVE = "RIR on every set"
    HOME = "home, no load steps"


class Stop(StrEnum):
    """When a client ends a set."""

    TARGET = "at the target"
    OPEN_LAST = "at the target, the last set open"
    FAILURE = "at failure"


class Reserve(StrEnum):
    """Which sets a client logs repetitions in reserve for."""

    NONE = "none"
    LAST = "last set"
    SOME = "about half"
    ALL = "every set"


@dataclass(frozen=True)
class Person:
    """One client's own parameters. Noise and gain are shares of strength (log)."""

    kind: Kind
    sessions_a_week: int
    exercises_a_session: int
    attendance: float  # chance that a planned session is done
    absences_a_year: float
    gain: float  # a week
    day_noise: float  # shared by all exercises of a session
    exercise_noise: float
    set_noise: float
    wander: float  # standard deviation of ordinary ups and downs, about two weeks long
    fatigue: float  # multiplies how much sets take out of the next ones
    leaves: float  # chance that a missed set was ended one repetition early
    caution: float  # repetitions that the coach leaves in reserve beyond the usual
    hurry: float  # chance that a met target is followed by a higher one
    stops: Stop
    reserve: Reserve
    reserve_bias: float  # repetitions that they have more than they say
    reserve_noise: float  # repetitions
    effort_logged: float  # chance that session RPE is logged
    effort_offset: float
    effort_noise: float
    light_day: bool  # one lighter session planned every week
    drops_load: bool  # lowers the load after a set that fell short
    load_step: float  # kg, 0 without loads
    body_weight: float  # kg on the first day
    weight_change: float  # kg a week
    mistakes: float  # chance of a typing mistake in a session
    pacing: float  # chance that an exercise is started with too many repetitions


# What differs from the usual client, by kind.
_GAIN = {Kind.NOVICE: 0.008, Kind.ADVANCED: 0.0016, Kind.HOME: 0.005, Kind.FAILURE: 0.0025}
_SESSIONS = {Kind.NOVICE: (3, 3), Kind.ADVANCED: (4, 5), Kind.HOME: (3, 4), Kind.IRREGULAR: (3, 4)}
_NOISE = {Kind.NOVICE: 1.15, Kind.ADVANCED: 0.85, Kind.IRREGULAR: 1.15}


def draw_person(kind: Kind, random: np.random.Generator) -> Person:
    """A client of a kind with parameters of their own."""

    def around(middle: float, spread: float = 0.3) -> float:
        return float(middle * np.exp(spread * random.standard_normal()))

    noise = _NOISE.get(kind, 1.0)
    low, high = _SESSIONS.get(kind, (3, 5))
    return Person(
        kind=kind,
        sessions_a_week=int(random.integers(low, high + 1)),
        exercises_a_session=int(random.integers(4, 9)),
        attendance=0.68 if kind is Kind.IRREGULAR else float(random.uniform(0.88, 0.99)),
        absences_a_year=3.0 if kind is Kind.IRREGULAR else 1.2,
        gain=around(_GAIN.get(kind, 0.0035)),
        # Together with the noise of a set these make tests of a maximum differ by about 4 %:
        # Grgic 2020, median coefficient of variation 4.2 % (0.5 to 12.1).
        day_noise=around(0.018 * noise),
        exercise_noise=around(0.029 * noise),
        set_noise=around(0.012),
        wander=around(0.008),
        fatigue=around(1.0, 0.2),
        leaves=float(random.uniform(0, 0.6)),
        # Clients who are nearly invisible are held far from failure and climb slowly.
        caution=float(random.normal(3.5 if kind is Kind.BLIND else 0.5, 0.8)),
        hurry=float(random.uniform(0.2, 0.4) if kind is Kind.BLIND else random.uniform(0.6, 1)),
        stops=_stop(kind, random),
        reserve=_reserve(kind, random),
        # Halperin 2022: 0.95 repetitions fewer said than had (95 % interval 0.17 to 1.73).
        reserve_bias=float(random.normal(0.95, 0.5)),
        reserve_noise=around(0.8, 0.25),
        effort_logged=_effort_logged(kind, random),
        effort_offset=float(random.normal(0, 0.7)),
        effort_noise=around(0.7, 0.25),
        light_day=bool(random.random() < 0.2),
        drops_load=bool(random.random() < 0.3),
        load_step=0.0 if kind is Kind.HOME else float(random.choice([1.25, 2.0, 2.5])),
        body_weight=float(np.clip(random.normal(76, 12), 48, 120)),
        weight_change=float(random.normal(0, 0.08)),
        mistakes=around(0.012, 0.4),
        pacing=around(0.01, 0.6),
    )


def _stop(kind: Kind, random: np.random.Generator) -> Stop:
    if kind is Kind.FAILURE:
        return Stop.FAILURE
    if kind is Kind.BLIND:
        return Stop.TARGET
    return Stop.OPEN_LAST if random.random() < 0.15 else Stop.TARGET


def _reserve(kind: Kind, random: np.random.Generator) -> Reserve:
    if kind is Kind.BLIND:
        return Reserve.NONE
    if kind is Kind.RESERVE:
        return Reserve.ALL
    habits = [Reserve.NONE, Reserve.LAST, Reserve.SOME, Reserve.ALL]
    return habits[int(random.choice(4, p=[0.25, 0.4, 0.15, 0.2]))]


def _effort_logged(kind: Kind, random: np.random.Generator) -> float:
    """Half of those who log no reserve log no effort either; most others do."""
    logs = random.random() < (0.5 if kind is Kind.BLIND else 0.7)
    return float(random.uniform(0.8, 1.0)) if logs else 0.0
