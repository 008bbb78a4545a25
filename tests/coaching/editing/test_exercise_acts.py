"""An exercise put into a session, and one taken out."""

from datetime import timedelta

import pytest

from coaching.blocks.errors import BlockError
from tests.coaching.editing.plans import (
    CURL,
    DIP,
    HANG,
    PRESS,
    PUSH_UP,
    ROTATION,
    act,
    block,
    line_of,
    shape,
)
from tests.rules.examples import MONDAY


@pytest.mark.parametrize(
    ("part", "sets", "reps", "rest"),
    [
        # Common practice, no source: primary 5 sets of 5-8 with two minutes, supplementary 3 of
        # 8-10 with 90 s, isolation 3 of 8-12 with 60-90 s, prehab 4 of 8.
        ("primary", 5, range(5, 9), range(120, 121)),
        ("supplementary", 3, range(8, 11), range(90, 91)),
        ("isolation", 3, range(8, 13), range(60, 91)),
        ("prehab", 4, range(8, 9), range(901)),
    ],
)
def test_an_exercise_starts_with_what_its_part_usually_asks(part, sets, reps, rest):
    edited = act(block(), "add-exercise", session="w1-b", exercise=str(CURL), part=part)

    line = line_of(edited.snapshot, edited.focus)
    assert len(line["targets"]) == sets
    assert set(line["targets"]) <= set(reps)
    assert line["rest_s"] in rest
    assert edited.what == "Curl added to Upper B, week 1"


def test_an_exercise_goes_to_the_end_of_its_part():
    edited = act(
        block(), "add-exercise", session="w1-a", exercise=str(PUSH_UP), part="supplementary"
    )

    new = edited.focus.split("-")[-1]
    assert shape(edited.snapshot, "w1-a") == f"A push+pull, B {new}, C press+curl, D rot"


def test_an_exercise_goes_after_another_in_its_part_unless_told_otherwise():
    edited = act(block(), "add-exercise", session="w1-b", exercise=str(CURL), after="w1-dip")

    new = edited.focus.split("-")[-1]
    assert shape(edited.snapshot, "w1-b") == f"A dip, B {new}, C row"
    assert edited.snapshot["weeks"][0]["sessions"][1]["pairs"][1]["part"] == "primary"


@pytest.mark.parametrize(
    ("exercise", "part"),
    [(ROTATION, "prehab"), (PUSH_UP, "supplementary"), (PRESS, "isolation")],
)
def test_an_exercise_without_a_place_is_put_where_it_usually_belongs(exercise, part):
    edited = act(block(), "add-exercise", session="w1-b", exercise=str(exercise))

    assert edited.snapshot["weeks"][0]["sessions"][1]["pairs"][-1]["part"] == part


def test_an_exercise_added_onward_comes_into_light_weeks_with_fewer_sets():
    edited = act(
        block(),
        "add-exercise",
        session="w2-b",
        exercise=str(HANG),
        part="primary",
        beside="w2-row",
        reach="onward",
    )

    last = [week["sessions"][1]["pairs"][1]["lines"][-1] for week in edited.snapshot["weeks"]]
    assert [one["name"] for one in last] == ["Row", "Hang", "Hang", "Hang"]
    # 40 % of the usual work in a light week: 2 of 5 sets (common practice, no source).
    assert [len(one["targets"]) for one in last[1:]] == [5, 5, 2]
    assert set(last[1]["targets"]) == {24}
    assert len({one["uid"] for one in last}) == 4


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"session": "w1-a", "part": "middle"}, "Part: “middle” is none; choose one of warm-up"),
        ({"session": "w1-a", "after": "w1-dip"}, "The place to add it at is no longer"),
        ({"session": "w1-a", "beside": "w1-pull"}, "A holds two exercises already"),
        ({"session": "w1-b", "beside": "w1-dip", "part": "warm-up"}, "warm-up is not paired"),
        ({"session": ""}, "Session: nothing was sent"),
        ({"session": "w1-a", "exercise": ""}, "Exercise: nothing was sent"),
    ],
)
def test_an_exercise_that_cannot_be_added_is_refused(fields, message):
    with pytest.raises(BlockError, match=message):
        act(block(), "add-exercise", **{"exercise": str(CURL)} | fields)


def test_an_exercise_is_taken_out_of_every_week_to_come():
    edited = act(block(), "remove-line", line="w2-push", reach="onward")

    assert [shape(edited.snapshot, f"w{n}-a") for n in (1, 2, 4)] == [
        "A push+pull, B press+curl, C rot",
        "A pull, B press+curl, C rot",
        "A pull, B press+curl, C rot",
    ]
    assert edited.focus == "w2-pull"
    assert edited.what == "Push up removed from Upper A, from week 2 on"


def test_letters_follow_when_a_pair_is_gone_and_an_empty_session_stays():
    plan = act(block(), "remove-line", line="w1-dip").snapshot
    assert shape(plan, "w1-b") == "A row"

    edited = act(plan, "remove-line", line="w1-row")

    assert shape(edited.snapshot, "w1-b") == ""
    assert edited.focus == "w1-b"


def test_an_exercise_is_replaced_in_every_session_to_come():
    plan = act(block(), "lock", line="w3-press").snapshot

    edited = act(
        plan, "replace-exercise", MONDAY + timedelta(days=1), exercise=str(CURL), to=str(HANG)
    )

    names = [line_of(edited.snapshot, f"w{n}-curl")["name"] for n in (1, 2, 3, 4)]
    assert names == ["Curl", "Hang", "Curl", "Hang"]
    assert line_of(edited.snapshot, "w4-curl")["targets"] == [40, 40]
    assert edited.what == "Curl → Hang, in every session to come"
    assert edited.skipped == ("Week 3 is left as it is: B of Upper A is locked; unlock it first.",)


def test_an_exercise_is_left_out_of_every_session_to_come():
    edited = act(block(), "leave-out", MONDAY + timedelta(days=1), exercise=str(PUSH_UP))

    assert [shape(edited.snapshot, f"w{n}-a") for n in (1, 2)] == [
        "A push+pull, B press+curl, C rot",
        "A pull, B press+curl, C rot",
    ]


def test_a_session_left_with_nothing_goes_and_some_work_stays():
    plan = act(block("build"), "remove-line", line="w1-row").snapshot

    edited = act(plan, "leave-out", exercise=str(DIP))

    assert [s["name"] for s in edited.snapshot["weeks"][0]["sessions"]] == ["Upper A"]
    plan = act(plan, "remove-session", session="w1-a").snapshot
    with pytest.raises(BlockError, match="Without Dip nothing is left to train"):
        act(plan, "leave-out", exercise=str(DIP))


def test_an_exercise_that_is_not_to_come_is_neither_replaced_nor_left_out():
    with pytest.raises(BlockError, match="it is in no session to come any more"):
        act(block(), "leave-out", exercise=str(HANG))
    with pytest.raises(BlockError, match="To: Curl stands there already"):
        act(block(), "replace-exercise", exercise=str(CURL), to=str(CURL))
