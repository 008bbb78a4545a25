"""Where an exercise stands, and beside which other one."""

import pytest

from coaching.blocks.errors import BlockError
from tests.coaching.editing.plans import act, block, line_of, shape


def test_an_exercise_moves_out_of_its_pair_and_stays_alone():
    edited = act(block(), "move-line", line="w1-pull", session="w1-a", before="w1-curl")

    assert shape(edited.snapshot, "w1-a") == "A push, B pull, C press+curl, D rot"
    assert edited.what == "Pull up moved before Curl, Upper A, week 1"


def test_an_exercise_moves_to_another_session_in_every_week_to_come():
    edited = act(block(), "move-line", line="w2-press", session="w2-b", reach="onward")

    assert [shape(edited.snapshot, f"w{n}-b") for n in (1, 2, 3, 4)] == [
        "A dip, B row",
        *["A dip, B row, C press"] * 3,
    ]
    assert shape(edited.snapshot, "w4-a") == "A push+pull, B curl, C rot"
    assert line_of(edited.snapshot, "w2-press") == line_of(block(), "w2-press")


def test_an_exercise_moves_beside_another():
    edited = act(block(), "move-line", line="w1-press", session="w1-b", beside="w1-dip")

    assert shape(edited.snapshot, "w1-b") == "A dip+press, B row"
    assert shape(edited.snapshot, "w1-a") == "A push+pull, B curl, C rot"


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"session": "w2-a"}, "an exercise moves within its week"),
        ({"session": "w1-b", "before": "w1-push"}, "The place to move to is no longer"),
        ({"session": "w1-a", "beside": "w1-press"}, "B holds two exercises already"),
        ({"session": "w1-a", "beside": "w1-push"}, "A holds two exercises already|stands there"),
        ({"session": "w1-a", "beside": "w1-pull"}, "is not paired with itself"),
        ({"session": "nowhere"}, "This session is no longer in the plan"),
    ],
)
def test_a_move_that_cannot_be_is_refused(fields, message):
    with pytest.raises(BlockError, match=message):
        act(block(), "move-line", line="w1-pull", **fields)


def test_a_move_to_the_same_place_is_refused():
    with pytest.raises(BlockError, match="It stands there already"):
        act(block(), "move-line", line="w1-dip", session="w1-b", before="w1-row")
