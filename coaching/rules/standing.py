"""Where a client begins with an exercise of a new plan: where it stood when it was last done.

The load for the plan's repetitions follows from the client's own sets, by the most careful of the
published relations. Where no load can be made for them, the client's own repetitions are the
beginning, within the range of the part: fewer at the same load would be a step back. After pain,
after a long time, and of what is planned but not done yet, nothing is more than the plan itself
asks, nor than was done.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import accumulate
from statistics import fmean

from coaching.rules.next_load import load_words, system_load_for
from coaching.rules.numbers import HOLD_SIMPLE, LOAD_JUMP, MOST_ABOVE_TOP, ONE_RM_LAST_REPS
from coaching.rules.plan import Exercise, Level, LoadKind, Measure, Part
from coaching.rules.rep_range import range_for
from coaching.rules.stair import usual_range
from coaching.rules.volume import system_load

_GRAIN = 1e-9
"""So little too much is none, but the rounding of the computer."""


@dataclass(frozen=True, slots=True)
class Standing:
    """How an exercise was last done, or what sessions to come ask of it, with one load [kg].

    ``weeks_ago`` is 0 unless it is so long ago, or the client away so long, that it is no step to
    go on from; ``sets`` are all of that session, with other loads too.
    """

    on: date
    amounts: tuple[int, ...]
    load: float
    hurt: bool = False
    is_logged: bool = True
    weeks_ago: int = 0
    sets: int = 0

    @property
    def is_most(self) -> bool:
        """Whether nothing goes on from it: it hurt, is long ago, or was only planned."""
        return self.hurt or not self.is_logged or bool(self.weeks_ago)

    def is_less_than(self, targets: Sequence[int]) -> bool:
        """Whether so many repetitions or seconds are more in all than were done."""
        return sum(targets) > sum(self.amounts) + self.usual * max(0, self.sets - len(self.amounts))

    @property
    def usual(self) -> int:
        """What a set came to on average, rounded down."""
        return int(fmean(self.amounts))

    def own(self, sets: int) -> tuple[int, ...]:
        """So many sets, none above what was done by then."""
        kept = list(accumulate(self.amounts, min))
        return tuple(kept[min(place, len(kept) - 1)] for place in range(sets))

    def words(self, exercise: Exercise) -> str:
        """8-8-7-7-7 at body weight on 20 Nov."""
        day = f"{self.on.day} {self.on:%b}"
        when = f"on {day}" if self.is_logged else f"as planned for {day}"
        if self.weeks_ago:
            when += f", {self.weeks_ago} week{'' if self.weeks_ago == 1 else 's'} ago"
        return f"{sets_words(self.amounts, exercise)} {at_words(exercise, self.load)} {when}"


@dataclass(frozen=True, slots=True)
class Beginning:
    """The load [kg] to begin with, and by how much each set's target goes up or down with it."""

    load: float
    shifts: tuple[int, ...] = ()
    is_easier: bool = False
    """Whether it is less than what was done, as the range of the part ends there."""
    is_harder: bool = False
    """Whether it is more in all than what was done, at no less load."""


def begins(
    exercise: Exercise,
    standing: Standing,
    asked: tuple[Sequence[int], int],
    loads: Sequence[float],
    body_weight: float | None,
    most: int | None,
    written: float = 0.0,
) -> Beginning:
    """Where the exercise begins in a plan.

    Never heavier than the client's own sets tell, nor by more than a step that would be named as
    big. From what is the most there is no step on, in load or in repetitions.

    Args:
        exercise: The exercise.
        standing: How it was last done.
        asked: The targets of the first week, and the highest of all weeks at that load.
        loads: What the equipment makes [kg].
        body_weight: Weight of the client [kg], none when it is not known.
        most: Up to where own repetitions or seconds stay, none without an end.
        written: The load that the plan itself asks for [kg], 0 where it is left open.
    """
    targets, highest = asked
    load = _load(exercise, standing, highest, loads, body_weight)
    if load is not None and standing.is_most and written:
        load = _easier(exercise, load, written)
    if load is not None and load != standing.load:
        is_heavier = _moved(exercise, load, body_weight) > _moved(
            exercise, standing.load, body_weight
        )
        return Beginning(load, is_harder=is_heavier and standing.is_less_than(targets))
    own = standing.own(len(targets))
    wanted = _wanted(standing, targets, own, most, is_up=load is not None)
    shifts = tuple(now - target for now, target in zip(wanted, targets, strict=True))
    return Beginning(
        standing.load,
        shifts if any(shifts) else (),
        is_easier=any(now < done for now, done in zip(wanted, own, strict=True)),
        is_harder=standing.is_less_than(wanted),
    )


def _wanted(
    standing: Standing, targets: Sequence[int], own: Sequence[int], most: int | None, *, is_up: bool
) -> list[int]:
    """The targets at the load that was done; ``is_up`` says that the plan's own are likely there."""
    pairs = list(zip(targets, own, strict=True))
    if standing.is_most:
        return [min(target, done) for target, done in pairs]
    return [
        max(target, done if most is None else min(done, most)) if is_up or done > target else done
        for target, done in pairs
    ]


def _easier(exercise: Exercise, one: float, other: float) -> float:
    return max(one, other) if exercise.load_kind is LoadKind.ASSISTED else min(one, other)


def hardest(
    exercise: Exercise, standings: Sequence[Standing], body_weight: float | None
) -> Standing:
    """Of a heavy and a light day the heavy one: what the client can do at the most."""

    def strength(one: Standing) -> tuple[float, float]:
        moved = _moved(exercise, one.load, body_weight)
        is_told = exercise.measure is Measure.REPS and moved > 0 and one.usual > 0
        alone = system_load_for(exercise, one.usual, 1, moved) if is_told else moved
        return (alone, one.usual)

    return max(standings, key=strength)


def most_of(part: Part, measure: Measure, level: Level) -> int:
    """Where the range of a part ends for a client: repetitions or seconds."""
    if measure is Measure.SECONDS:
        return usual_range(part, measure).top
    return range_for(part, level).top


def own_most_of(exercise: Exercise, part: Part, level: Level) -> int | None:
    """Up to where the client's own targets stay: as far above the range as nothing is told of it.

    A simple hold, such as a plank, has no end of its own.
    """
    if exercise.measure is Measure.SECONDS:
        is_simple = exercise.complexity <= HOLD_SIMPLE.value
        return None if is_simple else most_of(part, exercise.measure, level)
    return most_of(part, exercise.measure, level) + int(MOST_ABOVE_TOP.value)


def _load(
    exercise: Exercise,
    standing: Standing,
    wanted: int,
    loads: Sequence[float],
    body_weight: float | None,
) -> float | None:
    """The hardest load that makes so many likely; none where it is not told or cannot be made."""
    done = _moved(exercise, standing.load, body_weight)
    limit = _limit(exercise, standing, wanted, done)
    if limit is None:
        return standing.load if wanted <= standing.usual else None
    # What the equipment makes no more is none to begin with.
    choice = set(loads) or {standing.load}
    moved = {one: _moved(exercise, one, body_weight) for one in choice}
    fitting = [one for one, kg in moved.items() if 0 < kg <= limit + _GRAIN]
    return max(fitting, key=lambda one: moved[one], default=None)


def _limit(exercise: Exercise, standing: Standing, wanted: int, done: float) -> float | None:
    """The most that the muscles may move for so many [kg]; none when nothing tells it."""
    told = exercise.measure is Measure.REPS and exercise.load_kind is not LoadKind.NONE
    if not told or done <= 0 or not 1 <= wanted <= ONE_RM_LAST_REPS.value or not standing.usual:
        return None
    limit = system_load_for(exercise, standing.usual, wanted, done)
    return min(limit, done * (1 if standing.is_most else 1 + LOAD_JUMP.value))


def _moved(exercise: Exercise, load: float, body_weight: float | None) -> float:
    """What the muscles move [kg]; 0 when that is not known."""
    if not body_weight:
        return 0.0 if exercise.body_share else exercise.added_share * load
    return system_load(exercise, load, body_weight)


def sets_words(amounts: Sequence[int], exercise: Exercise) -> str:
    """Targets as they are written: 5 × 5, 8-8-7-7-7, 3 × 30 s."""
    unit = "" if exercise.measure is Measure.REPS else " s"
    if len(set(amounts)) == 1:
        return f"{len(amounts)} × {amounts[0]}{unit}"
    return "-".join(map(str, amounts)) + unit


def at_words(exercise: Exercise, load: float) -> str:
    """At +7.5 kg, at body weight; with 10 kg of help."""
    joined = "with" if exercise.load_kind is LoadKind.ASSISTED and load else "at"
    return f"{joined} {load_words(exercise, load)}"
