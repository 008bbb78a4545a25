"""A movement goal that the log has met and that nobody has called reached yet."""

from collections.abc import Sequence
from datetime import date

from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.ladder_place import Met, goal_answer
from coaching.rules.ladder_times import amount_words
from coaching.rules.log import LoggedSession
from coaching.rules.numbers import PAIN_LIMIT
from coaching.rules.plan import Exercise

RULE = (
    "The goal was done in one set, without help and without pain above "
    f"{PAIN_LIMIT.value:g} of 10, and is not called reached."
)


def goal_reached(
    exercise: Exercise, amount: int, sessions: Sequence[LoggedSession], *, today: date
) -> Finding | None:
    """Whether a goal of so many repetitions [or seconds] is done by the log.

    Args:
        exercise: What the goal is.
        amount: How many in one set.
        sessions: As much of the log as is read, oldest first.
        today: The day of the review.
    """
    answer = goal_answer(exercise, amount, sessions, today=today)
    if answer.met is not Met.MET or answer.on is None or answer.best is None:
        return None
    asked = amount_words(amount, exercise.measure)
    done = amount_words(answer.best, exercise.measure)
    on = f"{answer.on.day} {answer.on:%b}"
    return Finding(
        kind=FindingKind.GOAL_REACHED,
        sentence=f"{exercise.name}, the goal of {asked}: {done} in one set on {on}.",
        evidence=(Evidence("Goal", asked), Evidence(f"Done on {on}", done)),
        rule=RULE,
        source_key="house",
        exercise=exercise.key,
        since=answer.on,
        could_not_know="How the repetitions looked.",
    )
