"""The app's model of ability as a detector."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import log

from coaching.rules.ability import Believed, read_ability
from coaching.rules.ability_sets import rest_between
from coaching.rules.log import LoggedSession
from coaching.rules.plan import PlannedSession
from tests.benchmarks.signals.detector import ClientLog, ExerciseReading, Reading


@dataclass(frozen=True)
class AbilityModel:
    """Reads what the model believes after every session."""

    name: str = "ability model"

    def read(self, log: ClientLog) -> list[Reading]:
        """One reading a session."""
        return [reading(believed) for believed in read_ability(with_rests(log))]


def with_rests(log: ClientLog) -> Sequence[LoggedSession]:
    """The sessions with the planned rest beside each set, as the app reads them."""
    plans = {plan.on: rests(plan) for plan in log.planned}
    return [
        replace(
            session,
            sets=tuple(
                replace(one, rest=plans[session.on].get(one.exercise.key)) for one in session.sets
            ),
        )
        for session in log.sessions
    ]


def rests(plan: PlannedSession) -> dict[str, float]:
    """Seconds between two sets of each exercise."""
    return {
        one.exercise.key: rest_between(one.rest, paired=len(pair.prescriptions) > 1)
        for pair in plan.pairs
        for one in pair.prescriptions
    }


def reading(believed: Believed) -> Reading:
    """What was believed, as the scoring asks for it."""
    chance = min(max(believed.fall_of_several, 1e-9), 1 - 1e-9)
    return Reading(
        on=believed.on,
        score=log(chance / (1 - chance)),
        probability=believed.fall,
        since=believed.since,
        exercises={
            key: ExerciseReading(one.no_gain, one.dropped)
            for key, one in believed.exercises.items()
        },
    )
