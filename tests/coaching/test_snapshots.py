"""A block as plain data: the way to the rules' values, and edits that touch only what they name."""

from datetime import date, timedelta

import pytest

from coaching.blocks.models import Week
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.queries import week_value
from coaching.blocks.snapshot_writer import write_snapshot
from coaching.blocks.snapshots import (
    lines_of,
    moved,
    week_as_value,
    with_lines_changed,
)
from coaching.library.queries import exercise_values
from tests.factories.blocks import published_block

pytestmark = pytest.mark.django_db


@pytest.fixture
def block(cleo, today):
    return published_block(cleo, today - timedelta(days=9), "upper-lower")


def reps_doubled(_pair, line):
    return {**line, "targets": [2 * target for target in line["targets"]]}


def test_a_week_reads_the_same_from_a_snapshot_and_from_its_rows(block):
    snapshot = snapshot_of(block)
    exercises = exercise_values(ln["exercise"] for _, ln in lines_of(snapshot))

    values = [
        week_as_value(data, number, exercises)
        for number, data in enumerate(snapshot["weeks"], start=1)
    ]

    assert values == [week_value(week) for week in Week.objects.filter(block=block)]


def test_a_week_moved_and_moved_back_is_the_same_week(block):
    week = snapshot_of(block)["weeks"][0]

    assert moved(moved(week, 7), -7) == week
    assert date.fromisoformat(moved(week, 7)["starts_on"]) == block.starts_on + timedelta(days=7)


def test_a_change_from_a_day_on_leaves_earlier_sessions_and_light_weeks(block, today):
    before = snapshot_of(block)

    after = with_lines_changed(before, lambda *_: True, reps_doubled, since=today)

    kinds = {s["uid"]: week["kind"] for week in before["weeks"] for s in week["sessions"]}
    was = {ln["uid"]: ln["targets"] for _, ln in lines_of(before)}
    for session, line in lines_of(after):
        stays = session["on"] < today.isoformat() or kinds[session["uid"]] == "deload"
        assert line["targets"] == [(1 if stays else 2) * t for t in was[line["uid"]]]


def test_reading_a_snapshot_takes_one_query(block, django_assert_num_queries):
    with django_assert_num_queries(1):
        snapshot_of(block)


def test_what_is_locked_stays_locked_in_rows_and_snapshot(block, today):
    snapshot = snapshot_of(block)
    session = snapshot["weeks"][-1]["sessions"][0]
    session["locked"] = True
    session["pairs"][0]["locked"] = True

    write_snapshot(block=block, snapshot=snapshot, today=today)

    assert snapshot_of(block) == snapshot
    del session["locked"]
    write_snapshot(block=block, snapshot=snapshot, today=today)
    assert snapshot_of(block) == snapshot
