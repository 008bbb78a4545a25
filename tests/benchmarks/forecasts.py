"""How often forecasts hold on made-up clients whose real repetitions are known.

``python -m tests.benchmarks.forecasts [--clients 4]``; ``--clients`` is the number of clients of
each kind of ``signals``, their parameters drawn afresh. After four weeks every session is forecast from
the log before it, and held against what each set could have had if it went to failure, which
the simulator knows, and against what was logged.

Repetitions are whole, so the range of a forecast cannot hold exactly 80 %. Coverage is therefore that
of the randomised probability integral transform: of ``k`` repetitions a number is drawn evenly
between the chances of fewer than ``k`` and of ``k`` or fewer, and should lie in the middle 80 % four
times in five (Czado, Gneiting & Held 2009, "Predictive model assessment for count data"; title
from memory). Logged sets end at their target: there both sides are cut at the target first, which
keeps the transform even. The range as it is shown, in whole repetitions, is given beside it.

The peer repeats what was seen last time, with the stated reserve where there is one, turned by
Epley's formula to the new load, and spreads it as that client's last times differed.
"""

import argparse
import time
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import timedelta
from statistics import fmean

import numpy as np
from numpy.typing import NDArray

from coaching.rules.ability import Ability
from coaching.rules.ability_forecast import PlannedWork, forecast
from coaching.rules.log import LoggedSession, LoggedSet
from coaching.rules.plan import Exercise, Part, Pattern, Prescription, WeekKind
from coaching.rules.volume import system_load
from tests.benchmarks.goals_ahead import goals_table, with_ladder
from tests.benchmarks.signals.ability_model import rests, with_rests
from tests.benchmarks.signals.people import Kind
from tests.benchmarks.signals.simulator import SimulatedClient, simulate

FORECAST_FROM = 30_000
FIRST_WEEKS = timedelta(weeks=4)
BAND = 0.8
WEEKS = 40


@dataclass
class Score:
    """What is counted of one forecaster on one kind of client."""

    could: list[float] = field(default_factory=list)
    shown: list[bool] = field(default_factory=list)
    width: list[float] = field(default_factory=list)
    error: list[float] = field(default_factory=list)
    logged: list[float] = field(default_factory=list)
    chances: list[tuple[float, bool]] = field(default_factory=list)
    each: list[tuple[float, bool]] = field(default_factory=list)
    none: int = 0

    def add(self, other: "Score") -> None:
        """Take in another's counts."""
        for name in ("could", "shown", "width", "error", "logged", "chances", "each"):
            getattr(self, name).extend(getattr(other, name))
        self.none += other.none


class Draws:
    """A forecast as draws of whole repetitions (draws, sets)."""

    def __init__(self, could: NDArray[np.int_], random: np.random.Generator) -> None:
        self.could, self.random = could, random

    def transform(self, place: int, real: int, most: int | None = None) -> float:
        """Where a number of repetitions lies in the forecast, 0-1, ties drawn evenly."""
        drawn = self.could[:, place]
        if most is not None:
            drawn, real = np.minimum(drawn, most), min(real, most)
        under, upto = float((drawn < real).mean()), float((drawn <= real).mean())
        return under + float(self.random.random()) * (upto - under)


@dataclass(frozen=True)
class Case:
    """One exercise of one session: what was planned, what could be done, what was logged."""

    work: PlannedWork
    could: tuple[int, ...]
    sets: tuple[LoggedSet, ...]
    is_deload: bool


def cases(client: SimulatedClient) -> Iterator[tuple[LoggedSession, list[Case]]]:
    """Every session with its exercises, prehab left out."""
    plans = {plan.on: plan for plan in client.log.planned}
    for place, session in enumerate(with_rests(client.log)):
        plan = plans[session.on]
        found = []
        for one in plan.prescriptions:
            sets = tuple(s for s in session.sets if s.exercise.key == one.exercise.key)
            if one.exercise.pattern is Pattern.PREHAB or not sets:
                continue
            could = tuple(client.could[place, one.exercise.key, s.number] for s in sets)
            found.append(_case(one, rests(plan)[one.exercise.key], could, sets, session, client))
        yield session, found


def _case(
    asked: Prescription,
    rest: float,
    could: tuple[int, ...],
    sets: tuple[LoggedSet, ...],
    session: LoggedSession,
    client: SimulatedClient,
) -> Case:
    # Who lowers the load after a set that fell short did later sets of another kind.
    fair = 1 if client.person.drops_load and asked.part is Part.SUPPLEMENTARY else len(sets)
    return Case(
        PlannedWork(with_ladder(asked.exercise), asked.load, asked.targets, rest),
        could[:fair],
        sets[:fair],
        is_deload=session.kind is WeekKind.DELOAD,
    )


def goes_past(sets: Sequence[LoggedSet]) -> bool:
    """Whether a set before the last one went on past its target."""
    return any(one.amount > (one.target or one.amount) for one in sets[:-1])


@dataclass
class Peer:
    """Repeats the last time; one a client."""

    last: dict[str, tuple[list[float], float]] = field(default_factory=dict)
    off: list[float] = field(default_factory=lambda: [1.5**2] * 10)

    def draws(
        self, case: Case, body: float, random: np.random.Generator
    ) -> NDArray[np.int_] | None:
        """Draws of whole repetitions, none for an exercise never seen."""
        seen = self.last.get(case.work.exercise.key)
        if seen is None:
            return None
        middle = self._middle(case, body, seen)
        noise = np.sqrt(fmean(self.off)) * random.standard_normal((1000, len(middle)))
        drawn: NDArray[np.int_] = np.maximum(0, np.round(np.array(middle) + noise)).astype(int)
        return drawn

    @staticmethod
    def _middle(case: Case, body: float, seen: tuple[list[float], float]) -> list[float]:
        reps, kilograms = seen
        turn = kilograms / system_load(case.work.exercise, case.work.load, body)
        known = [*reps, *[reps[-1]] * len(case.work.targets)][: len(case.work.targets)]
        return [30 * ((1 + one / 30) * turn - 1) for one in known]

    def learn(self, case: Case, body: float) -> None:
        """Remember the last time, and how far it was from the one before."""
        key = case.work.exercise.key
        now = [one.amount + float(one.rir or 0) for one in case.sets]
        if key in self.last:
            before = self._middle(case, body, self.last[key])
            self.off += [(a - b) ** 2 for a, b in zip(now, before, strict=False)]
        self.last[key] = now, system_load(case.work.exercise, case.work.load, body)


def score_client(client: SimulatedClient, seed: int) -> dict[str, Score]:
    """Forecast every session of a client from what came before."""
    random = np.random.default_rng(seed)
    ability, peer = Ability(), Peer()
    scores = {"model": Score(), "new": Score(), "peer": Score()}
    kin: dict[str, Exercise] = {}
    first, body = client.log.sessions[0].on, client.log.sessions[0].body_weight
    goes_on: dict[str, bool] = {}
    for session, found in cases(client):
        for seen in found:
            work = seen.work
            case = replace(seen, work=replace(work, goes_on=goes_on.get(work.exercise.key, False)))
            if session.on - first >= FIRST_WEEKS:
                told = forecast(
                    ability.state, case.work, on=session.on, body_weight=body, kin=kin.values()
                )
                is_known = case.work.exercise.key in ability.state.known
                name = "model" if is_known else "new"
                judge(scores[name], case, told.could if told else None, random)
                judge(scores["peer"], case, peer.draws(case, body, random), random)
        for case in found:
            kin[case.work.exercise.key] = case.work.exercise
            goes_on[case.work.exercise.key] = goes_past(case.sets)
            peer.learn(case, session.body_weight)
        body = session.body_weight
        ability.take(session)
    return scores


def judge(
    score: Score, case: Case, drawn: NDArray[np.int_] | None, random: np.random.Generator
) -> None:
    """Hold a forecast against what could be done and what was logged."""
    if drawn is None:
        score.none += 1
        return
    draws = Draws(drawn, random)
    targets = np.array(case.work.targets)
    for place, could in enumerate(case.could):
        score.could.append(draws.transform(place, could))
        low, high = np.quantile(drawn[:, place], (0.1, 0.9), method="nearest")
        score.shown.append(bool(low <= could <= high))
        score.width.append(float(high - low))
        score.error.append(abs(could - float(np.median(drawn[:, place]))))
        score.logged.append(draws.transform(place, could, int(targets[place])))
        made = float((drawn[:, place] >= targets[place]).mean())
        score.each.append((made, could >= targets[place]))
    if len(case.could) == len(targets) and not case.is_deload:
        chance = float((drawn >= targets).all(axis=1).mean())
        score.chances.append((chance, all(np.array(case.could) >= targets)))


def inside(transforms: Sequence[float]) -> float:
    """Share that lies in the middle band."""
    tail = (1 - BAND) / 2
    return fmean(tail <= one <= 1 - tail for one in transforms)


def brier(pairs: Sequence[tuple[float, bool]]) -> float:
    """Mean squared distance of a chance from what happened."""
    return fmean((chance - real) ** 2 for chance, real in pairs)


def line(name: str, score: Score) -> str:
    """One row of the table."""
    if not score.could:
        return f"{name:34} no forecast ({score.none})"
    under = fmean(one < 0.1 for one in score.could)
    over = fmean(one > 0.9 for one in score.could)
    rate = fmean(real for _, real in score.chances)
    return (
        f"{name:34} {len(score.could):6} {inside(score.could):6.1%} {under:6.1%} {over:6.1%}"
        f" {fmean(score.shown):6.1%} {fmean(score.width):5.1f} {fmean(score.error):5.2f}"
        f" {inside(score.logged):6.1%} | {brier(score.each):.3f} {brier(score.chances):.3f}"
        f" ({rate * (1 - rate):.3f}) {score.none:5}"
    )


def reliability(pairs: Sequence[tuple[float, bool]]) -> str:
    """How often all targets were made, by the chance that was told."""
    bins: dict[int, list[tuple[float, bool]]] = defaultdict(list)
    for chance, real in pairs:
        bins[min(9, int(10 * chance))].append((chance, real))
    rows = [
        f"  told {fmean(c for c, _ in found):5.1%} came {fmean(r for _, r in found):5.1%}"
        f"  of {len(found)}"
        for _, found in sorted(bins.items())
    ]
    return "\n".join(rows)


def main(arguments: Sequence[str] | None = None) -> None:
    """Simulate, forecast and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.forecasts")
    parser.add_argument("--clients", type=int, default=4, help="clients of each kind")
    parser.add_argument("--kinds", nargs="*", default=[], help="parts of names of kinds")
    given = parser.parse_args(arguments)
    started = time.perf_counter()
    total = {"model": Score(), "new": Score(), "peer": Score()}
    head = "sets   in 80%  under   over  shown width error logged | each  all  (base rate) none"
    print(f"{'':34} {head}")  # noqa: T201
    for kind in (k for k in Kind if not given.kinds or any(o in k.value for o in given.kinds)):
        mine = {"model": Score(), "new": Score(), "peer": Score()}
        for seed in range(FORECAST_FROM, FORECAST_FROM + given.clients):
            for name, score in score_client(simulate(kind, seed, weeks=WEEKS), seed).items():
                mine[name].add(score)
        for name, score in mine.items():
            total[name].add(score)
        for name in ("model", "peer"):
            print(line(f"{kind.value}, {name}", mine[name]))  # noqa: T201
    for name, score in total.items():
        print(line(f"all, {name}", score))  # noqa: T201
        print(reliability(score.chances))  # noqa: T201
    if not given.kinds:
        print(goals_table(3 * given.clients))  # noqa: T201
    print(f"{time.perf_counter() - started:.0f} s")  # noqa: T201


if __name__ == "__main__":
    main()
