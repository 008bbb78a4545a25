"""A session made to end on time in one act."""

import pytest

from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import week_as_value
from coaching.rules.session_clock import session_minutes
from tests.coaching.editing.plans import EXERCISES, act, block


def minutes(plan, week, uid):
    value = week_as_value(plan["weeks"][week - 1], week, EXERCISES)
    (session,) = (one for one in value.sessions if one.key == uid)
    return session_minutes(session).total


def test_every_pair_gives_before_one_is_left_out_and_the_light_week_is_passed_by():
    plan = block()

    edited = act(plan, "shorten-session", session="w2-a", minutes="45", reach="onward")

    assert minutes(plan, 2, "w2-a") > 45
    assert round(minutes(edited.snapshot, 2, "w2-a")) <= 45
    (session,) = (s for s in edited.snapshot["weeks"][1]["sessions"] if s["uid"] == "w2-a")
    assert [len(ln["targets"]) for ln in session["pairs"][0]["lines"]] == [4, 4]
    (before,) = (s for s in plan["weeks"][1]["sessions"] if s["uid"] == "w2-a")
    assert len(session["pairs"]) == len(before["pairs"])
    assert edited.what == "Upper A shortened to 45 min, from week 2 on"
    assert edited.touched == {"w2-a", "w3-a"}
    assert edited.focus == "w2-a"


def test_what_is_short_enough_stays():
    with pytest.raises(BlockError, match="ends within 120 min already"):
        act(block(), "shorten-session", session="w1-a", minutes="120")


def test_what_is_locked_gives_no_set():
    plan = act(block(), "lock", line="w1-press").snapshot

    with pytest.raises(BlockError, match="B of Upper A is locked"):
        act(plan, "shorten-session", session="w1-a", minutes="42")


@pytest.mark.parametrize("typed", ["", "0", "241", "soon"])
def test_minutes_are_read_with_care(typed):
    with pytest.raises(BlockError, match="Minutes: "):
        act(block(), "shorten-session", session="w1-a", minutes=typed)
