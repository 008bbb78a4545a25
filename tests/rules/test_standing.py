"""Where a client begins with an exercise: the load for the plan's repetitions, else the own ones.

Epley (1985) puts one maximum at load × (1 + reps/30), Brzycki (1993) at load × 36/(37 − reps);
worked by hand below. That the beginning is never above what was done is a choice of this tool.
"""

from datetime import date

import pytest

from coaching.rules.plan import Chain, EquipmentKind, LoadKind, Measure, Plane
from coaching.rules.standing import Standing, begins, hardest
from tests.rules.examples import make_exercise

DAY = date(2026, 11, 20)
PRESS = make_exercise(
    "press", chain=Chain.OPEN, load_kind=LoadKind.EXTERNAL, body_share=0.0, plane=Plane.HORIZONTAL
)
FLOOR = make_exercise("push-up", load_kind=LoadKind.NONE)
LOADS = tuple(float(kg) for kg in range(10, 40))


def begin(exercise, standing, targets, loads=LOADS, *, highest=0, most=8, body=70.0):
    return begins(exercise, standing, (targets, highest or max(targets)), loads, body, most)


def test_fewer_repetitions_are_asked_with_the_load_that_the_client_can_then_do():
    # From 7 to 5 of 20 kg: Epley 20 × 1.2333/1.1667 = 21.14, Brzycki 20 × 1.2/1.125 = 21.33.
    found = begin(PRESS, Standing(DAY, (8, 8, 7, 7, 7), 20.0), (5,) * 5)

    assert (found.load, found.shifts) == (21.0, ())


def test_more_repetitions_are_asked_with_less():
    # From 5 to 8 of 20 kg: Epley 20 × 1.1667/1.2667 = 18.42, Brzycki 20 × 1.125/1.2414 = 18.13.
    found = begin(PRESS, Standing(DAY, (5, 5, 5), 20.0), (8,) * 3)

    assert (found.load, found.shifts) == (18.0, ())


def test_a_load_rises_by_no_more_than_a_step_that_would_be_named():
    # From 12 to 5 Brzycki alone would allow 20 × 1.44/1.125 = 25.6 kg; a tenth more is 22 kg.
    assert begin(PRESS, Standing(DAY, (12, 12), 20.0), (5, 5)).load == 22.0


MOST = [{"hurt": True}, {"weeks_ago": 11}, {"is_logged": False}]


@pytest.mark.parametrize("why", MOST)
def test_after_pain_or_long_ago_or_of_a_plan_alone_no_step_goes_on(why):
    """What hurt is asked no more of than the plan says: common practice, no source."""
    found = begin(PRESS, Standing(DAY, (12, 12), 20.0, **why), (5, 5))

    assert (found.load, found.shifts) == (20.0, ())


@pytest.mark.parametrize("why", MOST)
def test_nor_more_of_a_weight_than_the_plan_writes(why):
    standing = Standing(DAY, (12, 12, 12), 20.0, **why)
    found = begins(PRESS, standing, ((5, 5, 5), 5), LOADS, 70.0, 8, written=15.0)

    assert (found.load, found.shifts) == (15.0, ())


@pytest.mark.parametrize("why", MOST)
def test_nor_repetitions_above_the_plans_or_above_those_done(why):
    assert begin(FLOOR, Standing(DAY, (12, 12), 0.0, **why), (5, 5), (0.0,)).shifts == ()
    assert begin(FLOOR, Standing(DAY, (4, 3), 0.0, **why), (5, 5), (0.0,)).shifts == (-1, -2)


def test_what_the_equipment_makes_no_more_is_no_beginning():
    assert begin(PRESS, Standing(DAY, (12, 12), 200.0), (12, 12), (10.0, 40.0)).load == 40.0


def test_more_sets_than_were_done_at_no_less_load_are_harder():
    assert begin(PRESS, Standing(DAY, (8, 8, 8), 20.0), (8,) * 5).is_harder
    assert not begin(PRESS, Standing(DAY, (8,) * 5, 20.0), (8,) * 5).is_harder
    assert not begin(PRESS, Standing(DAY, (8,), 20.0, sets=5), (8,) * 5).is_harder


def test_of_a_heavy_and_a_light_day_the_heavy_one_is_what_can_be_done_at_the_most():
    heavy, light = Standing(DAY, (6,) * 5, 60.0), Standing(DAY, (8,) * 5, 40.0)

    assert hardest(PRESS, (light, heavy), 70.0) is heavy


def test_where_nothing_heavier_can_be_made_the_own_repetitions_begin_within_the_range():
    found = begin(FLOOR, Standing(DAY, (10, 10, 7), 0.0), (5,) * 5, (0.0,))

    assert (found.load, found.shifts, found.is_easier) == (0.0, (3, 3, 2, 2, 2), True)


def test_where_nothing_lighter_can_be_made_no_more_is_asked_than_was_done():
    found = begin(FLOOR, Standing(DAY, (6, 5, 5), 0.0), (8, 8, 8), (0.0,))

    assert (found.load, found.shifts, found.is_easier) == (0.0, (-2, -3, -3), False)


def test_a_hold_keeps_its_own_seconds():
    hold = make_exercise("hold", measure=Measure.SECONDS, load_kind=LoadKind.NONE)

    found = begin(hold, Standing(DAY, (20, 20), 0.0), (10, 10), (0.0,), most=30)

    assert found.shifts == (10, 10)


def test_without_a_body_weight_a_load_on_the_body_does_not_change():
    dip = make_exercise("dip", equipment=[EquipmentKind.DIP_BARS])

    found = begin(dip, Standing(DAY, (8, 8), 5.0), (5, 5), (0.0, 5.0, 10.0), body=None)

    assert (found.load, found.shifts) == (5.0, (3, 3))


def test_what_was_done_is_said_as_it_was():
    dip = make_exercise("dip")

    assert Standing(DAY, (8, 8, 7), 0.0).words(dip) == "8-8-7 at body weight on 20 Nov"
    planned = Standing(DAY, (5, 5), 7.5, is_logged=False)
    assert planned.words(dip) == "2 × 5 at +7.5 kg as planned for 20 Nov"
