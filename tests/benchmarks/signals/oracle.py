"""How near the limit can be: a detector that is told how the clients are made.

It knows the model of ``simulator`` and either what is true of all clients together
(``Oracle()``) or each client's own parameters (``Oracle(told=...)``). Nothing like it can exist in
the app; it says what is left to be gained.

Per hypothesis (no fall; a fall of some depth from some day on) it carries every exercise's
strength as a normal belief. Each session's sets give a likelihood on a grid of strength, with sets
stopped at their target read as "at least". The deviation shared by the day is summed out
on a grid. Session RPE is a second witness. It is not quite the best possible: beliefs are made
normal after every session, recovery is coarse, and small dependencies are left out.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from math import exp, log, sqrt

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from coaching.rules.log import LoggedSession
from coaching.rules.plan import PlannedSession, WeekKind
from tests.benchmarks.signals.calendar import EPISODES_A_YEAR, GAIN_FADES, LOST_A_WEEK, REGAIN_DAYS
from tests.benchmarks.signals.detector import ClientLog, ExerciseReading, Reading
from tests.benchmarks.signals.one_set import rest_between_sets
from tests.benchmarks.signals.oracle_beliefs import (
    GAIN_DIFFERS,
    GAINING,
    SHARED,
    WIDE,
    Belief,
    Place,
    Table,
)
from tests.benchmarks.signals.oracle_sets import Habits, Set, Told, population, told_of
from tests.benchmarks.signals.simulator import SimulatedClient

Grid = NDArray[np.float64]
DEPTHS = (0.05, 0.08, 0.11, 0.14)
RAMP = 10.0
OLDEST = 46  # days after which a hypothesis is folded back into "no fall"
# Beliefs of all exercises err together by about so much, because they share their days.
COMMON = 0.012
_NEW_SPREAD = 0.09  # of a new exercise's strength around what its load suggests
# A new exercise of one already learned elsewhere: the client improves fast for some sessions.
_NEW_AFTER_DAYS = 20


@dataclass
class _State:
    """All hypotheses of one client; number 0 is "no fall"."""

    told: Told
    onset: list[date]
    depth: Grid
    ended: list[date | None]  # the deload that ends a fall
    weight: Grid  # log
    wander: Grid
    wander_spread: float
    offset: Grid  # of session RPE
    offset_spread: float
    beliefs: dict[str, Belief] = field(default_factory=dict)
    last: date | None = None
    returned: tuple[date, float] | None = None  # last day of an absence, share lost
    habits: Habits = field(default_factory=Habits)
    asked: dict[str, int] = field(default_factory=dict)  # repetitions, by name of the session

    def falls(self, on: date) -> Grid:
        """Shared fall of each hypothesis on a day [log share]."""
        found = np.zeros(len(self.weight))
        for number in range(1, len(found)):
            age = (on - self.onset[number]).days + 1
            shape = min(1.0, age / RAMP)
            end = self.ended[number]
            if end is not None and on > end:
                shape *= exp(-(on - end).days / 5)
            found[number] = log(1 - self.depth[number]) * shape
        return found

    def keep(self, places: NDArray[np.int_]) -> None:
        """Keep some hypotheses."""
        self.onset = [self.onset[int(p)] for p in places]
        self.ended = [self.ended[int(p)] for p in places]
        for name in ("depth", "weight", "wander", "offset"):
            setattr(self, name, getattr(self, name)[places])
        for belief in self.beliefs.values():
            belief.level, belief.gain = belief.level[places], belief.gain[places]


@dataclass(frozen=True)
class Oracle:
    """Told the population's parameters, or each client's own."""

    name: str = "oracle, population known"
    told: Mapping[int, Told] = field(default_factory=dict)  # by the identity of the plan

    @classmethod
    def of(cls, clients: Sequence[SimulatedClient]) -> "Oracle":
        """An oracle that knows each of these clients."""
        known = {id(c.log.planned): told_of(c) for c in clients}
        return cls("oracle, every client known", known)

    def read(self, log: ClientLog) -> list[Reading]:
        """One reading a session."""
        told = self.told.get(id(log.planned), population())
        state = _start(told, log.sessions[0].on)
        plans = {p.on: p for p in log.planned}
        deloads = _deloads(log)
        return [_session(state, s, plans[s.on], deloads) for s in log.sessions]


def _deloads(log: ClientLog) -> list[date]:
    """First days of light weeks, from the plan: two or three sets where there were five."""
    days = []
    for plan in log.planned:
        if all(len(x.targets) <= 3 for x in plan.prescriptions):
            monday = plan.on - timedelta(days=plan.on.weekday())
            if monday not in days:
                days.append(monday)
    return days


def _start(told: Told, on: date) -> _State:
    one = np.zeros(1)
    spread = told.wander**2 + COMMON**2
    return _State(
        told, [on], one, [None], one, one, spread, one + told.effort_middle,
        told.effort_spread**2,
    )  # fmt: skip


def _session(
    state: _State, session: LoggedSession, plan: PlannedSession, deloads: Sequence[date]
) -> Reading:
    _time(state, session.on, deloads)
    groups = _groups(session, plan)
    if groups:
        easy = session.kind is not WeekKind.BUILD or _is_light(state, plan)
        _observe(state, session, groups, easy=easy)
    weights = np.exp(state.weight - np.logaddexp.reduce(state.weight))
    return _reading(state, session.on, weights)


def _is_light(state: _State, plan: PlannedSession) -> bool:
    """Whether a session asks for a fifth less than the last usual one of its name."""
    asked = sum(x.reps for x in plan.prescriptions)
    usual = state.asked.get(plan.name)
    light = usual is not None and asked < 0.8 * usual
    if not light:
        state.asked[plan.name] = asked
    return light


def _reading(state: _State, on: date, weights: Grid) -> Reading:
    """The chance of a fall that has not begun to pass, and when it most likely began."""
    now = np.array([0.0] + [_is_on(e, on) for e in state.ended[1:]])
    chance = float(np.clip((weights * now).sum(), 1e-9, 1 - 1e-9))
    days: dict[date, float] = {}
    for onset, weight, counts in zip(state.onset, weights, now, strict=True):
        days[onset] = days.get(onset, 0.0) + float(weight) * counts
    since = max(days, key=lambda d: days[d]) if chance > 0.02 else None
    stalled = {
        key: ExerciseReading(_no_gain(belief, weights, _gain(state, on)))
        for key, belief in state.beliefs.items()
        if belief.sessions >= 3
    }
    return Reading(on, log(chance / (1 - chance)), chance, since, stalled)


def _no_gain(belief: Belief, weights: Grid, usual: float) -> float:
    """Chance that an exercise gains less than a fifth of what is usual for the client."""
    gain = float((weights * belief.gain).sum())
    return float(ndtr((0.2 * usual - gain) / sqrt(max(belief.gain_spread, 1e-9))))


def _is_on(end: date | None, on: date) -> float:
    return 1.0 if end is None or on < end else 0.0


def _time(state: _State, on: date, deloads: Sequence[date]) -> None:
    """Let time pass: wander, absence, hypotheses that end, that are born, that are too old."""
    told = state.told
    gap = (on - state.last).days if state.last is not None else 1
    keep = exp(-gap / 14)
    state.wander = keep * state.wander
    state.wander_spread = keep**2 * state.wander_spread + (1 - keep**2) * (
        told.wander**2 + COMMON**2
    )
    if state.last is not None and gap > 9:
        state.returned = (on, LOST_A_WEEK * max(0.0, gap / 7 - 1))
    begun = [d for d in deloads if d <= on]
    for number in range(1, len(state.onset)):
        late = [d for d in begun if d >= state.onset[number] + timedelta(days=14)]
        state.ended[number] = state.ended[number] or (late[0] if late else None)
    _fold(state, on)
    _end(state, on, gap)
    first = on - timedelta(days=gap - 1)
    if state.last is not None and gap <= 9:
        born = first + timedelta(days=(gap - 1) // 2)
        chance = EPISODES_A_YEAR / 365 * gap / len(DEPTHS)
        for depth in DEPTHS:
            _be_born(state, born, depth, float(state.weight[0]) + log(chance))
    state.last = on
    for belief in state.beliefs.values():
        belief.ahead(on, _gain(state, on))


def _gain(state: _State, on: date) -> float:
    """The client's gain a week, less as the months go by."""
    return state.told.gain * exp(-(on - state.onset[0]).days / GAIN_FADES)


def _copy(state: _State, parent: int, weight: float) -> int:
    """A new hypothesis that believes all that another one does; its number."""
    state.onset.append(state.onset[parent])
    state.ended.append(None)
    state.depth = np.append(state.depth, state.depth[parent])
    state.weight = np.append(state.weight, weight)
    state.wander = np.append(state.wander, state.wander[parent])
    state.offset = np.append(state.offset, state.offset[parent])
    for belief in state.beliefs.values():
        belief.level = np.append(belief.level, belief.level[parent])
        belief.gain = np.append(belief.gain, belief.gain[parent])
    return len(state.onset) - 1


def _be_born(state: _State, onset: date, depth: float, weight: float) -> None:
    """A fall starts with all that "no fall" believes."""
    number = _copy(state, 0, weight)
    state.onset[number], state.depth[number] = onset, depth


def _end(state: _State, on: date, gap: int) -> None:
    """From two weeks on a fall may end on any day, at the latest after six."""
    weights = np.exp(state.weight - np.logaddexp.reduce(state.weight))
    for number in range(1, len(weights)):
        age = (on - state.onset[number]).days
        if state.ended[number] is None and age >= 14 and weights[number] > 0.005:
            chance = min(0.9, gap / max(1, 43 - age))
            twin = _copy(state, number, float(state.weight[number]) + log(chance))
            state.ended[twin] = on
            state.weight[number] += log(1 - chance)


def _fold(state: _State, on: date) -> None:
    """Old or recovered falls become part of "no fall"; hopeless ones are dropped."""
    weights = np.exp(state.weight - np.logaddexp.reduce(state.weight))
    ages = np.array([(on - d).days for d in state.onset])
    passed = np.array([e is not None and (on - e).days > 14 for e in state.ended])
    old = (ages > OLDEST) | passed
    old[0] = True
    share = weights[old] / weights[old].sum()
    state.weight[0] = np.logaddexp.reduce(state.weight[old])
    state.wander[0] = (share * state.wander[old]).sum()
    state.offset[0] = (share * state.offset[old]).sum()
    for belief in state.beliefs.values():
        middle = float((share * belief.level[old]).sum())
        belief.spread += float((share * (belief.level[old] - middle) ** 2).sum()) * 0.5
        belief.level[0] = middle
        belief.gain[0] = (share * belief.gain[old]).sum()
    stays = ~old & (weights > 3e-6)
    stays[0] = True
    state.keep(np.flatnonzero(stays))


def _groups(session: LoggedSession, plan: PlannedSession) -> dict[str, tuple[list[Set], float]]:
    """Sets of each exercise with system loads, and the rest between them."""
    rests = {
        x.key: rest_between_sets(x.part, paired=len(pair.prescriptions) > 1)
        for pair in plan.pairs
        for x in pair.prescriptions
    }
    groups: dict[str, tuple[list[Set], float]] = {}
    for one in session.sets:
        system = one.exercise.body_share * session.body_weight + one.load
        made = Set(one.amount, one.target or 0, max(system, 0.5), one.rir)
        groups.setdefault(one.exercise.key, ([], rests[one.exercise.key]))[0].append(made)
    return groups


def _observe(
    state: _State,
    session: LoggedSession,
    groups: Mapping[str, tuple[list[Set], float]],
    *,
    easy: bool,
) -> None:
    falls = state.falls(session.on)
    explained = 0.0
    if state.returned is not None:
        away = (session.on - state.returned[0]).days
        explained = -state.returned[1] * exp(-away / REGAIN_DAYS)
    tables = []
    weights = np.exp(state.weight - np.logaddexp.reduce(state.weight))
    for key, (sets, rest) in groups.items():
        belief = _belief(state, key, sets, session.on)
        tables.append(
            Table.make(key, belief, weights, state.told, state.habits, sets, rest, easy=easy)
        )
    # What every hypothesis expects of the day, and how well each deviation explains it.
    expected = falls + explained + state.wander
    prior = _day_prior(state, expected)
    score = np.log(prior + 1e-300)
    places = [t.places(b.level) for t, b in ((t, state.beliefs[t.key]) for t in tables)]
    for table, place in zip(tables, places, strict=True):
        score += table.at(table.evidence, place)
    score += _effort(state, session, tables, places, falls)
    top = score.max(axis=1, keepdims=True)
    posterior = np.exp(score - top)
    total = posterior.sum(axis=1, keepdims=True)
    posterior /= total
    state.weight = state.weight + (top + np.log(total))[:, 0]
    state.weight -= np.logaddexp.reduce(state.weight)
    weights = np.exp(state.weight)
    for table, place in zip(tables, places, strict=True):
        table.teach(state.beliefs[table.key], place, posterior, weights)
    _learn_wander(state, expected, posterior)
    state.habits.see([s for sets, _ in groups.values() for s in sets], easy=easy)


def _belief(state: _State, key: str, sets: Sequence[Set], on: date) -> Belief:
    """The belief of an exercise; a new one starts from what its load suggests."""
    if key not in state.beliefs:
        told, count = state.told, len(state.weight)
        endurance = told.endurance_of.get(key, told.endurance)
        level = log(sets[0].system) + log(1 + (sets[0].target + 3) / endurance)
        late = (on - state.onset[0]).days > _NEW_AFTER_DAYS
        state.beliefs[key] = Belief(
            level=np.full(count, level),
            gain=np.full(count, GAINING * _gain(state, on)),
            spread=_NEW_SPREAD**2,
            both=0.0,
            gain_spread=(GAIN_DIFFERS * _gain(state, on)) ** 2,
            last=on,
            is_new=late,
        )
    return state.beliefs[key]


def _day_prior(state: _State, expected: Grid) -> Grid:
    """Chance of each shared deviation [hypotheses x SHARED], with bad days."""
    told = state.told
    found = np.zeros((len(expected), len(SHARED)))
    for share, spread, shift in _day_parts(told):
        variance = spread**2 + state.wander_spread
        away = SHARED[None, :] - (expected[:, None] + shift)
        found += share * np.exp(-0.5 * away**2 / variance) / sqrt(variance)
    normal: Grid = found / found.sum(axis=1, keepdims=True)
    return normal


def _day_parts(told: Told) -> tuple[tuple[float, float, float], ...]:
    """Share, spread and shift of usual, wide and bad days."""
    usual = told.day_noise
    return ((0.93, usual, 0.0), (WIDE, 2.5 * usual, 0.0), (0.02, 1.3 * usual + 0.01, -0.08))


def _learn_wander(state: _State, expected: Grid, posterior: Grid) -> None:
    """What of the day's deviation is likely to stay for some days."""
    away = SHARED[None, :] - expected[:, None]
    total = np.zeros_like(away)
    gain = np.zeros_like(away)
    for share, spread, shift in _day_parts(state.told):
        variance = spread**2 + state.wander_spread
        like = share * np.exp(-0.5 * (away - shift) ** 2 / variance) / sqrt(variance) + 1e-300
        total += like
        gain += like * state.wander_spread / variance * (away - shift)
    state.wander = state.wander + (posterior * gain / total).sum(axis=1)
    state.wander_spread *= state.told.day_noise**2 / (state.told.day_noise**2 + state.wander_spread)


def _effort(
    state: _State,
    session: LoggedSession,
    tables: Sequence["Table"],
    places: Sequence["Place"],
    falls: Grid,
) -> Grid:
    """Log likelihood of the session RPE [hypotheses x SHARED], and what it teaches of the rater."""
    counted = [(t, p) for t, p in zip(tables, places, strict=True) if t.rated]
    if session.rpe is None or not counted:
        return np.zeros((len(falls), len(SHARED)))
    sets = sum(t.sets for t, _ in counted)
    left = np.sum([t.at(t.left, p) for t, p in counted], axis=0) / sets
    expected = state.offset[:, None] - 0.65 * left - 5 * falls[:, None]
    # Rounding adds 1/12; what is not known of the reserves adds some more.
    own = state.told.effort_noise**2 + 1 / 12 + 0.15
    variance = own + state.offset_spread
    away = session.rpe - np.clip(expected, 1, 10)
    found: Grid = -0.5 * away**2 / variance
    middle = away[:, len(SHARED) * 2 // 3]
    state.offset = state.offset + state.offset_spread / variance * middle
    state.offset_spread *= own / variance
    return found
