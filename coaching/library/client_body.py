"""A client's own body, and the exercises as it loads them."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from clients.models import Client
from clients.queries import body_weight_on, screening_answers
from coaching.library.queries import exercise_values
from coaching.rules import plan
from coaching.rules.body import Body, Sex
from coaching.rules.bodyweight_load import fitted
from coaching.rules.findings import NoAnswer
from coaching.rules.numbers import ADULT_AGE
from coaching.rules.screening import Topic

ADULT = ADULT_AGE.value
"""[years] The segment tables were measured on adults."""


def body_of(client: Client, on: date) -> Body | NoAnswer:
    """The client's body on a day, or what is missing to know it; 1 query."""
    return body_with(client, body_weight_on(client, on), on)


def body_with(client: Client, kilograms: float | None, on: date) -> Body | NoAnswer:
    """The client's body at a weight that is known [kg], or what is missing; no query."""
    missing = [
        word
        for word, value in (("stature", client.stature_cm), ("body weight", kilograms))
        if not value
    ]
    if missing or not client.stature_cm or not kilograms:
        return NoAnswer(f"{client.name} has no {' and no '.join(missing)} yet: add it at intake.")
    if reason := _told_at_intake(client, on):
        return NoAnswer(reason)
    body = Body(kilograms, client.stature_cm / 100, Sex(client.sex))
    reason = body.not_modelled()
    return NoAnswer(reason) if reason else body


def _told_at_intake(client: Client, on: date) -> str:
    """Why the tables do not hold for a client, from birth year and health screen."""
    answers = screening_answers(client)
    minor = answers.get(Topic.MINOR, False)
    if client.born_in:
        years = on.year - client.born_in
        # In the year of the birthday only the answer can tell.
        minor = years < ADULT or (years == ADULT and answers.get(Topic.MINOR) is not False)
    if minor:
        return f"{client.name} may not be of age: the segment tables were measured on adults."
    if answers.get(Topic.PREGNANCY):
        return f"{client.name} is pregnant: the segment tables do not hold for that."
    return ""


@dataclass
class FittedExercises:
    """Exercises by row id with the shares of each client's own body, each worked out once."""

    values: Mapping[int, plan.Exercise]
    bodies: Mapping[int, Body]
    _known: dict[tuple[int, int], plan.Exercise] = field(default_factory=dict)

    def of(self, client_id: int, exercise_id: int) -> plan.Exercise:
        """One exercise for one client; as the library has it when the body is not known."""
        key = (client_id, exercise_id)
        if key not in self._known:
            body = self.bodies.get(client_id)
            self._known[key] = fitted(self.values[exercise_id], body)
        return self._known[key]


def fitted_exercises(exercise_ids: Iterable[int], bodies: Mapping[int, Body]) -> FittedExercises:
    """Those exercises, for clients whose bodies are known; 1 query."""
    return FittedExercises(exercise_values(exercise_ids), bodies)


def bodies_of(clients: Iterable[Client], weights: Mapping[int, float], on: date) -> dict[int, Body]:
    """The bodies that are known, by client; no query.

    Args:
        clients: Whose.
        weights: Body weight [kg] by client, as far as it is known.
        on: The day on which they are of age or not.
    """
    found = ((client.pk, body_with(client, weights.get(client.pk), on)) for client in clients)
    return {pk: body for pk, body in found if isinstance(body, Body)}
