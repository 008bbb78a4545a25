"""A session made to end on time in one act."""

from dataclasses import replace

import pytest

from coaching.blocks.block_findings import WEEK
from coaching.blocks.editing.acts import apply_act
from coaching.blocks.editing.places import EditSetting
from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import SessionData, Snapshot, lines_of, week_as_value
from coaching.rules.plan import Level, Muscle, Pattern, Plane
from coaching.rules.session_clock import session_minutes
from tests.coaching.editing.plans import CURL, EXERCISES, act, block, line, pair
from tests.rules.examples import MONDAY, make_exercise

CALF = 30


def session(uid, on, *pairs) -> SessionData:
    return {"uid": uid, "name": uid, "on": on.isoformat(), "pairs": list(pairs)}


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


def calf(uid, **more):
    return {**line(uid, CURL, [10] * 5, **more), "exercise": CALF, "name": "Calf"}


def one_long(level):
    """Calves 10 sets in all, biceps 15, in one session of two exercises alone."""
    first = pair("A", "isolation", line("curl", CURL, [10] * 5, rest_s=90))
    last = pair("B", "isolation", calf("calf", rest_s=90))
    others = [
        pair("A", "isolation", line("curl2", CURL, [10] * 10)),
        pair("B", "isolation", calf("calf2")),
    ]
    sessions = [session("s1", MONDAY, first, last), session("s2", MONDAY + WEEK / 2, *others)]
    plan: Snapshot = {
        "weeks": [{"starts_on": MONDAY.isoformat(), "kind": "build", "sessions": sessions}]
    }
    calves = make_exercise("calf", Pattern.LEGS, muscles={Muscle.CALVES: 1.0}, plane=Plane.NONE)
    curl = replace(EXERCISES[CURL], pattern=Pattern.LEGS)
    known = {CURL: curl, CALF: calves}
    raw = {"act": "shorten-session", "session": "s1", "minutes": "27", "reach": "week"}
    after = apply_act(plan, raw, EditSetting(MONDAY, exercises=known, level=level)).snapshot
    return [len(ln["targets"]) for _, ln in lines_of(after) if ln["uid"] in {"curl", "calf"}]


def test_sets_go_first_where_they_put_no_muscle_under_its_range():
    # From the end of the session on without a level; with one calves keep the 10 of their range.
    without, known = one_long(None), one_long(Level.INTERMEDIATE)

    assert without[1] < 5
    assert known[1] == 5
    assert known[0] < 5
