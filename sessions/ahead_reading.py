"""What the proposals of a client know of the sessions to come, from the whole log up to now."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from coaching.rules import log, plan
from coaching.rules.ability import Ability
from coaching.rules.ability_forecast import Forecast, PlannedWork, forecast
from coaching.rules.ability_numbers import SET_REST
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.progression import Exposure
from coaching.rules.progression_ahead import Ahead, Held


def fed(ability: Ability, sessions: Iterable[log.LoggedSession]) -> Ability:
    """The same after those sessions, oldest first."""
    for session in sessions:
        ability.take(session)
    return ability


@dataclass(frozen=True)
class Followed:
    """A client whose strength was followed up to today, with what is said of the week."""

    ability: Ability
    findings: tuple[Finding, ...]
    body_weight: float

    def ahead(self, last: Exposure, exercise: plan.Exercise, on: date) -> Ahead:
        """What is told of an exercise, or of a rung beside it, on the day it is planned for.

        Sets are taken to stop at their target and to rest as the last time.
        """
        rest = next((one.rest for one in last.sets if one.rest is not None), SET_REST.value)
        goes_on = any(one.target and one.amount > one.target for one in last.sets[:-1])

        def tells(to: plan.Exercise, load: float, targets: tuple[int, ...]) -> Forecast | None:
            work = PlannedWork(to, load, targets, rest, goes_on)
            return forecast(
                self.ability.state, work, on=on, body_weight=self.body_weight, kin=(exercise,)
            )

        return Ahead(tells, self._held(exercise))

    def _held(self, exercise: plan.Exercise) -> Held | None:
        kinds = {one.kind for one in self.findings if one.exercise in {"", exercise.key}}
        if FindingKind.OVERREACHING in kinds:
            return Held.OVERREACHING
        return Held.DROP if FindingKind.EXERCISE_DROP in kinds else None
