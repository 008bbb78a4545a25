"""Where an exercise stands, and beside which other one."""

import pytest

from coaching.blocks.editing.acts import apply_act
from coaching.blocks.errors import BlockError
from tests.coaching.editing.plans import act, block, line_of, setting, shape


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


@pytest.mark.parametrize(
    ("before", "expected"),
    [
        ("w1-push", "A rot, B push+pull, C press+curl"),
        ("w1-curl", "A push+pull, B rot, C press+curl"),
    ],
)
def test_a_pair_moves_as_a_whole(before, expected):
    edited = act(block(), "move-pair", line="w1-rot", session="w1-a", before=before)

    assert shape(edited.snapshot, "w1-a") == expected


def test_a_pair_moves_to_another_session():
    edited = act(block(), "move-pair", line="w1-pull", session="w1-b", before="w1-row")

    assert shape(edited.snapshot, "w1-a") == "A press+curl, B rot"
    assert shape(edited.snapshot, "w1-b") == "A dip, B push+pull, C row"
    assert edited.what == "Push up and Pull up moved before Row, Upper B, week 1"


@pytest.mark.parametrize(
    ("name", "fields", "expected"),
    [
        ("order-pair", {"line": "w1-curl", "by": "-1"}, "A press+curl, B push+pull, C rot"),
        ("order-pair", {"line": "w1-curl", "by": "1"}, "A push+pull, B rot, C press+curl"),
        ("turn-pair", {"line": "w1-curl"}, "A push+pull, B curl+press, C rot"),
        ("unpair", {"line": "w1-curl"}, "A push+pull, B press, C curl, D rot"),
        ("pair-lines", {"line": "w1-curl", "with": "w1-rot"}, "A push+pull, B press, C curl+rot"),
        ("pair-lines", {"line": "w1-rot", "with": "w1-push"}, "A holds two"),
    ],
)
def test_pairs_change_in_their_session(name, fields, expected):
    raw = {"act": name, **fields}
    if expected == "A holds two":
        with pytest.raises(BlockError, match="A holds two exercises already"):
            apply_act(block(), raw, setting())
        return

    edited = apply_act(block(), raw, setting())

    assert shape(edited.snapshot, "w1-a") == expected
    assert edited.focus == fields["line"]


def test_a_part_is_given_to_the_pair_and_its_place_stays():
    edited = act(block(), "set-part", line="w1-rot", part="isolation", reach="onward")

    parts = [week["sessions"][0]["pairs"][2]["part"] for week in edited.snapshot["weeks"]]
    assert parts == ["isolation"] * 4
    assert edited.what == "Rotation as isolation, Upper A, from week 1 on"


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"act": "order-pair", "line": "w1-pull", "by": "-1"}, "A is the first already"),
        ({"act": "order-pair", "line": "w1-rot", "by": "1"}, "C is the last already"),
        ({"act": "turn-pair", "line": "w1-rot"}, "C holds one exercise only"),
        ({"act": "unpair", "line": "w1-rot"}, "C holds one exercise only"),
        ({"act": "set-part", "line": "w1-rot"}, "Part: nothing was sent"),
        ({"act": "set-part", "line": "w1-rot", "part": "prehab"}, "Nothing differs"),
        ({"act": "pair-lines", "line": "w1-rot", "with": "w1-dip"}, "is in another session"),
        ({"act": "pair-lines", "line": "w1-push", "with": "w1-pull"}, "one pair already"),
        ({"act": "move-pair", "line": "w1-push", "session": "w1-a", "before": "w1-pull"}, "there"),
    ],
)
def test_an_act_on_a_pair_that_cannot_be_is_refused(fields, message):
    with pytest.raises(BlockError, match=message):
        apply_act(block(), fields, setting())


def test_warm_up_is_not_paired_with_work():
    plan = act(block(), "set-part", line="w1-dip", part="warm-up").snapshot

    with pytest.raises(BlockError, match="Part: warm-up is not paired with working sets"):
        act(plan, "pair-lines", line="w1-dip", with_="w1-row")


def test_what_is_locked_stays_until_it_is_unlocked():
    locked = act(block(), "lock", line="w1-push", reach="onward")
    assert locked.what == "A of Upper A locked, from week 1 on"

    for fields in (
        {"act": "change-line", "line": "w1-pull", "rir": "1"},
        {"act": "move-line", "line": "w1-rot", "session": "w1-a", "beside": "w1-push"},
        {"act": "remove-line", "line": "w1-push"},
        {"act": "remove-session", "session": "w1-a"},
        {"act": "move-pair", "line": "w1-push", "session": "w1-b"},
    ):
        with pytest.raises(BlockError, match="A of Upper A is locked; unlock it first"):
            apply_act(locked.snapshot, fields, setting())
    assert act(locked.snapshot, "unlock", line="w1-push", reach="onward").snapshot == block()


def test_a_locked_session_stays_as_a_whole():
    plan = act(block(), "lock", session="w1-a").snapshot

    for fields in (
        {"act": "nudge-line", "line": "w1-rot", "field": "sets", "by": "1"},
        {"act": "move-line", "line": "w1-dip", "session": "w1-a"},
        {"act": "rename-session", "session": "w1-a", "name": "Push"},
        {"act": "remove-week", "week": "2025-03-03"},
    ):
        with pytest.raises(BlockError, match="Upper A is locked; unlock it first"):
            apply_act(plan, fields, setting())
    with pytest.raises(BlockError, match="It is locked already"):
        act(plan, "lock", session="w1-a")
    assert act(plan, "unlock", session="w1-a").snapshot == block()


def test_a_locked_pair_keeps_its_place_and_others_move_around_it():
    plan = act(block(), "lock", line="w1-press").snapshot

    up = act(plan, "order-pair", line="w1-rot", by="-1").snapshot
    assert shape(up, "w1-a") == "A rot, B press+curl, C push+pull"
    assert act(up, "order-pair", line="w1-rot", by="1").snapshot == plan
    first = act(plan, "move-pair", line="w1-rot", session="w1-a", before="w1-push").snapshot
    assert first == up
    alone = act(plan, "move-line", line="w1-rot", session="w1-a", before="w1-push").snapshot
    assert alone == up


def test_at_the_edge_a_locked_pair_is_not_passed():
    plan = act(block(), "lock", line="w1-rot").snapshot
    plan = act(plan, "lock", line="w1-push").snapshot

    for by, letter in (("1", "C"), ("-1", "A")):
        with pytest.raises(BlockError, match=f"{letter} is locked and keeps its place; unlock it"):
            act(plan, "order-pair", line="w1-press", by=by)
    with pytest.raises(BlockError, match="What is locked keeps its own"):
        act(plan, "move-pair", line="w1-press", session="w1-a", before="w1-push")


def test_where_a_pair_comes_or_goes_before_it_the_letter_of_a_locked_one_follows():
    plan = act(block(), "lock", line="w1-press").snapshot

    without = act(plan, "move-pair", line="w1-push", session="w1-b").snapshot
    assert shape(without, "w1-a") == "A press+curl, B rot"
    more = act(plan, "unpair", line="w1-push").snapshot
    assert shape(more, "w1-a") == "A push, B pull, C press+curl, D rot"
