"""What a strip and its spine say: runs of another exercise, rests that differ, the light week."""

import re

import pytest

from coaching.blocks.editing.draft_services import draft_of
from coaching.blocks.snapshots import lines_of
from coaching.library.models import Exercise
from tests.coaching.block_page.acting import act, open_page
from tests.factories.blocks import published_block


@pytest.fixture
def block(cleo, today):
    return published_block(cleo, today, "beginner-full-body")


def part_of(page, uid):
    return re.split(r"data-line=", page.split(f'data-line="{uid}"')[1])[0]


def test_a_run_of_another_exercise_is_named_and_goes_on_by_a_sign(ana, block, today):
    weeks = draft_of(block, today).snapshot["weeks"]
    line = weeks[1]["sessions"][0]["pairs"][0]["lines"][0]
    held = {one["exercise"] for _, one in lines_of({"weeks": weeks})}
    other = Exercise.objects.exclude(pk__in=held).filter(
        pattern=Exercise.objects.get(pk=line["exercise"]).pattern, equipment=[], level="beginner"
    )[0]
    act(ana, block, act="swap-line", line=line["uid"], exercise=str(other.pk), reach="onward")

    first = weeks[0]["sessions"][0]["pairs"][0]["lines"][0]
    part = part_of(open_page(ana, block).content.decode(), first["uid"])

    count = len(weeks) - 1
    assert part.count("is-other") == count > 1
    assert part.count(f'<span class="strip-other">{other.name}</span>') == 1
    assert part.count('<span class="strip-other" aria-hidden="true">″</span>') == count - 1


def test_rests_that_differ_stand_with_their_exercise(ana, block, today):
    first, second = draft_of(block, today).snapshot["weeks"][0]["sessions"][0]["pairs"][0]["lines"]
    act(ana, block, act="change-line", line=first["uid"], rest_s="0", reach="onward")

    page = open_page(ana, block).content.decode()

    assert "no rest" in part_of(page, first["uid"])
    assert "rest 0 s" not in page
    assert f"rest {second['rest_s'] // 60} min" in part_of(page, second["uid"])


def test_what_was_found_stands_before_the_chart(ana, block):
    page = open_page(ana, block).content.decode()

    assert page.index('id="findings"') < page.index('id="week-volume-title"')
