"""Where an invented client begins on an exercise that is loaded from outside.

The shares are invented: what seems likely for a trained man of middling strength who has
two repetitions left after eight. No test checks anything against them.
"""

from collections.abc import Sequence
from random import Random

from coaching.rules import plan
from demo_fixtures.people import DemoClient

SHARE_OF_BODY = {
    "barbell-bench-press": 0.72,
    "barbell-row": 0.62,
    "barbell-overhead-press": 0.44,
    "barbell-back-squat": 0.9,
    "barbell-deadlift": 1.1,
    "floor-press": 0.25,
    "incline-dumbbell-press": 0.24,
    "dumbbell-bench-press": 0.27,
    "dumbbell-overhead-press": 0.19,
    "chest-supported-row": 0.23,
    "bent-over-dumbbell-row": 0.26,
    "dumbbell-fly": 0.13,
    "reverse-fly": 0.09,
    "lateral-raise": 0.1,
    "dumbbell-curl": 0.14,
    "hammer-curl": 0.15,
    "dumbbell-triceps-extension": 0.12,
    "romanian-deadlift": 0.27,
    "single-leg-romanian-deadlift": 0.18,
    "goblet-squat": 0.26,
    "walking-lunge": 0.1,
    "band-pulldown": 0.3,
}
"""The load [kg] for eight repetitions as a share of body weight; of one hand where two hold."""

ADDED_BY_ADVANCED = {"dip": 0.14, "pull-up": 0.08, "chin-up": 0.1, "chest-to-bar-pull-up": 0.04}
"""What somebody advanced hangs on a belt, as a share of body weight."""

BY_LEVEL = {"absolute beginner": 0.6, "beginner": 0.72, "intermediate": 1.0, "advanced": 1.35}
UPPER_BY_SEX = {"female": 0.62, "unstated": 0.8, "male": 1.0}
LEGS_BY_SEX = {"female": 0.78, "unstated": 0.88, "male": 1.0}


def first_load(
    person: DemoClient, exercise: plan.Exercise, loads: Sequence[float], rng: Random
) -> float:
    """The load [kg] to begin with, the nearest that the equipment makes; ``loads`` easiest first.

    Bands and whatever has no share begin with the easiest.
    """
    share = SHARE_OF_BODY.get(exercise.key, 0.0) * BY_LEVEL[person.level]
    if person.level == "advanced":
        share = share or ADDED_BY_ADVANCED.get(exercise.key, 0.0)
    by_sex = LEGS_BY_SEX if exercise.pattern is plan.Pattern.LEGS else UPPER_BY_SEX
    wanted = person.kg * share * by_sex[person.sex] * rng.uniform(0.92, 1.08)
    if not loads or not share:
        return loads[0] if loads else 0.0
    return min(loads, key=lambda one: abs(one - wanted))
