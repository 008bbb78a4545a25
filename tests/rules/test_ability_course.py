"""The course of ability: as known then, as known now, and against courses that are known."""

from dataclasses import replace

import pytest

from coaching.rules.ability import believe
from coaching.rules.ability_course import AbilityCourse, Band, ability_course
from tests.rules.examples import day, make_logged_session, make_pull_up, make_sets
from tests.rules.simulated_client import EXERCISES, SimulatedClient, drop

ALL = {exercise.key for exercise in EXERCISES}
PULL_UP = make_pull_up()


def width(band: Band) -> float:
    return band.high - band.low


def pull_ups(count: int, start: int = 0):
    sets = make_sets(PULL_UP, [8], targets=[8], rir=2)
    return [make_logged_session(sets, on=day(start + 3 * i)) for i in range(count)]


@pytest.fixture(scope="module")
def fallen() -> AbilityCourse:
    """Ten per cent weaker in everything from day 60 on, for three weeks."""
    return ability_course(SimulatedClient(1, "all", change=drop(60, 0.10, ALL)).sessions(11))


def test_without_a_session_there_is_no_course():
    assert ability_course([]) == AbilityCourse({}, ())


def test_every_exercise_has_its_days_and_all_share_one_course():
    sessions = pull_ups(5)

    course = ability_course(sessions)

    assert [one.on for one in course.exercises["pull-up"]] == [s.on for s in sessions]
    assert [one.on for one in course.shared] == [s.on for s in sessions]


def test_a_level_is_in_kilograms_of_what_could_be_moved_once():
    # Epley 1985: 8 repetitions and 2.95 left (Halperin 2022) at 80 kg of body weight.
    (level,) = ability_course(pull_ups(1)).exercises["pull-up"]

    assert level.now.middle == pytest.approx(80 * (1 + 10.95 / 30), rel=0.02)
    assert level.now.low < level.now.middle < level.now.high


def test_the_band_is_wider_after_a_gap():
    course = ability_course([*pull_ups(10), *pull_ups(1, start=27 + 40)])

    *_, before, after = course.exercises["pull-up"]

    assert width(after.then) > 1.2 * width(before.then)


def test_at_the_end_nothing_more_is_known_than_was_known_then():
    client = SimulatedClient(3, "last").sessions(8)
    believed = believe(client)

    course = ability_course(client)

    assert believed is not None
    for levels in course.exercises.values():
        assert levels[-1].now == levels[-1].then
    assert course.shared[-1].now == course.shared[-1].then


@pytest.mark.parametrize("seed", range(3))
def test_looking_back_narrows_the_band_where_nothing_fell(seed):
    course = ability_course(SimulatedClient(seed, "last").sessions(12))

    levels = [one for levels in course.exercises.values() for one in levels]

    assert all(width(one.now) <= 1.01 * width(one.then) for one in levels)
    assert sum(width(one.now) for one in levels) < 0.95 * sum(width(one.then) for one in levels)


def test_a_fall_is_seen_from_its_first_days_once_it_is_known(fallen):
    first = [one for one in fallen.shared if 60 <= (one.on - day(0)).days <= 63]

    assert all(one.now.high < 0 for one in first)
    assert first[0].then.high > 0


def test_a_fall_is_as_deep_in_the_course_as_it_was(fallen):
    full = [one for one in fallen.shared if (one.on - day(0)).days >= 66]

    assert all(one.now.low <= -10 + 3 and one.now.high <= -3 for one in full)


def test_what_is_not_shared_does_not_fall_with_the_others(fallen):
    for levels in fallen.exercises.values():
        before, after = levels[-10], levels[-1]

        assert after.now.middle < 0.95 * before.now.middle
        assert after.unshared == pytest.approx(before.unshared, rel=0.04)


def test_a_drop_of_one_exercise_is_in_its_own_course_only():
    client = SimulatedClient(1, "all", change=drop(60, 0.14, {"dip"}))

    course = ability_course(client.sessions(11))

    dip, row = course.exercises["dip"], course.exercises["row"]
    assert dip[-1].now.middle < 0.93 * dip[-12].now.middle
    assert row[-1].now.middle > 0.97 * row[-12].now.middle


def test_a_wrong_load_in_one_set_moves_the_course_of_no_other_day():
    sessions = pull_ups(12)
    wrong = make_logged_session(make_sets(PULL_UP, [8], 200, targets=[8]), on=sessions[6].on)

    course = ability_course([*sessions[:6], wrong, *sessions[7:]])
    right = ability_course(sessions)

    days = [one.on for one in course.exercises["pull-up"]]
    assert wrong.on not in days
    assert course.exercises["pull-up"][-1].now.middle == pytest.approx(
        right.exercises["pull-up"][-1].now.middle, rel=0.01
    )


def test_two_sessions_of_one_day_both_stand_in_the_course():
    sessions = pull_ups(3)

    course = ability_course([*sessions, replace(sessions[-1], name="evening")])

    assert len(course.exercises["pull-up"]) == 4
