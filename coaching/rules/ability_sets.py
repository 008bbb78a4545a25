"""What a logged session says of strength, set by set, before any belief about it.

A set stopped at its target says *at least*. A logged reserve says about how much more; a
missed target, or repetitions beyond it on the last set, about what the client had; so do all that
go beyond it once one before the last has.
"""

from dataclasses import dataclass, replace
from math import inf, log

from coaching.rules import ability_numbers as n
from coaching.rules.capacity import Curve
from coaching.rules.log import LoggedSession, LoggedSet
from coaching.rules.plan import Exercise, Measure, Pattern
from coaching.rules.volume import system_load

# Variance of a number that was rounded to a whole one.
ROUNDING = 1 / 12
# Repetitions are whole: what was possible lies about half of one above what was done.
HALF = 0.5


@dataclass(frozen=True, slots=True)
class Shown:
    """What one set shows.

    ``system`` is the log of the system load, ``amount`` what was done, ``could`` about what
    was possible (none: at least ``amount``) with ``spread`` [reps]; ``reserve`` is what the client
    said was left.
    """

    system: float
    amount: int
    could: float | None
    spread: float
    reserve: int | None
    implied: bool = False
    """Whether a later set of the exercise shows at least as much."""


@dataclass(frozen=True)
class Work:
    """One exercise of a session: its sets and the rest between two of them [s]."""

    exercise: Exercise
    sets: tuple[Shown, ...]
    rest: float

    @property
    def curve(self) -> Curve:
        """What repetitions or seconds are worth."""
        return Curve(self.exercise.measure)

    @property
    def load(self) -> float:
        """Log system load of the first set."""
        return self.sets[0].system


def read_works(session: LoggedSession) -> dict[str, Work]:
    """The exercises of a session that say something, by key, in the order they were done."""
    groups: dict[str, list[LoggedSet]] = {}
    for done in session.sets:
        if done.amount > 0 and not done.warm_up and done.exercise.pattern is not Pattern.PREHAB:
            groups.setdefault(done.exercise.key, []).append(done)
    works = {}
    for key, sets in groups.items():
        work = _work(sets, session.body_weight)
        if work is not None and not _is_mistyped(sets):
            works[key] = work
    return works


def is_far_load(work: Work, usual: float) -> bool:
    """Whether a load is so far from that of the last time [log system load] that it looks mistyped."""
    return abs(work.load - usual) > log(n.SET_FAR_LOAD.value)


def rest_between(rest: float, *, paired: bool) -> float:
    """Rest between two sets of one exercise [s], from that after each set.

    In a pair the other exercise has its rest and its set in between.

    >>> rest_between(120, paired=True)
    280.0
    """
    return 2.0 * rest + n.SET_OF_PARTNER.value if paired else float(rest)


def _work(sets: list[LoggedSet], body_weight: float) -> Work | None:
    shown = []
    # Who goes past a target before the last set does not stop at targets.
    is_open = any(done.target is not None and done.amount > done.target for done in sets[:-1])
    for place, done in enumerate(sets, start=1):
        try:
            system = system_load(done.exercise, done.load, body_weight)
        except ValueError:
            return None
        if system <= 0:
            return None
        shown.append(_shown(done, log(system), is_open=is_open or place == len(sets)))
    rest = sets[0].rest
    curve = Curve(sets[0].exercise.measure)
    most = -inf
    for place in reversed(range(len(shown))):
        least = shown[place].system + curve.strength(shown[place].amount)
        if least <= most:
            shown[place] = replace(shown[place], implied=True)
        most = max(most, least)
    return Work(sets[0].exercise, tuple(shown), n.SET_REST.value if rest is None else rest)


def _shown(done: LoggedSet, system: float, *, is_open: bool) -> Shown:
    grain = Curve(done.exercise.measure).grain(done.amount)
    missed = done.target is not None and done.amount < done.target and not done.rir
    if done.rir is not None and not missed and done.exercise.measure is Measure.REPS:
        return Shown(system, done.amount, done.amount + done.rir + HALF, 0.0, done.rir)
    if done.target is not None and done.amount < done.target:
        could, spread = (
            done.amount + n.SET_MISSED_ABOVE.value * grain,
            n.SET_MISSED_NOISE.value * grain,
        )
        return Shown(system, done.amount, could, spread, None)
    if is_open and done.target is not None and done.amount > done.target:
        could, spread = done.amount + n.SET_OPEN_ABOVE.value * grain, n.SET_OPEN_NOISE.value * grain
        return Shown(system, done.amount, could, spread, None)
    return Shown(system, done.amount, None, 0.0, None)


def _is_mistyped(sets: list[LoggedSet]) -> bool:
    """Whether repetitions look mistyped: so many that nothing explains them."""
    if sets[0].exercise.measure is not Measure.REPS:
        return False
    return any(
        done.target is not None
        and done.amount > n.SET_FAR_AMOUNT_TIMES.value * done.target + n.SET_FAR_AMOUNT.value
        for done in sets
    )
