"""What a client can do, followed through the whole log: one state-space model over all exercises.

Each exercise has a level (log of the system load [kg] it could move once) and a gain a week. All
share ordinary ups and downs of *form*, the noise of the day, and, if one has begun, a *fall*.
The client's own habits are learned with them (``ability_state``). Beside the plain belief that
nothing fell stands a bank of falls that may have begun on any day (``fall_hypotheses``).

Deloads, light work, absences, new exercises, jumps in load and body weight are part of the model:
they explain, and are not flagged. Nothing is read ahead: ``take`` sees one session at a time.
For adults who log sets of up to about 15 repetitions; of holds and of clients who stop
every set at its target and log neither reserve nor effort it knows less, and says so by its spread.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from math import erfc, exp, sqrt

import numpy as np
from numpy.typing import NDArray

from coaching.rules import ability_numbers as n
from coaching.rules.ability_observing import read_works_into
from coaching.rules.ability_sets import Work, is_far_load, read_works
from coaching.rules.ability_state import DAYS_A_WEEK, FORM, AbilityState, KnownExercise
from coaching.rules.belief_bank import Moment, Numbers
from coaching.rules.fall_hypotheses import Mask
from coaching.rules.fall_numbers import (
    FALL_AFTER_RETURN,
    FALL_BEFORE_DELOAD,
    FALL_FROM_DAY,
    NO_GAIN,
)
from coaching.rules.log import LoggedSession
from coaching.rules.numbers import ABSENCE_DAYS
from coaching.rules.plan import WeekKind

# Two sessions of one day are half a day apart.
_SAME_DAY = 0.5


@dataclass(frozen=True, slots=True)
class ExerciseBelief:
    """One exercise: log level and gain a week with their standard deviations, and its own drop.

    ``dropped`` is the probability [0-1] that it alone has fallen, ``since`` when that most likely
    began, ``share`` by how much [share of strength].
    """

    level: float
    level_spread: float
    gain: float
    gain_spread: float
    dropped: float
    since: date | None
    share: float

    @property
    def no_gain(self) -> float:
        """The probability [0-1] that the exercise does not progress."""
        return erfc((self.gain - NO_GAIN.value) / self.gain_spread / sqrt(2)) / 2


@dataclass(frozen=True, slots=True)
class Believed:
    """What was believed after one session.

    ``fall`` is the probability [0-1] that a fall shared by all exercises is running,
    ``without_one`` the same when the exercise that speaks most for it is left out; ``since`` is its
    likeliest first day, ``share`` how deep it is by now [share of strength].
    ``exercises`` holds those trained in the last two weeks, by key.
    """

    on: date
    fall: float
    without_one: float
    since: date | None
    share: float
    exercises: Mapping[str, ExerciseBelief]

    @property
    def fall_of_several(self) -> float:
        """The probability [0-1] of a fall that does not hang on one exercise alone."""
        return min(self.fall, self.without_one)


@dataclass(frozen=True)
class Remembered:
    """All that was believed after one session: for whoever follows the course of ability.

    ``places`` are those of the exercises trained, by key. ``fall`` is how far strength has fallen
    by each hypothesis [log share], ``of`` the place of the exercise that fell or ``SHARED``.
    """

    on: date
    places: Mapping[str, int]
    moment: Moment
    fall: Numbers
    of: NDArray[np.int_]


@dataclass
class Ability:
    """The running belief about one client; feed it sessions, oldest first."""

    keeps_course: bool = False
    """Whether to remember every session for ``course``."""
    state: AbilityState = field(default_factory=AbilityState)
    _days: list[date] = field(default_factory=list)
    _course: list[Remembered] = field(default_factory=list)

    def take(self, session: LoggedSession, *, doubt: float = 0.0) -> None:
        """Learn from the next session.

        Args:
            session: The next one.
            doubt: How much more than time alone does may have moved all exercises since the last
                session, as a spread [share of strength].

        Raises:
            ValueError: when the session is older than the last one.
        """
        state, day = self.state, session.on.toordinal()
        if self._days and session.on < self._days[-1]:
            message = f"Sessions must come oldest first; {session.on} came too late."
            raise ValueError(message)
        gap = max(float(day - state.last), _SAME_DAY) if self._days else 1.0
        turn = state.pass_time(gap)
        state.bank.cov[FORM, FORM] += doubt**2
        state.first = state.first if self._days else day
        state.last = day
        self._days.append(session.on)
        is_deload = session.kind is WeekKind.DELOAD
        self._end_falls(day, gap, is_deload=is_deload)
        works = self._works(session)
        self._begin_falls(works, day, gap)
        for key, work in works.items():
            state.meet(key, work)
        ahead = state.bank.mean.copy(), state.bank.cov.copy()
        read_works_into(state, works, day, None if is_deload else session.rpe)
        now = state.bank.mean, state.bank.cov, state.bank.weights
        fall, of = state.falls.courses(day), state.falls.exercise
        kept = state.falls.prune(state.bank, day)
        if self.keeps_course:
            turned = np.eye(len(state.bank.cov))
            turned[: len(turn), : len(turn)] = turn
            places = {key: state.known[key].place for key in works}
            moment = Moment(*now, kept, turned, *ahead)
            self._course.append(Remembered(session.on, places, moment, fall, of))

    @property
    def course(self) -> tuple[Remembered, ...]:
        """Every session's belief, oldest first; nothing unless the course is kept."""
        return tuple(self._course)

    def _mean(self) -> Numbers:
        """The mean of each state over all hypotheses (states,)."""
        mean: Numbers = self.state.bank.weights @ self.state.bank.mean
        return mean

    def _works(self, session: LoggedSession) -> dict[str, Work]:
        """The exercises that say something; an odd load is believed when it comes a second time."""
        known, works = self.state.known, {}
        for key, work in read_works(session).items():
            if key in known and is_far_load(work, known[key].load):
                known[key].load = work.load
            else:
                works[key] = work
        return works

    def _end_falls(self, day: int, gap: float, *, is_deload: bool) -> None:
        if gap >= ABSENCE_DAYS.value:
            self.state.falls.end(day - int(gap), begun_by=day)
        if is_deload:
            self.state.falls.end(day, begun_by=day - int(FALL_BEFORE_DELOAD.value))

    def _begin_falls(self, works: Mapping[str, Work], day: int, gap: float) -> None:
        state = self.state
        if gap >= ABSENCE_DAYS.value:
            state.returned = day
        is_back = day - state.returned > FALL_AFTER_RETURN.value
        if day - state.first <= FALL_FROM_DAY.value or not is_back:
            return
        trained = [state.known[key] for key in works if key in state.known]
        lately = {
            one.place: day - one.last for one in trained if one.times > n.ABILITY_LEARNING.value
        }
        state.falls.begin(state.bank, day, gap, lately, of=max(1, len(self._lately(day))))

    @property
    def believed(self) -> Believed | None:
        """What is believed after the last session; none before the first."""
        if not self._days:
            return None
        state, on = self.state, self._days[-1]
        day = on.toordinal()
        weights = state.bank.weights
        mean = self._mean()
        running = state.falls.running(day)
        since, share = self._likeliest(running, weights, day)
        return Believed(
            on=on,
            fall=float(weights[running].sum()),
            without_one=state.falls.without_one(state.bank, day),
            since=since,
            share=share,
            exercises={
                key: self._exercise(one, mean, weights) for key, one in self._lately(day).items()
            },
        )

    def _lately(self, day: int) -> dict[str, KnownExercise]:
        """The exercises of the last two weeks, by key."""
        weeks = 2 * DAYS_A_WEEK
        return {key: one for key, one in self.state.known.items() if day - one.last <= weeks}

    def _exercise(self, one: KnownExercise, mean: Numbers, weights: Numbers) -> ExerciseBelief:
        state = self.state
        own = state.falls.exercise == one.place
        since, share = self._likeliest(own, weights, state.last)
        cov = state.bank.cov
        return ExerciseBelief(
            level=float(mean[one.place]),
            level_spread=sqrt(float(cov[one.place, one.place])),
            gain=float(mean[one.place + 1]),
            gain_spread=sqrt(float(cov[one.place + 1, one.place + 1])),
            dropped=float(weights[own].sum()),
            since=since,
            share=share,
        )

    def _likeliest(self, which: Mask, weights: Numbers, day: int) -> tuple[date | None, float]:
        """The onset that most weight stands behind, and the mean depth by now."""
        falls = self.state.falls
        if not weights[which].sum() > 0:
            return None, 0.0
        onsets, place = np.unique(falls.onset[which], return_inverse=True)
        by_onset = np.bincount(place, weights=weights[which])
        depth = float(np.average(falls.courses(day)[which], weights=weights[which]))
        return date.fromordinal(int(onsets[by_onset.argmax()])), 1 - exp(depth)


def read_ability(sessions: Iterable[LoggedSession]) -> tuple[Believed, ...]:
    """What was believed after each session, by what was known then; oldest first."""
    ability, course = Ability(), []
    for session in sessions:
        ability.take(session)
        if ability.believed is not None:
            course.append(ability.believed)
    return tuple(course)


def believe(sessions: Iterable[LoggedSession]) -> Believed | None:
    """What is believed after the last of those sessions, oldest first; none without any."""
    ability = Ability()
    for session in sessions:
        ability.take(session)
    return ability.believed
