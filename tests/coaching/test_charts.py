"""A week's sets per muscle around the spine: where each muscle stands and how long it is."""

import pytest

from coaching.blocks.charts import CENTRE, PULL_SIDE, PUSH_SIDE, spine_volume
from coaching.rules.balance import Tally
from coaching.rules.plan import Muscle
from coaching.rules.volume_range import VolumeLine, VolumeVerdict


def line(muscle, sets, verdict=VolumeVerdict.WITHIN, done=None):
    return VolumeLine(muscle, sets, done, 10.0, 20.0, verdict)


def drawn(*lines, **options):
    return spine_volume(lines, chart_id="week", title="Week 2, sets per muscle", **options)


def test_every_muscle_has_one_place():
    places = [*PUSH_SIDE, *PULL_SIDE, *CENTRE]

    assert sorted(places) == sorted(Muscle)


def test_muscles_that_push_stand_left_and_their_opposites_right():
    chart = drawn(line(Muscle.TRICEPS, 11), line(Muscle.BICEPS, 12))

    (row,) = chart.rows
    assert row.left is not None
    assert row.right is not None
    assert (row.left.label, row.right.label) == ("triceps", "biceps")


def test_both_sides_share_one_scale():
    chart = drawn(line(Muscle.CHEST, 10), line(Muscle.UPPER_BACK, 20))

    (row,) = chart.rows
    assert row.left is not None
    assert row.right is not None
    assert row.right.bar == pytest.approx(2 * row.left.bar)
    assert row.left.low_x == row.left.bar
    assert row.left.high_x == row.right.bar


def test_nothing_reaches_past_the_edge():
    chart = drawn(line(Muscle.UPPER_BACK, 46.5, VolumeVerdict.ABOVE), line(Muscle.CHEST, 12))

    lengths = [
        x for row in chart.rows for s in (row.left, row.right) if s for x in (s.bar, s.high_x)
    ]
    assert max(lengths) <= 100


def test_a_muscle_below_its_range_is_marked_and_its_range_told():
    chart = drawn(line(Muscle.BICEPS, 7.0, VolumeVerdict.BELOW))

    side = chart.rows[0].right
    assert side is not None
    assert side.outside
    assert (side.value_text, side.usual) == ("7", "10–20")


def test_what_was_done_is_drawn_instead_of_the_plan():
    chart = drawn(line(Muscle.LATS, 14.0, done=9.5))

    assert chart.rows[0].right is not None
    assert chart.rows[0].right.value_text == "9.5"


def test_a_light_week_has_no_range():
    chart = drawn(line(Muscle.LATS, 5.0, VolumeVerdict.LIGHT_BY_PLAN))

    side = chart.rows[0].right
    assert side is not None
    assert (side.low_x, side.high_x, side.usual, side.outside) == (None, None, "", False)
    assert "Light by plan" in chart.note


def test_two_charts_can_share_a_scale():
    alone = drawn(line(Muscle.LATS, 8.0), widest=40)

    assert alone.rows[0].right is not None
    assert alone.rows[0].right.bar == pytest.approx(98 * 8 / 40)


def test_muscles_that_neither_push_nor_pull_are_told_below_the_axis():
    chart = drawn(line(Muscle.ABS, 8.0, VolumeVerdict.BELOW))

    assert chart.rows == ()
    assert [(one.label, one.value_text, one.outside) for one in chart.centre] == [
        ("abs", "8", False)
    ]


def test_the_balance_is_said_in_sets_and_as_a_ratio():
    chart = drawn(line(Muscle.LATS, 8.0), balance=Tally(28, 28, 200, 190))

    assert chart.balance == "push 28 sets · pull 28 sets · 1.00"


def test_a_balance_without_a_pull_has_no_ratio():
    chart = drawn(line(Muscle.CHEST, 8.0), balance=Tally(8, 0, 60, 0))

    assert chart.balance == "push 8 sets · pull 0 sets"
