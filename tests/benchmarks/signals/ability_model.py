"""The app's model of ability as a detector."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import erfc, log, sqrt

from coaching.rules.ability import Ability, Believed, ExerciseBelief
from coaching.rules.log import LoggedSession
from coaching.rules.plan import PlannedSession
from tests.benchmarks.signals.detector import ClientLog, ExerciseReading, Reading
from tests.benchmarks.signals.one_set import rest_between_sets

# An exercise that gains less than this a week counts as stalled [log share].
NO_GAIN = 0.0008


@dataclass(frozen=True)
class AbilityModel:
    """Reads what the model believes after every session."""

    name: str = "ability model"

    def read(self, log: ClientLog) -> list[Reading]:
        """One reading a session."""
        ability = Ability()
        return [reading(ability.take(session)) for session in with_rests(log)]


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
        one.exercise.key: rest_between_sets(one.part, paired=len(pair.prescriptions) > 1)
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
            key: ExerciseReading(_no_gain(one), one.dropped)
            for key, one in believed.exercises.items()
        },
    )


def _no_gain(one: ExerciseBelief) -> float:
    return erfc((one.gain - NO_GAIN) / one.gain_spread / sqrt(2)) / 2
