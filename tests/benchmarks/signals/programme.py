"""What the made-up coach plans: exercises, their order, targets that follow what was met.

Common practice, no source: a primary push and pull of 5 sets on the stair from 5 to 8
repetitions, supplementary pairs of 3 sets, isolation, prehab.
"""

from dataclasses import dataclass, field
from datetime import date
from math import exp, log

import numpy as np

from coaching.rules.plan import (
    Exercise,
    LoadKind,
    Pair,
    Part,
    Pattern,
    PlannedSession,
    Prescription,
    Tempo,
)
from coaching.rules.stair import one_step_up
from tests.benchmarks.signals.people import Person
from tests.rules.examples import LETTERS, make_exercise

SETS = {Part.PRIMARY: 5, Part.SUPPLEMENTARY: 3, Part.ISOLATION: 3, Part.PREHAB: 4}
RANGES = {
    Part.PRIMARY: (5, 8),
    Part.SUPPLEMENTARY: (8, 10),
    Part.ISOLATION: (8, 12),
    Part.PREHAB: (8, 8),
}
RESTS = {Part.PRIMARY: 120, Part.SUPPLEMENTARY: 90, Part.ISOLATION: 75, Part.PREHAB: 60}
TEMPO = Tempo.parse("3-0-1-0")
# Repetitions that the coach wants left on a first set at the lowest target.
RESERVE = {Part.PRIMARY: 3.0, Part.SUPPLEMENTARY: 2.5, Part.ISOLATION: 2.0, Part.PREHAB: 7.0}
# One-repetition maximum on the system load, as a multiple of body weight: rough middles,
# from memory, except pull-up 1.16 to 1.5 (Johnson 2009, Munoz-Lopez 2017), dip 1.59 (Coyne 2015).
GYM: tuple[tuple[str, Part, Pattern, float, float], ...] = (
    # name, part, pattern, share of the body moved, maximum in body weights
    ("dip", Part.PRIMARY, Pattern.PUSH, 1.0, 1.5),
    ("pull-up", Part.PRIMARY, Pattern.PULL, 1.0, 1.4),
    ("bench-press", Part.PRIMARY, Pattern.PUSH, 0.0, 1.1),
    ("barbell-row", Part.PRIMARY, Pattern.PULL, 0.0, 1.0),
    ("squat", Part.PRIMARY, Pattern.LEGS, 0.6, 2.0),
    ("chin-up", Part.PRIMARY, Pattern.PULL, 1.0, 1.45),
    ("incline-press", Part.SUPPLEMENTARY, Pattern.PUSH, 0.0, 0.75),
    ("one-arm-row", Part.SUPPLEMENTARY, Pattern.PULL, 0.0, 0.55),
    ("overhead-press", Part.SUPPLEMENTARY, Pattern.PUSH, 0.0, 0.65),
    ("pull-down", Part.SUPPLEMENTARY, Pattern.PULL, 0.0, 0.95),
    ("split-squat", Part.SUPPLEMENTARY, Pattern.LEGS, 0.7, 1.2),
    ("romanian-deadlift", Part.SUPPLEMENTARY, Pattern.LEGS, 0.3, 1.6),
    ("curl", Part.ISOLATION, Pattern.PULL, 0.0, 0.45),
    ("triceps-extension", Part.ISOLATION, Pattern.PUSH, 0.0, 0.5),
    ("lateral-raise", Part.ISOLATION, Pattern.PUSH, 0.0, 0.3),
    ("leg-curl", Part.ISOLATION, Pattern.LEGS, 0.0, 0.7),
    ("external-rotation", Part.PREHAB, Pattern.PREHAB, 0.0, 0.25),
    ("face-pull", Part.PREHAB, Pattern.PREHAB, 0.0, 0.4),
)
# Without loads: ladders, each rung moving a larger share of the body.
_PUSH_RUNGS = (0.40, 0.49, 0.64, 0.70, 0.80, 0.92)
_PULL_RUNGS = (0.38, 0.47, 0.60, 0.70, 0.82, 0.95)
_LEG_RUNGS = (0.45, 0.55, 0.66, 0.77, 0.88, 1.0)
HOME: tuple[tuple[str, Part, Pattern, tuple[float, ...], float], ...] = (
    ("push-up", Part.PRIMARY, Pattern.PUSH, _PUSH_RUNGS, 0.85),
    ("row", Part.PRIMARY, Pattern.PULL, _PULL_RUNGS, 0.82),
    ("pike", Part.PRIMARY, Pattern.PUSH, _PUSH_RUNGS, 0.72),
    ("pull", Part.PRIMARY, Pattern.PULL, _PULL_RUNGS, 1.0),
    ("one-leg-squat", Part.SUPPLEMENTARY, Pattern.LEGS, _LEG_RUNGS, 0.95),
    ("close-push-up", Part.SUPPLEMENTARY, Pattern.PUSH, _PUSH_RUNGS, 0.8),
    ("towel-row", Part.SUPPLEMENTARY, Pattern.PULL, _PULL_RUNGS, 0.78),
    ("hip-raise", Part.SUPPLEMENTARY, Pattern.LEGS, _LEG_RUNGS, 0.9),
    ("wall-slide", Part.PREHAB, Pattern.PREHAB, (0.15,), 0.3),
)
# How many exercises of each part a session of so many has: common practice, no source.
_PARTS = {
    4: (2, 2, 0, 0),
    5: (2, 2, 0, 1),
    6: (2, 2, 1, 1),
    7: (2, 2, 2, 1),
    8: (2, 3, 2, 1),
}


@dataclass
class Slot:
    """One place in the programme: its exercise of the moment, load and targets.

    ``strength`` is the log of the first day's maximum on the system load [kg];
    ``endurance`` how many repetitions a share of strength buys (Epley 1985 says 30).
    """

    name: str
    part: Part
    pattern: Pattern
    rungs: tuple[float, ...]
    strength: float
    endurance: float
    has_loads: bool
    version: int = 0
    rung: int = 0
    load: float = 0.0
    targets: list[int] = field(default_factory=list)
    misses: int = 0
    done: int = 0  # sessions of the present exercise
    exercise: Exercise = field(init=False)

    def __post_init__(self) -> None:
        self.renew()

    def renew(self) -> None:
        """Make the exercise value of the present version and rung."""
        key = f"{self.name}-v{self.version}" if self.version else self.name
        if len(self.rungs) > 1:
            key += f"-rung-{self.rung + 1}"
        share = self.rungs[self.rung]
        kind = LoadKind.NONE
        if self.has_loads:
            kind = LoadKind.EXTERNAL if share == 0 else LoadKind.ADDED
        self.exercise = make_exercise(
            key, self.pattern, body_share=share, load_kind=kind, muscles={}
        )
        self.done = 0

    def system(self, body_weight: float, load: float | None = None) -> float:
        """What the muscles move [kg] at a load, the present one unless told."""
        return self.rungs[self.rung] * body_weight + (self.load if load is None else load)

    def fresh_reps(self, strength: float, system: float) -> float:
        """Repetitions to failure of a first set: Epley's shape with the exercise's own slope."""
        return self.endurance * (exp(strength - log(max(system, 0.5))) - 1)

    def own_the_body(self, person: Person) -> None:
        """Without assistance nobody is given an exercise that they cannot do some times."""
        least = self.rungs[0] * person.body_weight * (1 + 9 / self.endurance)
        self.strength = max(self.strength, log(least)) if least > 0 else self.strength

    def plan_afresh(self, strength: float, person: Person, body_weight: float) -> None:
        """Choose load and targets for a strength that the coach believes in."""
        bottom = RANGES[self.part][0]
        reserve = RESERVE[self.part] + person.caution
        wanted = bottom + reserve
        ideal = exp(strength) / (1 + wanted / self.endurance)
        self.misses = 0
        if self.has_loads:
            raw = ideal - self.rungs[self.rung] * body_weight
            self.load = max(0.0, round(raw / person.load_step) * person.load_step)
            if self.rungs[self.rung] == 0:
                self.load = max(person.load_step, self.load)
            system = self.system(body_weight)
        else:
            systems = [share * body_weight for share in self.rungs]
            best = min(range(len(systems)), key=lambda i: abs(log(systems[i] / ideal)))
            if best != self.rung:
                self.rung = best
                self.renew()
            system = systems[best]
        could = self.fresh_reps(strength, system) - reserve
        top = RANGES[self.part][1] + (0 if self.has_loads else 4)
        if self.part is Part.PREHAB:
            self.targets = [top if self.has_loads else 12] * SETS[self.part]
            return
        each = int(np.clip(round(could), max(3, bottom - 2), max(bottom, top - 1)))
        self.targets = [each] * SETS[self.part]

    def follow(self, *, met: bool, person: Person, body_weight: float) -> bool:
        """Set the next targets from how the session went; says whether load or rung went up."""
        if self.part is Part.PREHAB:
            return False
        if not met:
            self._after_a_miss(person)
            return False
        self.misses = 0
        top = RANGES[self.part][1]
        if min(self.targets) < top:
            if self.part is Part.PRIMARY:
                self.targets = list(one_step_up(self.targets))
            else:
                self.targets = [t + 1 for t in self.targets]
            return False
        return self._up(person, body_weight)

    def _after_a_miss(self, person: Person) -> None:
        self.misses += 1
        if self.misses < 2:
            return
        self.misses = 0
        bottom = RANGES[self.part][0]
        if min(self.targets) > bottom or not self.has_loads:
            self.targets = [max(3, min(self.targets) - 1)] * len(self.targets)
        elif self.load > person.load_step:
            self.load -= person.load_step

    def _up(self, person: Person, body_weight: float) -> bool:
        bottom, top = RANGES[self.part]
        if not self.has_loads:
            return self._rung_up(bottom, top)
        system = self.system(body_weight)
        ideal = system * (top - bottom) / (30 + top)
        step = max(person.load_step, int(ideal / person.load_step) * person.load_step)
        # The coach's own guess of the repetitions after the step, by Epley's formula.
        expected = 30 * ((1 + top / 30) * system / (system + step) - 1)
        if expected < bottom - 2 and max(self.targets) < top + 4:
            self.targets = [t + 1 for t in self.targets]
            return False
        self.load += step
        self.targets = [max(3, min(bottom, int(expected)))] * len(self.targets)
        return True

    def _rung_up(self, bottom: int, top: int) -> bool:
        last = self.rung + 1 >= len(self.rungs)
        ratio = 1.0 if last else self.rungs[self.rung + 1] / self.rungs[self.rung]
        expected = 30 * ((1 + (min(self.targets) + 1) / 30) / ratio - 1)
        if last or expected < 3:
            most = top + (12 if last else 5)
            self.targets = [min(most, t + 1) for t in self.targets]
            return False
        self.rung += 1
        self.renew()
        self.targets = [max(3, min(bottom, int(expected)))] * len(self.targets)
        return True

    def prescription(self, targets: list[int], load: float) -> Prescription:
        """The slot as planned for one session."""
        return Prescription(
            key=self.exercise.key,
            exercise=self.exercise,
            targets=tuple(targets),
            load=load,
            tempo=TEMPO,
            rest=RESTS[self.part],
            part=self.part,
        )


@dataclass(frozen=True)
class Programme:
    """Sessions in rotation, each a list of pairs of slot numbers."""

    slots: tuple[Slot, ...]
    sessions: tuple[tuple[tuple[int, ...], ...], ...]


def write_programme(person: Person, random: np.random.Generator) -> Programme:
    """Two or three sessions in rotation, push and pull paired, by the client's numbers."""
    has_loads = person.load_step > 0
    pool = GYM if has_loads else HOME
    slots: list[Slot] = []
    free: dict[Part, list[int]] = {part: [] for part in SETS}
    for name, part, pattern, share, maximum in pool:
        rungs = share if isinstance(share, tuple) else (share,)
        level = maximum * float(np.exp(0.12 * random.standard_normal()))
        slots.append(
            Slot(
                name=name,
                part=part,
                pattern=pattern,
                rungs=rungs,
                strength=log(level * person.body_weight),
                endurance=float(31 * np.exp(0.18 * random.standard_normal())),
                has_loads=has_loads,
            )
        )
        slots[-1].own_the_body(person)
        free[part].append(len(slots) - 1)
    count = 3 if person.sessions_a_week == 5 else 2
    wanted = _PARTS[
        min(person.exercises_a_session, 6) if not has_loads else person.exercises_a_session
    ]
    sessions = tuple(_session(number, wanted, free) for number in range(count))
    return Programme(tuple(slots), sessions)


def _session(
    number: int, wanted: tuple[int, ...], free: dict[Part, list[int]]
) -> tuple[tuple[int, ...], ...]:
    """The next exercises of each part in turn, two by two."""
    pairs: list[tuple[int, ...]] = []
    for part, count in zip(SETS, wanted, strict=True):
        pool = free[part]
        if not pool:
            continue
        chosen = [pool[(number * count + i) % len(pool)] for i in range(min(count, len(pool)))]
        pairs.extend(tuple(chosen[i : i + 2]) for i in range(0, len(chosen), 2))
    return tuple(pairs)


def planned_session(
    programme: Programme, which: int, on: date, works: dict[int, tuple[list[int], float]]
) -> PlannedSession:
    """A session of the rotation with the targets and loads of the day, by slot number."""
    pairs = []
    for letter, numbers in zip(LETTERS, programme.sessions[which], strict=False):
        slots = [programme.slots[n] for n in numbers]
        prescriptions = tuple(
            s.prescription(*works[n]) for n, s in zip(numbers, slots, strict=True)
        )
        pairs.append(Pair(letter, slots[0].part, prescriptions))
    name = f"Session {LETTERS[which]}"
    return PlannedSession(f"{name} {on:%Y-%m-%d}", name, on, tuple(pairs))
