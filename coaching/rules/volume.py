"""How much work a muscle gets: sets, repetitions, seconds and kilograms.

Conventions, the same for what is planned and for what was logged:

* Only **working sets** count. Warm-ups never do; prehab does, for the muscles it
  works. A logged set that nobody asked for counts unless it left more than
  ``WORKING_SET_RESERVE`` repetitions in reserve.
* A set counts 1 for a muscle that moves it (**direct**) and its share, usually
  0.5, for a muscle that assists (**indirect**). The sum is the **fractional** count.
* One side after the other: the number written is that of one side, and a set per
  side is *one* set, because each muscle sits on one side and gets one. In
  alternation: the number written is that of both sides together, as it is counted
  aloud, and all of it is counted.
* A hold counts sets and seconds, no repetitions, and therefore no volume load.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite

from coaching.rules.log import LoggedSession, LoggedSet
from coaching.rules.numbers import DELOAD_SHARE, WORKING_SET_RESERVE
from coaching.rules.plan import (
    Exercise,
    LoadKind,
    Measure,
    Muscle,
    MuscleShare,
    Part,
    PlannedSession,
    PlannedWeek,
    Tempo,
)


@dataclass(frozen=True, slots=True)
class WorkingSet:
    """One set that counts: ``amount`` is repetitions or seconds of one side.

    ``load`` [kg] means what the exercise's load kind says; ``tempo`` is none
    where it was not recorded.
    """

    exercise: Exercise
    amount: int
    load: float
    tempo: Tempo | None

    @property
    def reps(self) -> int:
        """Repetitions, none for a hold."""
        return self.amount if self.exercise.measure is Measure.REPS else 0

    @property
    def seconds(self) -> int | None:
        """Seconds under tension, or no answer when the tempo is not known."""
        if self.exercise.measure is Measure.SECONDS:
            return self.amount
        return None if self.tempo is None else self.amount * self.tempo.seconds_per_rep


@dataclass(frozen=True, slots=True)
class MuscleVolume:
    """What one muscle gets.

    ``direct_sets`` and ``indirect_sets`` are plain counts; ``fractional_sets`` weighs
    the indirect ones. ``direct_reps`` are repetitions of direct sets. Fractional
    repetitions, ``seconds_under_tension`` [s] and ``volume_load_kg`` [kg] are weighed
    like the sets. Seconds are none when the tempo of a set is not known.
    """

    muscle: Muscle
    direct_sets: int = 0
    indirect_sets: int = 0
    fractional_sets: float = 0.0
    direct_reps: int = 0
    fractional_reps: float = 0.0
    seconds_under_tension: float | None = 0.0
    volume_load_kg: float = 0.0

    @property
    def total_sets(self) -> int:
        """Every set that works the muscle, direct or not, counted once."""
        return self.direct_sets + self.indirect_sets

    def __add__(self, other: "MuscleVolume") -> "MuscleVolume":
        """The volume of both; of one and the same muscle only."""
        if other.muscle is not self.muscle:
            message = f"Volume of {self.muscle} and of {other.muscle} cannot be added."
            raise ValueError(message)
        return MuscleVolume(
            self.muscle,
            self.direct_sets + other.direct_sets,
            self.indirect_sets + other.indirect_sets,
            self.fractional_sets + other.fractional_sets,
            self.direct_reps + other.direct_reps,
            self.fractional_reps + other.fractional_reps,
            _sum_known(self.seconds_under_tension, other.seconds_under_tension),
            self.volume_load_kg + other.volume_load_kg,
        )


@dataclass(frozen=True, slots=True)
class SessionTotals:
    """A whole session: working sets, repetitions, volume load [kg], seconds of work [s].

    Sets and repetitions are those of one side; kilograms and seconds are what the
    client did, so both sides of a one-sided exercise count.
    """

    working_sets: int
    reps: int
    volume_load_kg: float
    seconds: float | None


def system_load(exercise: Exercise, load: float, body_weight: float) -> float:
    """What the muscles move [kg]: a share of the body plus or minus the load.

    Args:
        exercise: Says which share of body weight it moves and what the load means.
        load: Added or external load, or assistance [kg], 0 or more; an exercise that
            takes no load ignores it.
        body_weight: Weight of the client [kg], above 0.

    Raises:
        ValueError: When a weight is negative or no number.
    """
    if not (isfinite(load) and load >= 0):
        message = f"A load of {load} kg is not possible; enter 0 kg or more."
        raise ValueError(message)
    if not (isfinite(body_weight) and body_weight > 0):
        message = f"A body weight of {body_weight} kg is not possible; enter it in kilograms."
        raise ValueError(message)
    body = exercise.body_share * body_weight
    match exercise.load_kind:
        case LoadKind.NONE:
            return body
        case LoadKind.ASSISTED:
            return max(0.0, body - load)
        case LoadKind.ADDED | LoadKind.EXTERNAL:
            return body + exercise.added_share * load


def planned_working_sets(session: PlannedSession) -> Iterator[WorkingSet]:
    """The sets of a planned session that count, in the order they are written."""
    for prescription in session.prescriptions:
        if prescription.part is Part.WARM_UP:
            continue
        for target in prescription.targets:
            if target > 0:
                yield WorkingSet(
                    prescription.exercise, target, prescription.load, prescription.tempo
                )


def is_working_set(done: LoggedSet) -> bool:
    """Whether a logged set counts: not a warm-up, something done, and asked for or hard."""
    if done.warm_up or done.amount <= 0:
        return False
    return done.target is not None or done.rir is None or done.rir <= WORKING_SET_RESERVE.value


def logged_working_sets(
    session: LoggedSession, tempos: Mapping[str, Tempo] | None = None
) -> Iterator[WorkingSet]:
    """The sets of a logged session that count; ``tempos`` is by exercise key."""
    known = tempos or {}
    for done in session.sets:
        if is_working_set(done):
            yield WorkingSet(done.exercise, done.amount, done.load, known.get(done.exercise.key))


def planned_session_volume(
    session: PlannedSession, *, body_weight: float
) -> dict[Muscle, MuscleVolume]:
    """What each muscle gets in a planned session; ``body_weight`` is in [kg]."""
    return volume_of_sets(planned_working_sets(session), body_weight)


def planned_week_volume(week: PlannedWeek, *, body_weight: float) -> dict[Muscle, MuscleVolume]:
    """What each muscle gets in a planned week; ``body_weight`` is in [kg]."""
    return add_volumes(
        planned_session_volume(session, body_weight=body_weight) for session in week.sessions
    )


def logged_session_volume(
    session: LoggedSession, *, tempos: Mapping[str, Tempo] | None = None
) -> dict[Muscle, MuscleVolume]:
    """What each muscle got in a session, at that day's body weight.

    The log holds no tempo. Without ``tempos`` (by exercise key) the seconds of
    repetitions are unknown, and so is the sum they would belong to.
    """
    return volume_of_sets(logged_working_sets(session, tempos), session.body_weight)


def logged_volume(
    sessions: Iterable[LoggedSession], *, tempos: Mapping[str, Tempo] | None = None
) -> dict[Muscle, MuscleVolume]:
    """What each muscle got in several sessions, such as those of a week."""
    return add_volumes(logged_session_volume(session, tempos=tempos) for session in sessions)


def add_volumes(parts: Iterable[Mapping[Muscle, MuscleVolume]]) -> dict[Muscle, MuscleVolume]:
    """The sum of several volumes, muscle by muscle."""
    total: dict[Muscle, MuscleVolume] = {}
    for part in parts:
        for muscle, volume in part.items():
            total[muscle] = total[muscle] + volume if muscle in total else volume
    return _in_order(total)


def planned_session_totals(session: PlannedSession, *, body_weight: float) -> SessionTotals:
    """Working sets, repetitions, kilograms and seconds of a planned session."""
    return totals_of_sets(planned_working_sets(session), body_weight)


def logged_session_totals(
    session: LoggedSession, *, tempos: Mapping[str, Tempo] | None = None
) -> SessionTotals:
    """Working sets, repetitions, kilograms and seconds of a logged session."""
    return totals_of_sets(logged_working_sets(session, tempos), session.body_weight)


def volume_load(sets: Iterable[tuple[int, float]]) -> float:
    """Repetitions times kilograms over all sets [kg]; each set is (reps, load).

    >>> volume_load([(10, 55), (8, 65), (6, 75)])
    1520
    """
    return sum(reps * load for reps, load in sets)


def session_intensity(sets: Sequence[tuple[int, float]]) -> float | None:
    """Mean load of a repetition [kg], or no answer without repetitions.

    >>> round(session_intensity([(10, 55), (8, 65), (6, 75)]), 2)
    63.33
    """
    reps = sum(reps for reps, _ in sets)
    return volume_load(sets) / reps if reps else None


def training_density(volume_load_kg: float, minutes: float) -> float | None:
    """Volume load a minute [kg/min], or no answer without minutes.

    >>> round(training_density(1560, 45), 2)
    34.67
    """
    return volume_load_kg / minutes if minutes > 0 else None


def expected_week_reps(
    session_reps: float, shares: Sequence[float] = (1, 1, DELOAD_SHARE.value)
) -> float:
    """Repetitions in a week of one usual session done at several shares of its volume.

    The usual week has two full days and one light day (common practice, no source).

    >>> round(expected_week_reps(86), 1)
    206.4
    """
    return session_reps * sum(shares)


def volume_of_sets(sets: Iterable[WorkingSet], body_weight: float) -> dict[Muscle, MuscleVolume]:
    """What each muscle gets in those sets; ``body_weight`` is in [kg]."""
    total: dict[Muscle, _Sum] = {}
    for one in sets:
        reps, seconds = one.reps, one.seconds
        moved = reps * system_load(one.exercise, one.load, body_weight)
        for share in one.exercise.muscles:
            if share.share > 0:
                if share.muscle not in total:
                    total[share.muscle] = _Sum()
                total[share.muscle].add(share, reps, seconds, moved)
    return _in_order({muscle: one.volume(muscle) for muscle, one in total.items()})


class _Sum:
    """What a muscle got so far; written over, because a week has hundreds of sets."""

    __slots__ = ("direct", "direct_reps", "fractional", "indirect", "moved", "reps", "seconds")

    def __init__(self) -> None:
        self.direct = self.indirect = self.direct_reps = 0
        self.fractional = self.reps = self.moved = 0.0
        self.seconds: float | None = 0.0

    def add(self, share: MuscleShare, reps: int, seconds: int | None, moved: float) -> None:
        """One set more."""
        weight = share.share
        if share.is_direct:
            self.direct += 1
            self.direct_reps += reps
        else:
            self.indirect += 1
        self.fractional += weight
        self.reps += weight * reps
        self.seconds = _sum_known(self.seconds, None if seconds is None else weight * seconds)
        self.moved += weight * moved

    def volume(self, muscle: Muscle) -> MuscleVolume:
        """All of it."""
        return MuscleVolume(
            muscle,
            self.direct,
            self.indirect,
            self.fractional,
            self.direct_reps,
            self.reps,
            self.seconds,
            self.moved,
        )


def totals_of_sets(sets: Iterable[WorkingSet], body_weight: float) -> SessionTotals:
    """Working sets, repetitions, kilograms and seconds in those sets."""
    count, reps, kilograms = 0, 0, 0.0
    seconds: float | None = 0.0
    for one in sets:
        sides = one.exercise.sides
        count += 1
        reps += one.reps
        kilograms += sides * one.reps * system_load(one.exercise, one.load, body_weight)
        seconds = _sum_known(seconds, None if one.seconds is None else sides * one.seconds)
    return SessionTotals(count, reps, kilograms, seconds)


def _sum_known(one: float | None, other: float | None) -> float | None:
    return None if one is None or other is None else one + other


def _in_order(volumes: Mapping[Muscle, MuscleVolume]) -> dict[Muscle, MuscleVolume]:
    return {muscle: volumes[muscle] for muscle in Muscle if muscle in volumes}
