"""What was done of a block (sessions/block_done/page.html), counted by hand beside each check."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from coaching.blocks.models import PlannedSession
from sessions.pages_block_done import block_done
from tests.factories.blocks import published_block
from tests.factories.sessions import log_session


@pytest.fixture
def block(cleo, today):
    return published_block(cleo, today - timedelta(days=today.weekday() + 7))


def planned_in(block, number):
    return list(PlannedSession.objects.filter(week__block=block, week__number=number))


def cells(page, muscle):
    (row,) = (one for one in page.rows if one.label == muscle)
    return [(one.done, one.planned) for one in row.cells]


def test_a_week_that_was_done_as_planned_has_the_sets_of_the_plan(block, cleo, today):
    for session in planned_in(block, 1):
        log_session(cleo, session)

    page = block_done(block, today)

    first, second = page.weeks
    assert [one.number for one in page.weeks] == [1, 2]
    assert (first.is_running, second.is_running) == (False, True)
    assert all(row.cells[0].done == row.cells[0].planned for row in page.rows)
    assert not any(cell.is_short for row in page.rows for cell in row.cells)
    assert all(row.cells[1].done == "0" for row in page.rows)


def test_a_session_that_was_left_out_is_missing_from_the_sets(block, cleo, today):
    first, *others = planned_in(block, 1)
    log_session(cleo, first)

    page = block_done(block, today)

    short = [row.label for row in page.rows if row.cells[0].is_short]
    assert others
    assert "chest" in short


def test_the_block_before_is_told_as_it_was_done(cleo, today):
    monday = today - timedelta(days=today.weekday())
    earlier = published_block(cleo, monday - timedelta(weeks=7))
    usual = earlier.weeks.filter(kind="build")
    for session in PlannedSession.objects.filter(week__in=usual, on__lt=monday):
        log_session(cleo, session)
    block = published_block(cleo, monday)

    page = block_done(block, today)

    # Every usual week was done as planned, so a usual week as done is the week as planned.
    (first,) = (one for one in block_done(earlier, today).weeks if one.number == 1)
    planned = {muscle.value: volume.fractional_sets for muscle, volume in first.planned.items()}
    assert page.last_block == "block 1"
    assert {row.label: float(row.last_block) for row in page.rows} == planned


def test_the_part_says_it_when_nothing_is_done(client, ana, cleo):
    client.force_login(ana)
    block = published_block(cleo, timezone.localdate() + timedelta(days=30))

    part = client.get(
        reverse("sessions:block-done", args=[block.pk]), headers={"HX-Request": "true"}
    )

    assert "Nothing of this block is done yet" in part.content.decode()
    assert "<html" not in part.content.decode()
