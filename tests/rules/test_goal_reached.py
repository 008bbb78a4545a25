"""A goal that the log has met is said until somebody calls it reached."""

from datetime import timedelta

from coaching.rules.findings import FindingKind
from coaching.rules.goal_reached import goal_reached
from coaching.rules.log import LoggedSession
from tests.rules.examples import MONDAY, make_pull_up, make_sets

PULL_UP = make_pull_up()
TODAY = MONDAY + timedelta(days=7)


def trained(*reps):
    return [LoggedSession(on=MONDAY, sets=tuple(make_sets(PULL_UP, reps)), body_weight=80.0)]


def test_a_goal_done_in_one_set_is_said_with_the_set_and_its_day():
    said = goal_reached(PULL_UP, 8, trained(6, 9), today=TODAY)

    assert said is not None
    assert said.kind is FindingKind.GOAL_REACHED
    assert said.exercise == PULL_UP.key
    assert "9 reps in one set" in said.sentence
    assert said.since == MONDAY


def test_sets_that_come_to_it_only_together_are_not_enough():
    assert goal_reached(PULL_UP, 12, trained(6, 9), today=TODAY) is None


def test_what_is_not_logged_meets_nothing():
    assert goal_reached(PULL_UP, 1, [], today=TODAY) is None
