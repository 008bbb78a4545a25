"""The same place in every week."""

from coaching.blocks.editing.places import same_places, strip_places
from tests.coaching.editing.plans import act, block


def test_lines_of_one_place_stand_over_each_other():
    plan = block()

    places = strip_places(plan)

    assert places["w1-push"] == places["w4-push"]
    assert len(set(places.values())) == 7


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
    places = strip_places(plan.snapshot)
    assert places[added[0]] == places[added[3]] != places["w1-push"]
