"""The next load: how heavy for about so many good repetitions, and how big a jump that is.

Everything is reckoned on what the muscles move (system load), never on the added
kilograms alone.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from coaching.rules.loads import next_load_up
from coaching.rules.numbers import LOAD_JUMP, ONE_RM_LAST_REPS, PULL_UP_MASS_POWER
from coaching.rules.plan import Chain, Exercise, LoadKind, Measure, Plane
from coaching.rules.strength import Formula, published_factor, published_reps
from coaching.rules.volume import system_load

_FORMULAS = (Formula.EPLEY, Formula.BRZYCKI)


@dataclass(frozen=True, slots=True)
class LoadStep:
    """A load [kg] with what the muscles move before and after [kg].

    ``expected`` is the careful guess of repetitions on one set at the new load, none
    where nothing published lets one guess.
    """

    load: float
    before: float
    after: float
    expected: float | None

    @property
    def jump(self) -> float:
        """By what share of the system load it rises; endless from nothing."""
        return self.after / self.before - 1 if self.before > 0 else float("inf")

    @property
    def is_big(self) -> bool:
        """Whether the jump is above the 10 % that a coach is told about (acsm-2009)."""
        return self.jump > LOAD_JUMP.value + 1e-9

    def promises(self, reps: float) -> bool:
        """Whether so many can be expected, or nothing published says otherwise."""
        return self.expected is None or self.expected >= reps


def follows_total_mass(exercise: Exercise) -> bool:
    """Whether the pull-up relation applies: pull-ups with added load, and dips by analogy."""
    return (
        exercise.chain is Chain.CLOSED
        and exercise.plane is Plane.VERTICAL
        and exercise.multi_joint
        and exercise.load_kind is LoadKind.ADDED
    )


def reps_expected(exercise: Exercise, reps: int, before: float, after: float) -> float:
    """Repetitions to expect when the system load changes from one [kg] to another [kg].

    The lowest of Epley, Brzycki and, for pull-ups and dips, Vanderburgh and Edmonds. The
    first two are a rough guess above 10 repetitions; more than 15 are counted as 15. It
    is a guess for one set, from a group, not a promise for one client.

    Args:
        exercise: Says whether the pull-up relation applies.
        reps: Repetitions done on every set, 1 or more.
        before: System load [kg] at which they were done, above 0.
        after: System load [kg] to come, above 0.
    """
    factors = {one: published_factor(one, _formula_reps(reps)) for one in _FORMULAS}
    guesses = [published_reps(one, factor * before / after) for one, factor in factors.items()]
    if follows_total_mass(exercise):
        guesses.append(reps * (after / before) ** PULL_UP_MASS_POWER.value)
    return max(0.0, min(guesses))


def system_load_for(exercise: Exercise, reps: int, wanted: int, system: float) -> float:
    """The system load [kg] at which ``wanted`` repetitions can be expected, carefully.

    Args:
        exercise: Says whether the pull-up relation applies.
        reps: Repetitions done on every set, 1 or more.
        wanted: Repetitions wanted on every set, 1 or more.
        system: System load [kg] at which ``reps`` were done.
    """
    done = _formula_reps(reps)
    answers = [
        system * published_factor(one, done) / published_factor(one, wanted) for one in _FORMULAS
    ]
    if follows_total_mass(exercise):
        answers.append(system * (wanted / reps) ** (1 / PULL_UP_MASS_POWER.value))
    return min(answers)


def _formula_reps(reps: int) -> int:
    return min(reps, int(ONE_RM_LAST_REPS.value))


def step_to(
    exercise: Exercise, load: float, new_load: float, reps: int, body_weight: float
) -> LoadStep:
    """What going from one load [kg] to another [kg] means after ``reps`` on every set."""
    before = system_load(exercise, load, body_weight)
    after = system_load(exercise, new_load, body_weight)
    guess = exercise.measure is Measure.REPS and before > 0 and after > 0 and reps > 0
    expected = reps_expected(exercise, reps, before, after) if guess else None
    return LoadStep(new_load, before, after, expected)


def one_load_up(
    exercise: Exercise, load: float, reps: int, loads: Iterable[float], body_weight: float
) -> LoadStep | None:
    """The very next harder load that the equipment makes, none when there is none."""
    assisted = exercise.load_kind is LoadKind.ASSISTED
    new_load = next_load_up(load, loads, assisted=assisted)
    return None if new_load is None else step_to(exercise, load, new_load, reps, body_weight)


def load_for(
    prescribed: tuple[Exercise, float],
    reps: int,
    wanted: int,
    loads: Sequence[float],
    body_weight: float,
) -> LoadStep | None:
    """The load for about ``wanted`` good repetitions, at least one step above the present one.

    The hardest available load that is expected to allow them; where even the next step
    is harder than that, the next step, which then expects fewer. None when nothing harder
    can be made. ``prescribed`` is the exercise with its present load [kg].
    """
    exercise, load = prescribed
    step = one_load_up(exercise, load, reps, loads, body_weight)
    if step is None or step.expected is None:
        return step
    limit = system_load_for(exercise, reps, wanted, step.before)
    fitting = [
        one
        for one in (step_to(exercise, load, new, reps, body_weight) for new in loads)
        if step.after <= one.after <= limit
    ]
    return max(fitting, key=lambda one: one.after, default=step)


def load_words(exercise: Exercise, load: float) -> str:
    """A load the way a coach says it: +10 kg, 10 kg, 10 kg of help, body weight."""
    match exercise.load_kind:
        case LoadKind.EXTERNAL:
            return f"{load:g} kg"
        case LoadKind.ASSISTED if load > 0:
            return f"{load:g} kg of help"
        case LoadKind.ADDED if load > 0:
            return f"+{load:g} kg"
        case _:
            return "body weight"
