"""When the movement goals of a client come into reach, from the log of the last weeks."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from clients.models import Client
from coaching.library.client_body import bodies_of
from coaching.rules import plan
from coaching.rules.ability import Ability
from coaching.rules.body import Body
from coaching.rules.bodyweight_load import fitted
from coaching.rules.goal_forecast import GoalForecast, NotForeseeable, goal_forecast
from sessions.ahead_reading import fed
from sessions.queries import UNKNOWN_BODY_WEIGHT, latest_body_weights, week_start
from sessions.week_facts import sessions_between
from sessions.week_reading import followed_from

Told = GoalForecast | NotForeseeable


@dataclass(frozen=True)
class Outlook:
    """A client whose strength was followed up to today, and the body as far as it is known."""

    ability: Ability
    body_weight: float
    body: Body | None
    today: date

    def of(self, goal: plan.Exercise, amount: int, rungs: Iterable[plan.Exercise]) -> Told:
        """The forecast of one goal, with the rungs of its ladder."""
        others = [fitted(one, self.body) for one in rungs if one.key != goal.key]
        return goal_forecast(
            self.ability.state,
            fitted(goal, self.body),
            amount,
            body_weight=self.body_weight,
            kin=others,
            on=self.today,
        )


def outlook(client: Client, today: date, ability: Ability | None = None) -> Outlook:
    """What is known of a client up to today; 1 query, and 4 more without an ``ability`` given."""
    weights = latest_body_weights([client])
    bodies = bodies_of([client], weights, today)
    if ability is None:
        start = followed_from(week_start(today))
        sessions = sessions_between([client], (start, today), weights, bodies)
        ability = fed(Ability(), sessions.get(client.pk, ()))
    weight = weights.get(client.pk, UNKNOWN_BODY_WEIGHT)
    return Outlook(ability, weight, bodies.get(client.pk), today)
