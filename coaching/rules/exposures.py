"""What each session shows of a client's strength, exercise by exercise.

A set stopped at its target says *at least*: it is never read as all the client had.
Every set of a session counts, on the system load, by Epley's formula to the
logarithm, so that a difference is a share of strength: 0.07 is 7 %.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from math import exp, log
from statistics import fmean, median

from coaching.rules.log import LoggedSession, LoggedSet
from coaching.rules.numbers import (
    HOLD_STRENGTH_SHARE,
    LIGHTER_WORK,
    LOG_MISTAKE,
    MISTAKE_NEIGHBOURS,
    ONE_RM_LINES,
    USUAL_FEWEST,
)
from coaching.rules.plan import Exercise, Measure, WeekKind
from coaching.rules.volume import system_load

_EPLEY = ONE_RM_LINES.value("Epley", "n")


@dataclass(frozen=True, slots=True)
class SetValue:
    """One set: the log of the strength it shows, and how much that can be trusted.

    ``system`` is the system load [kg]. ``reserve`` is what the client said was
    left, none when not logged.
    """

    number: int
    amount: int
    target: int | None
    load: float
    system: float
    value: float
    reserve: int | None

    @property
    def missed(self) -> bool:
        """Whether the set fell short of what was asked."""
        return self.target is not None and self.amount < self.target

    @property
    def is_measured(self) -> bool:
        """Whether the set shows what the client had, not only a least."""
        return self.missed or self.reserve is not None


@dataclass(frozen=True)
class Exposure:
    """One exercise in one session of a usual week."""

    on: date
    exercise: Exercise
    sets: tuple[SetValue, ...]
    rpe: float | None

    @cached_property
    def index(self) -> float:
        """The mean log strength over all sets."""
        return fmean(s.value for s in self.sets)

    @property
    def at_least(self) -> bool:
        """Whether every set only shows a least."""
        return not any(s.is_measured for s in self.sets)

    @property
    def missed(self) -> int:
        """How many sets fell short of their target."""
        return sum(s.missed for s in self.sets)

    @property
    def load(self) -> float:
        """The usual load of the sets [kg]."""
        return median(s.load for s in self.sets)

    @property
    def work(self) -> int:
        """Repetitions or seconds of all sets."""
        return sum(s.amount for s in self.sets)

    @property
    def written(self) -> str:
        """The sets as a coach writes them: 7,7,7,6,6."""
        return ",".join(str(s.amount) for s in self.sets)


def read_exposures(sessions: Iterable[LoggedSession]) -> dict[str, tuple[Exposure, ...]]:
    """Each exercise's sessions, oldest first, by exercise key.

    Deload and test weeks and warm-ups are left out, and so is a session so far from
    those around it that a typing or unit mistake is likelier than a change.
    """
    return ExposureReader().read(sessions)


class ExposureReader:
    """Reads the exposures of one log many times, week by week, and each of its sessions once."""

    def __init__(self) -> None:
        # The session is kept beside its exposures, so that no other one gets its id.
        self._known: dict[int, tuple[LoggedSession, tuple[Exposure, ...]]] = {}

    def read(self, sessions: Iterable[LoggedSession]) -> dict[str, tuple[Exposure, ...]]:
        """What ``read_exposures`` answers for those sessions."""
        series: dict[str, list[Exposure]] = {}
        for session in sorted(sessions, key=lambda s: s.on):
            if session.kind is not WeekKind.BUILD:
                continue
            if id(session) not in self._known:
                self._known[id(session)] = (session, tuple(_exposures(session)))
            for exposure in self._known[id(session)][1]:
                series.setdefault(exposure.exercise.key, []).append(exposure)
        kept = {key: _without_mistakes(exposures) for key, exposures in series.items()}
        # Of sessions that all lie far from those around them none is left to be read.
        return {key: exposures for key, exposures in kept.items() if exposures}


def _exposures(session: LoggedSession) -> Iterator[Exposure]:
    by_exercise: dict[str, list[LoggedSet]] = {}
    for done in session.sets:
        if not done.warm_up and (done.amount > 0 or done.target):
            by_exercise.setdefault(done.exercise.key, []).append(done)
    for sets in by_exercise.values():
        exposure = _exposure(session, sets)
        if exposure is not None:
            yield exposure


def _exposure(session: LoggedSession, sets: Sequence[LoggedSet]) -> Exposure | None:
    values = []
    later: int | None = None
    # Backwards: a set before one that left two in reserve had at least as many left.
    for place, done in reversed(list(enumerate(sets, start=1))):
        later = done.rir if done.rir is not None else later
        if done.target is not None and done.amount < done.target and done.rir is None:
            later = None
        value = _value(place, done, later or 0, session.body_weight)
        if value is not None:
            values.append(value)
    if not values:
        return None
    return Exposure(session.on, sets[0].exercise, tuple(reversed(values)), session.rpe)


def _value(place: int, done: LoggedSet, reserve: int, body_weight: float) -> SetValue | None:
    try:
        system = system_load(done.exercise, done.load, body_weight)
    except ValueError:
        return None
    could = max(0, done.amount) + max(0, reserve)
    if done.exercise.measure is Measure.REPS:
        strength = log(1 + could / _EPLEY)
    else:
        strength = HOLD_STRENGTH_SHARE.value * log(max(1, done.amount))
    return SetValue(
        number=place,
        amount=done.amount,
        target=done.target,
        load=done.load,
        system=system,
        value=log(max(1.0, system)) + strength,
        reserve=done.rir if done.exercise.measure is Measure.REPS else None,
    )


def _without_mistakes(exposures: Sequence[Exposure]) -> tuple[Exposure, ...]:
    """Leave out single sessions that no change of strength explains."""
    kept = []
    near = int(MISTAKE_NEIGHBOURS.value)
    for i, one in enumerate(exposures):
        beside = (*exposures[max(0, i - near) : i], *exposures[i + 1 : i + 1 + near])
        around = [e.index for e in beside]
        too_few = len(around) < USUAL_FEWEST.value
        if too_few or abs(one.index - median(around)) <= LOG_MISTAKE.value:
            kept.append(one)
    return tuple(kept)


@dataclass(frozen=True)
class Usual:
    """What an exercise usually shows, set by set: the medians of some exposures."""

    exposures: tuple[Exposure, ...]

    @cached_property
    def system(self) -> float:
        """Median system load [kg]."""
        return median(s.system for e in self.exposures for s in e.sets)

    @cached_property
    def by_number(self) -> dict[int, tuple[float, float]]:
        """Median log strength and median amount of each set by its number."""
        sets: dict[int, list[SetValue]] = {}
        for exposure in self.exposures:
            for one in exposure.sets:
                sets.setdefault(one.number, []).append(one)
        return {
            number: (median(s.value for s in group), median(s.amount for s in group))
            for number, group in sets.items()
        }

    def fall_of(self, exposure: Exposure) -> float | None:
        """How much weaker an exposure is [log share], or no answer when it cannot tell.

        A planned lighter set that was met, and any set stopped at its target, shows
        that nothing fell when it is as good as usual, and otherwise nothing at all.
        """
        falls = []
        compared = [one for one in exposure.sets if one.number in self.by_number]
        for one in compared:
            value, amount = self.by_number[one.number]
            lighter = one.system < LIGHTER_WORK.value * self.system or (
                one.target is not None and one.target < amount
            )
            tells = one.missed or (one.reserve is not None and not lighter)
            if tells or one.value >= value:
                falls.append(value - one.value)
        # Of sets that tell nothing the weak ones would be silent and the strong ones heard:
        # unless a target was missed, most sets must tell something.
        speaks = exposure.missed > 0 or 2 * len(falls) > len(compared)
        return fmean(falls) if falls and speaks else None


def percent(fall: float) -> float:
    """A fall in log strength as a percentage of strength.

    >>> round(percent(0.0726), 1)
    7.0
    """
    return 100 * (1 - exp(-fall))
