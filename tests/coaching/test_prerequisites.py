"""Prerequisites in the shared library lead from easier to harder, in numbers that can be reached.

What is asked is common practice, no source; these checks hold whatever a coach would ask.
"""

import pytest

from coaching.library.shared_catalogue import read_shared_catalogue
from coaching.rules.ladder_place import asks_of
from coaching.rules.plan import JointStress, Level

SHARED = {one.exercise.key: one for one in read_shared_catalogue()}
ASKING = [one for one in SHARED.values() if one.exercise.prerequisites]
LEVELS = list(Level)
STRAIGHT_ARM = JointStress.SHOULDER_STRAIGHT_ARM
by_key = pytest.mark.parametrize("one", ASKING, ids=lambda one: one.exercise.key)


@by_key
def test_what_is_asked_is_reached_before_a_programme_moves_on(one):
    asked = {p.exercise: p.amount for p in one.exercise.prerequisites}

    assert {k: n for k, n in asked.items() if n > asks_of(SHARED[k].exercise)} == {}


@by_key
def test_what_is_asked_is_offered_no_later_than_the_rung(one):
    levels = [SHARED[p.exercise].level for p in one.exercise.prerequisites]

    assert max(LEVELS.index(level) for level in levels) <= LEVELS.index(one.level)


def needed_before(key):
    own = SHARED[key].exercise
    easier = {
        other.exercise.key
        for other in SHARED.values()
        if own.ladder and other.exercise.ladder == own.ladder and other.exercise.rung < own.rung
    }
    return {p.exercise for p in own.prerequisites} | easier


def everything_before(key):
    found: set[str] = set()
    left = [key]
    while left:
        new = needed_before(left.pop()) - found
        found |= new
        left += new
    return found


@by_key
def test_nothing_is_asked_that_asks_for_the_rung_itself(one):
    assert one.exercise.key not in everything_before(one.exercise.key)


def test_straight_arm_levers_come_after_a_base_on_bent_arms():
    levers = [
        one.exercise.key
        for one in SHARED.values()
        if STRAIGHT_ARM in one.exercise.joint_stresses
        and one.exercise.complexity >= 3
        # A support hold is the way to dips and no lever: it asks nothing.
        and one.exercise.key != "ring-support-hold"
    ]
    base = {"push-up", "dip", "pull-up", "decline-push-up", "ring-push-up"}

    assert len(levers) > 10
    assert [key for key in levers if not base & everything_before(key)] == []


def test_the_muscle_up_asks_for_height_dips_and_on_rings_the_grip():
    asked = {p.exercise for p in SHARED["ring-muscle-up"].exercise.prerequisites}

    assert asked == {"chest-to-bar-pull-up", "ring-dip", "false-grip-hang"}
