"""The same place in every week."""

from coaching.blocks.editing.places import line_place, same_places
from tests.coaching.editing.plans import act, block


def test_a_place_is_told_in_words_that_hold_in_every_week():
    first, *_, last = block()["weeks"]

    assert line_place(first, "w1-push") == line_place(last, "w4-push")
    assert line_place(first, "w1-push") != line_place(first, "w1-pull")
    assert line_place(first, "w4-push") is None


def test_the_same_exercise_twice_in_a_part_is_told_apart_by_its_turn():
    plan = act(
        block(), "add-exercise", session="w1-a", exercise="1", part="primary", reach="onward"
    )
    added = [week["sessions"][0]["pairs"][1]["lines"][0]["uid"] for week in plan.snapshot["weeks"]]

    first, second = plan.snapshot["weeks"][:2]

    assert same_places(first, second, [added[0], "w1-push", "w1-b", "gone"]) == {
        added[0]: added[1],
        "w1-push": "w2-push",
        "w1-b": "w2-b",
    }


def test_the_second_session_of_a_name_is_another_place():
    plan = act(
        block(), "copy-session", session="w1-b", week="2025-03-03", on="2025-03-08", reach="onward"
    ).snapshot
    first, second = plan["weeks"][:2]
    copies = [week["sessions"][2]["uid"] for week in (first, second)]

    assert same_places(first, second, [copies[0], "w1-b"]) == {
        copies[0]: copies[1],
        "w1-b": "w2-b",
    }
