"""Where a client stands on a ladder, what is in the way of the next rung, and whether a goal is met.

A rung asks one number of every set: the top of the range at which progression moves on to
something harder (8 repetitions, 30 s of a hold; prehab has its own). It is **owned** when in one
session every set reached that number, with at least three sets, no help of a band or
counterweight, and no pain above 5 of 10. When a rung is owned, the easier ones count as owned.
Only the last year is read, and only what was logged: a rung or a prerequisite that is not in
the log is *unknown*, which is not the same as *not met*.

It stops being valid where the log does: it sees repetitions, not how they looked. Whether
a client is ready for straight-arm or overhead work stays the coach's judgement.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from coaching.rules.joint_limits import JointLimit, blocked_by
from coaching.rules.ladder_times import Time, amount_words, day_words, read_times, time_words
from coaching.rules.log import LoggedSession
from coaching.rules.numbers import PAIN_LIMIT, PLACE_RECENT, PLACE_SESSIONS, PLACE_SETS_FEWEST
from coaching.rules.plan import Exercise, Part, Pattern, Prerequisite
from coaching.rules.stair import usual_range

RULE = (
    f"A rung is owned when every set of one session reached its number, in {PLACE_SETS_FEWEST.value:g} "
    f"sets or more, without help and without pain above {PAIN_LIMIT.value:g} of 10; easier rungs "
    "then count as owned. "
    "What the last year’s log does not hold is unknown."
)
CAUTION = (
    "The log shows repetitions, not how they looked. Straight-arm and overhead rungs load tendons "
    "that adapt slower than muscles: let the prerequisites come first, and stop at pain."
)
NOT_LOGGED = "not logged in the last year"


class RungState(StrEnum):
    """How a client stands to one rung, from least to most."""

    UNKNOWN = "not logged"
    TRIED = "tried"
    BELOW = "below an owned rung"
    OWNED = "owned"


class Met(StrEnum):
    """The answer to a prerequisite or a goal; unknown is an answer of its own."""

    MET = "met"
    NOT_MET = "not met"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class PrerequisiteAnswer:
    """One prerequisite, what the log says of it, and the numbers: Pull-up, 8 reps: best 6 reps, 12 Nov."""

    asked: Prerequisite
    name: str
    met: Met
    asked_words: str
    log_words: str

    @property
    def sentence(self) -> str:
        """What is asked and what the log holds."""
        unknown = "unknown, " if self.met is Met.UNKNOWN else ""
        return f"{self.asked_words}: {unknown}{self.log_words}"


@dataclass(frozen=True, slots=True)
class RungPlace:
    """One rung: what it asks, how the client stands to it, and what is in the way."""

    exercise: Exercise
    asks: int
    state: RungState
    on: date | None
    sentence: str
    prerequisites: tuple[PrerequisiteAnswer, ...]
    blocked_by: tuple[JointLimit, ...]

    @property
    def asks_words(self) -> str:
        """What every set must reach before the next rung."""
        return f"{amount_words(self.asks, self.exercise.measure)} a set"

    @property
    def is_owned(self) -> bool:
        """Whether the rung is behind the client."""
        return self.state in {RungState.OWNED, RungState.BELOW}

    @property
    def missing(self) -> tuple[PrerequisiteAnswer, ...]:
        """The prerequisites that are not known to be met."""
        return tuple(one for one in self.prerequisites if one.met is not Met.MET)


@dataclass(frozen=True, slots=True)
class LadderPlace:
    """A client's place on a ladder, rungs easiest first; ``here`` is none when nothing is logged."""

    rungs: tuple[RungPlace, ...]
    here: RungPlace | None
    sentence: str


@dataclass(frozen=True, slots=True)
class GoalAnswer:
    """Whether a goal was done in one set: the best so far, and since when."""

    met: Met
    best: int | None
    on: date | None
    sentence: str


def asks_of(exercise: Exercise) -> int:
    """What a rung asks of every set before the next one [reps, or seconds of a hold].

    The top of the range of a primary exercise, or of prehab (common practice; holds: chosen here).
    """
    part = Part.PREHAB if exercise.pattern is Pattern.PREHAB else Part.PRIMARY
    return usual_range(part, exercise.measure).top


def place_on_ladder(
    rungs: Sequence[Exercise],
    sessions: Iterable[LoggedSession],
    *,
    known: Mapping[str, Exercise],
    limits: Collection[JointLimit] = (),
    today: date,
) -> LadderPlace:
    """Where a client stands on a ladder, with what each rung asks and what is in the way.

    ``rungs`` may come in any order; two exercises on one rung are alternatives. ``known`` are
    the exercises by key in which prerequisites and their harder rungs are looked up. The client
    stands on the highest rung that is owned or was worked on in two sessions of the last six
    weeks; without such, on the highest rung that was tried.
    """
    times = read_times(sessions, today)
    ordered = sorted(rungs, key=lambda one: (one.rung, one.key))
    owned = [one.rung for one in ordered if _owned(one, times)]
    top = max(owned, default=0)
    everything = {**known, **{one.key: one for one in ordered}}
    places = tuple(_place(one, top, times, everything, limits) for one in ordered)
    here = _here(places, times, today)
    return LadderPlace(places, here, _stands(places, here))


def goal_answer(
    exercise: Exercise, amount: int, sessions: Iterable[LoggedSession], *, today: date
) -> GoalAnswer:
    """Whether a goal of so many repetitions [or seconds] was done in one set, and when first.

    It counts without help and without pain above 5 of 10. This is a proposal: the coach decides
    whether it was good enough to call the goal reached.
    """
    done = read_times(sessions, today).get(exercise.key, ())
    if not done:
        return GoalAnswer(Met.UNKNOWN, None, None, "Not logged in the last year.")
    reached = next((one for one in done if one.best >= amount), None)
    if reached is not None:
        first = f"Done: {amount_words(reached.best, exercise.measure)} in one set, {day_words(reached.on)}."
        return GoalAnswer(Met.MET, reached.best, reached.on, first)
    best = max(done, key=lambda one: (one.best, one.on))
    if not best.best:
        return GoalAnswer(Met.NOT_MET, None, None, f"So far {done[-1].only_words}.")
    to_go = amount_words(amount - best.best, exercise.measure)
    so_far = f"Best set {amount_words(best.best, exercise.measure)}, {day_words(best.on)}: {to_go} to go."
    return GoalAnswer(Met.NOT_MET, best.best, best.on, so_far)


def answer_prerequisite(
    asked: Prerequisite, times: Mapping[str, tuple[Time, ...]], known: Mapping[str, Exercise]
) -> PrerequisiteAnswer:
    """Whether a prerequisite was done in one set, or a harder rung of its ladder is owned for as many."""
    exercise = known.get(asked.exercise)
    if exercise is None:
        name = asked.exercise
        return PrerequisiteAnswer(asked, name, Met.UNKNOWN, name, "not in the library any more")
    met, words = _what_log_says(exercise, asked.amount, times, known)
    return PrerequisiteAnswer(asked, exercise.name, met, prerequisite_words(asked, exercise), words)


def prerequisite_words(asked: Prerequisite, exercise: Exercise) -> str:
    """A prerequisite as a coach says it: Pull-up, 8 reps; or Dead hang, 30 s."""
    return f"{exercise.name}, {amount_words(asked.amount, exercise.measure)}"


def _what_log_says(
    exercise: Exercise,
    amount: int,
    times: Mapping[str, tuple[Time, ...]],
    known: Mapping[str, Exercise],
) -> tuple[Met, str]:
    done = times.get(exercise.key, ())
    best = max(done, key=lambda one: (one.best, one.on), default=None)
    if best is not None and best.best >= amount:
        return Met.MET, f"best {best.best_words}, {day_words(best.on)}"
    harder = _harder_for_as_many(exercise, amount, times, known)
    if harder is not None:
        return Met.MET, f"{harder[0].name} is owned, {day_words(harder[1].on)}"
    if best is None:
        return Met.UNKNOWN, NOT_LOGGED
    if not best.best:
        return Met.NOT_MET, done[-1].only_words
    return Met.NOT_MET, f"best {best.best_words}, {day_words(best.on)}"


def _harder_for_as_many(
    exercise: Exercise,
    amount: int,
    times: Mapping[str, tuple[Time, ...]],
    known: Mapping[str, Exercise],
) -> tuple[Exercise, Time] | None:
    """A harder rung of the same measure that is owned and was done for at least as many."""
    if not exercise.ladder:
        return None
    for other in sorted(known.values(), key=lambda one: one.rung):
        harder = other.ladder == exercise.ladder and other.rung > exercise.rung
        if harder and other.measure is exercise.measure:
            owned = _owned(other, times)
            if owned is not None and owned.best >= amount:
                return other, owned
    return None


def _owned(exercise: Exercise, times: Mapping[str, tuple[Time, ...]]) -> Time | None:
    """The newest session that shows an exercise to be owned."""
    asks, sets = asks_of(exercise), int(PLACE_SETS_FEWEST.value)
    shown = [
        one
        for one in times.get(exercise.key, ())
        if one.is_clean and len(one.amounts) >= sets and min(one.amounts) >= asks
    ]
    return shown[-1] if shown else None


def _place(
    exercise: Exercise,
    top: int,
    times: Mapping[str, tuple[Time, ...]],
    known: Mapping[str, Exercise],
    limits: Collection[JointLimit],
) -> RungPlace:
    state, on, sentence = _state(exercise, top, times)
    return RungPlace(
        exercise=exercise,
        asks=asks_of(exercise),
        state=state,
        on=on,
        sentence=sentence,
        prerequisites=tuple(
            answer_prerequisite(one, times, known) for one in exercise.prerequisites
        ),
        blocked_by=blocked_by(exercise, limits),
    )


def _state(
    exercise: Exercise, top: int, times: Mapping[str, tuple[Time, ...]]
) -> tuple[RungState, date | None, str]:
    owned = _owned(exercise, times)
    if owned is not None:
        return RungState.OWNED, owned.on, f"owned: {time_words(owned)}"
    done = times.get(exercise.key, ())
    best = max(done, key=lambda one: one.rank(asks_of(exercise)), default=None)
    if exercise.rung < top:
        told = f"; best {time_words(best)}" if best else ""
        on = best.on if best else None
        return RungState.BELOW, on, f"counts as owned: a harder rung is{told}"
    if best is not None:
        return RungState.TRIED, best.on, f"best {time_words(best)}"
    return RungState.UNKNOWN, None, NOT_LOGGED


def _here(
    places: Sequence[RungPlace], times: Mapping[str, tuple[Time, ...]], today: date
) -> RungPlace | None:
    since = today - timedelta(days=int(PLACE_RECENT.value))

    def is_worked_on(place: RungPlace) -> bool:
        lately = [one for one in times.get(place.exercise.key, ()) if one.on >= since]
        return len(lately) >= PLACE_SESSIONS.value

    sure = [one for one in places if one.state is RungState.OWNED or is_worked_on(one)]
    tried = [one for one in places if one.state is RungState.TRIED]
    found = sure or tried
    # Of two exercises on one rung, the one done last.
    return max(found, key=lambda one: (one.exercise.rung, one.on or date.min), default=None)


def _stands(places: Sequence[RungPlace], here: RungPlace | None) -> str:
    if here is None:
        return "No rung of this ladder is in the log of the last year: unknown, not a no."
    highest = max(one.exercise.rung for one in places)
    return (
        f"Stands on {here.exercise.name}, rung {here.exercise.rung} of {highest}: {here.sentence}."
    )
