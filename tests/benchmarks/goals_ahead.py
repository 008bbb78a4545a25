"""How often the weeks until a goal hold, on made-up clients whose level is known for another year.

Two sorts: clients drawn from the model's own beliefs (``drawn_client``), whose gain may be none, and
the clients of ``signals``, whose gains slow down, stall and drop and whose repetitions go by other
slopes than the model's. After twelve weeks a goal is told ahead; it is really reached in the first
week whose level, without ups and downs, suffices. Weeks are whole, so a range that is right holds a
little more than 80 %.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from math import inf, log
from statistics import fmean, median

import numpy as np

from coaching.rules.ability import Ability
from coaching.rules.ability_state import AbilityState
from coaching.rules.capacity import Curve
from coaching.rules.goal_forecast import GoalForecast, NotForeseeable, goal_forecast
from coaching.rules.log import LoggedSession
from coaching.rules.plan import Exercise, Measure, Part
from coaching.rules.volume import system_load
from tests.benchmarks.signals.ability_model import with_rests
from tests.benchmarks.signals.calendar import draw_calendar
from tests.benchmarks.signals.people import Kind, draw_person
from tests.benchmarks.signals.programme import Slot, write_programme
from tests.benchmarks.signals.simulator import WEEKS, simulate
from tests.rules.drawn_client import BODY, drawn_client
from tests.rules.examples import MONDAY

KNOWN_WEEKS, AHEAD = 12, 52
# Repetitions beyond the most that the log shows; sets mostly stop with some in reserve.
MORE = (2, 8)
CURVE = Curve(Measure.REPS)


@dataclass(frozen=True)
class Told:
    """One goal: the weeks that were told, none when not foreseeable, and those it really took."""

    weeks: tuple[int, int] | None
    real: float


def drawn_goals(seeds: Iterable[int], *, logs_reserve: float) -> Iterator[Told]:
    """Goals of clients drawn from the model."""
    for seed in seeds:
        client = drawn_client(
            seed, weeks=KNOWN_WEEKS + AHEAD, logs_reserve=logs_reserve, with_falls=False
        )
        random = np.random.default_rng(seed)
        known = [s for s in client.sessions if (s.on - MONDAY).days < 7 * KNOWN_WEEKS]
        state = followed(known)
        for exercise in {s.exercise.key: s.exercise for s in known[-1].sets}.values():
            weekly: dict[int, list[float]] = {}
            for (on, key), level in client.truth.items():
                if key == exercise.key:
                    weekly.setdefault((on - MONDAY).days // 7 - KNOWN_WEEKS + 1, []).append(level)
            levels = [fmean(weekly[week]) for week in range(AHEAD + 1)]
            amount = shown(known, exercise.key, log(exercise.body_share * BODY))
            yield told(state, exercise, levels, amount + int(random.integers(*MORE)))


def year_goals(kind: Kind, seeds: Iterable[int]) -> Iterator[Told]:
    """Goals of the clients of ``signals``: gains that slow, stall and drop, and other slopes.

    A goal is some repetitions more of an exercise that was not swapped so far, or the first five of
    the next rung. Body weight is taken to stay, as the forecast takes it.
    """
    for seed in seeds:
        client = simulate(kind, seed)
        known = [s for s in with_rests(client.log) if (s.on - MONDAY).days < 7 * KNOWN_WEEKS]
        state, body = followed(known), known[-1].body_weight
        random = np.random.default_rng(seed)
        trained = {s.exercise.key: s.exercise for one in known for s in one.sets}
        for slot, levels in _levels(kind, seed):
            here = [with_ladder(one) for key, one in trained.items() if _slot_of(key) == slot.name]
            if not here or slot.part is Part.PREHAB or slot.rungs[0] == 0:
                continue
            exercise = max(here, key=lambda one: one.rung)
            amount = shown(known, exercise.key, log(exercise.body_share * body))
            amount += int(random.integers(*MORE))
            found = _slot_goal(state, slot, exercise, levels, amount, body)
            if found is not None:
                yield found


def _slot_goal(
    state: AbilityState,
    slot: Slot,
    exercise: Exercise,
    levels: Sequence[float],
    amount: int,
    body: float,
) -> Told | None:
    goal = exercise
    if exercise.rung and exercise.rung < len(slot.rungs):
        share = slot.rungs[exercise.rung]
        goal = replace(exercise, key="next", rung=exercise.rung + 1, body_share=share)
        amount = 5
    system = log(goal.body_share * body)
    demand = system + log(1 + amount / slot.endurance)
    real = next((week for week, level in enumerate(levels) if level >= demand), inf)
    found = goal_forecast(state, goal, amount, body_weight=body, kin=[exercise])
    return Told(_weeks(found), real)


def _levels(kind: Kind, seed: int) -> Iterator[tuple[Slot, list[float]]]:
    """Each slot with its level week by week, drawn as ``simulate`` draws it, without falls."""
    random = np.random.default_rng([seed, list(Kind).index(kind)])
    person = draw_person(kind, random)
    programme = write_programme(person, random)
    calendar = draw_calendar(person, programme, 7 * WEEKS, random)
    for number, slot in enumerate(programme.slots):
        own = calendar.own[number]
        weeks = range(KNOWN_WEEKS, WEEKS)
        yield slot, [slot.strength + float(own[7 * week]) for week in weeks]


def _slot_of(key: str) -> str:
    """The name of the slot of an exercise; of one that was swapped another name."""
    return key.partition("-rung-")[0]


def followed(sessions: Sequence[LoggedSession]) -> AbilityState:
    """What is believed after them."""
    ability = Ability()
    for session in sessions:
        ability.take(session)
    return ability.state


def shown(sessions: Sequence[LoggedSession], key: str, system: float) -> int:
    """The most repetitions at a log system load that the last four weeks show, by Epley's formula.

    A goal is set by what the log shows, and not by what the client can really do: that nobody
    knows, and goals chosen by it would be foreseen just where the belief errs.
    """
    since = sessions[-1].on - timedelta(weeks=4)
    strength = [
        log(system_load(one.exercise, one.load, session.body_weight)) + CURVE.strength(one.amount)
        for session in sessions
        for one in session.sets
        if session.on >= since and one.exercise.key == key and one.amount
    ]
    return int(CURVE.amount(max(strength) - system)) if strength else 1


def told(state: AbilityState, exercise: Exercise, levels: Sequence[float], amount: int) -> Told:
    """The forecast of so many repetitions, beside the weeks it really takes."""
    system = log(exercise.body_share * BODY)
    demand = system + CURVE.strength(amount)
    real = next((week for week, level in enumerate(levels) if level >= demand), inf)
    found = goal_forecast(state, exercise, amount, body_weight=BODY)
    return Told(_weeks(found), real)


def _weeks(found: GoalForecast | NotForeseeable) -> tuple[int, int] | None:
    return (found.soonest, found.latest) if isinstance(found, GoalForecast) else None


def with_ladder(exercise: Exercise) -> Exercise:
    """The exercise with the ladder and rung that its key tells."""
    ladder, _, rung = exercise.key.rpartition("-rung-")
    return replace(exercise, ladder=ladder, rung=int(rung)) if ladder else exercise


def line(name: str, goals: Sequence[Told]) -> str:
    """One row of the table."""
    foreseen = [one for one in goals if one.weeks is not None]
    others = [one for one in goals if one.weeks is None]
    row = f"{name:42} {len(goals):5}   not foreseeable {len(others) / len(goals):6.1%}"
    if others:
        row += f" (of them over a year {fmean(one.real == inf for one in others):6.1%})"
    now = [one for one in foreseen if one.weeks == (0, 0)]
    if now:
        row += f"  told now {len(now)} (true {fmean(one.real == 0 for one in now):6.1%})"
    later = [(*one.weeks, one.real) for one in foreseen if one.weeks and one.weeks != (0, 0)]
    if not later:
        return row
    held = fmean(soonest <= real <= latest for soonest, latest, real in later)
    sooner = fmean(real < soonest for soonest, _, real in later)
    width = median(latest - soonest for soonest, latest, _ in later)
    return (
        f"{row}  weeks told {len(later)} held {held:6.1%} sooner {sooner:5.1%} width {width:4.1f}"
    )


def goals_table(clients: int) -> str:
    """All rows."""
    rows = ["", "goals of 2 to 7 repetitions more than the log shows, told after 12 weeks"]
    for reserve in (1.0, 0.5, 0.0):
        goals = list(drawn_goals(range(clients), logs_reserve=reserve))
        rows.append(line(f"drawn from the model, reserve on {reserve:4.0%}", goals))
    rows += [line(kind.value, list(year_goals(kind, range(clients)))) for kind in Kind]
    return "\n".join(rows)
