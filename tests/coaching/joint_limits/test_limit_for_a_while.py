"""A limit that begins and ends inside a block, or inside a week: it counts on its days alone."""

from datetime import timedelta

import pytest

from coaching.blocks.limit_queries import avoided_findings, joints_of
from tests.coaching.joint_limits.limited import WRIST, avoid, loading

pytestmark = pytest.mark.django_db


def planned_on(block, exercise):
    rows = [row for row in loading(block, WRIST) if row.exercise == exercise]
    return sorted({row.pair.planned_session.on for row in rows})


def avoid_between(client, since, until):
    """To be avoided from one day to the one before another."""
    limit = avoid(client, WRIST, since)
    limit.until = until
    limit.save(update_fields=["until"])
    return limit


def test_a_limit_between_the_first_and_the_last_day_is_told_in_the_review(
    cleo, block, day, django_assert_max_num_queries
):
    exercise = loading(block, WRIST)[0].exercise
    first, *between, last = planned_on(block, exercise)
    avoid_between(cleo, first + timedelta(days=1), last)
    joints = joints_of(cleo)

    with django_assert_max_num_queries(3):
        told = avoided_findings({cleo.pk: joints}, day)

    assert between
    assert exercise.key in {one.exercise for one in told[cleo.pk]}


def test_a_limit_that_no_planned_day_meets_is_not_told(cleo, block, day):
    every = {row.pair.planned_session.on for row in loading(block, WRIST)}
    week = [min(every) + timedelta(days=n) for n in range(7)]
    free = next(on for on in week if on not in every)
    avoid_between(cleo, free, free + timedelta(days=1))

    assert avoided_findings({cleo.pk: joints_of(cleo)}, day) == {}
