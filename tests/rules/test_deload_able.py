"""A light week from what can be done. Worked cases: common practice, no source, and by hand."""

import pytest

from coaching.rules.deload import light_week
from coaching.rules.deload_able import able_now
from coaching.rules.plan import LoadKind, Measure, Part, Plane
from tests.rules.examples import (
    MONDAY,
    make_exercise,
    make_prescription,
    make_pull_up,
    make_session,
    make_sets,
    make_week,
)

ROW = make_exercise("row", load_kind=LoadKind.EXTERNAL, body_share=0, plane=Plane.HORIZONTAL)
LOADS = (8.0, 9.0, 10.0, 11.0, 12.0)


def asked(exercise=ROW, targets=(8, 8, 8), load=11.0, rir=2):
    return make_prescription(exercise, targets, load, part=Part.SUPPLEMENTARY, rir=rir)


def done(amounts, load=11.0, exercise=ROW, targets=(8, 8, 8), rir=None):
    return make_sets(exercise, amounts, load, targets=targets, rir=rir)


def test_three_of_eight_at_eleven_are_no_load_for_a_light_week():
    # Half of 8 with 4 left is 8 to failure. Epley: 11 kg x (1 + 3/30) / (1 + 8/30) = 9.55 kg.
    found = able_now(asked(), done((3, 3, 3)), LOADS, 70)

    assert found is not None
    assert found.load == 9.0
    assert min(found.sets) >= 8
    assert found.most <= min(found.sets) - 4


def test_what_went_as_planned_says_nothing():
    assert able_now(asked(), done((8, 8, 8)), LOADS, 70) is None
    assert able_now(asked(), done((8, 8, 8), rir=2), LOADS, 70) is None
    assert able_now(asked(), (), LOADS, 70) is None


def test_less_in_reserve_than_asked_counts_and_what_is_left_is_added():
    found = able_now(asked(), done((8, 8, 8), rir=0), LOADS, 70)

    assert found is not None
    assert (found.load, found.sets, found.most) == (11.0, (8, 8, 8), 4)


def test_where_nothing_is_lighter_half_of_what_can_be_done_is_left():
    pull_up = make_pull_up(load_kind=LoadKind.NONE)
    sets = done((5, 4, 4, 4, 3), 0.0, pull_up, (6, 6, 5, 5, 5))

    found = able_now(asked(pull_up, (6, 6, 5, 5, 5), 0.0), sets, (), 70)

    assert found is not None
    assert (found.load, found.sets, found.most) == (0.0, (5, 4, 4, 4, 3), 2)
    assert (found.reserve((2, 2)), found.reserve((2,) * 5)) == (2, 1)


def test_a_hold_that_fell_short_is_halved():
    hold = make_exercise("hold", load_kind=LoadKind.NONE, measure=Measure.SECONDS)

    found = able_now(
        asked(hold, (30, 30, 30), 0.0), done((20, 20, 15), 0.0, hold, (30, 30, 30)), (), 70
    )

    assert found is not None
    assert found.most == 8


@pytest.mark.parametrize("amounts", [(3, 3, 3), (6, 5, 5), (7, 7, 7)])
def test_no_light_set_leaves_less_than_the_reserve_of_what_was_done(amounts):
    prescription = asked()
    usual = make_week(make_session(prescription), starts_on=MONDAY)
    able = able_now(prescription, done(amounts), LOADS, 70)
    assert able is not None

    proposal = light_week(usual, starts_on=MONDAY, able={prescription.key: able})

    (light,) = proposal.week.sessions[0].prescriptions
    assert light.load <= 11
    assert max(light.targets) <= min(able.sets) - 4
    assert light.rir == able.reserve(light.targets) >= 4
    assert "load from 11 to" in proposal.changes[0].why
