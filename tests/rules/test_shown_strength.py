"""What sets and targets show in kilograms, by Epley's formula (Epley 1985: kg (1 + reps / 30))."""

import pytest

from coaching.rules.plan import WeekKind
from coaching.rules.shown_strength import lighter_days, shown_strength
from tests.rules.examples import day, make_exercise, make_logged_session, make_pull_up, make_sets

PULL_UP = make_pull_up()
BODY = 80.0


def day_of(*reps, targets=None, rir=None, load=0.0):
    sets = make_sets(PULL_UP, list(reps), load, targets=targets, rir=rir)
    (found,) = shown_strength([make_logged_session(sets, on=day(0))])["pull-up"]
    return found


def test_a_set_that_stopped_at_its_target_shows_at_least_what_was_done():
    (one,) = day_of(8, targets=[8]).shown

    assert one.at_least
    assert one.kg == pytest.approx(BODY * (1 + 8 / 30))


def test_a_stated_reserve_counts_as_said_and_half_a_repetition_for_whole_ones():
    (one,) = day_of(8, targets=[8], rir=2).shown

    assert not one.at_least
    assert one.kg == pytest.approx(BODY * (1 + 10.5 / 30))


def test_a_target_asks_what_a_set_of_it_would_show():
    found = day_of(8, 6, targets=[8, 7], load=10.0)

    assert found.asked == pytest.approx((90 * (1 + 7 / 30), 90 * (1 + 8 / 30)), abs=0.05)


def test_what_was_not_planned_asks_nothing():
    assert day_of(8).asked == ()


def test_the_best_set_is_the_one_that_was_measured():
    best = day_of(9, 6, targets=[9, 7]).best

    assert not best.at_least
    assert best.kg < BODY * (1 + 9 / 30)


def test_warm_ups_and_exercises_without_strength_are_left_out():
    warm = make_sets(PULL_UP, [5], 0, targets=[5], warm_up=True)

    assert shown_strength([make_logged_session(warm, on=day(0))]) == {}


def test_every_exercise_has_days_of_its_own_oldest_first():
    row = make_exercise("row")
    sessions = [
        make_logged_session([*make_sets(PULL_UP, [8]), *make_sets(row, [8])], on=day(n))
        for n in (0, 2)
    ]

    found = shown_strength(sessions)

    assert [d.on for d in found["row"]] == [d.on for d in found["pull-up"]] == [day(0), day(2)]


def planned(targets, kind=WeekKind.BUILD):
    sessions = [
        make_logged_session(make_sets(PULL_UP, [t], targets=[t]), on=day(7 * n), kind=kind)
        for n, t in enumerate(targets)
    ]
    return shown_strength(sessions)["pull-up"]


def test_a_day_that_asks_less_than_usual_is_lighter_work():
    assert lighter_days(planned([8, 8, 8, 4, 8])) == (day(21),)


def test_two_earlier_days_show_nothing_usual():
    assert lighter_days(planned([8, 8, 4])) == ()


def test_a_deload_week_is_told_as_such_and_not_as_lighter_work():
    assert lighter_days(planned([8, 8, 8, 4], WeekKind.DELOAD)) == ()
