"""The same place in every week."""

from collections import Counter

from hypothesis import given, settings

from coaching.blocks.editing.places import places_in, same_places, same_sessions
from tests.coaching.editing.drawn_plans import all_sessions, drawn_act, drawn_plan
from tests.coaching.editing.plans import act, block, setting, shape
from tests.coaching.editing.test_acts_always import BY_CHANCE, tried


def test_a_place_is_told_in_words_that_hold_in_every_week():
    first, *_, last = block()["weeks"]

    same = same_places(first, last, ["w1-push", "w1-pull", "w4-push"])

    assert same == {"w1-push": "w4-push", "w1-pull": "w4-pull"}


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


def in_common(one, other):
    """How many exercises two sessions share, each in its part."""
    held = [Counter(place[:2] for place in places_in(session)) for session in (one, other)]
    return (held[0] & held[1]).total()


def with_two_of_a_name():
    """Each week Upper B holds what it does, on Thursday, and is called like A, on Monday."""
    plan = block("build", "build", "build")
    return act(plan, "rename-session", session="w1-b", name="Upper A", reach="onward").snapshot


def test_an_edit_finds_its_session_where_one_of_a_name_was_moved_this_week_only():
    plan = with_two_of_a_name()
    plan = act(plan, "move-session", session="w1-a", on="2025-03-08", reach="week").snapshot

    done = act(plan, "add-exercise", session="w1-a", exercise="8", part="prehab", reach="onward")

    for week in ("w1", "w2", "w3"):
        assert len(shape(done.snapshot, f"{week}-a").split(", ")) == 4
        assert shape(done.snapshot, f"{week}-b") == "A dip, B row"
    assert not done.skipped


def test_of_two_alike_the_one_of_the_weekday_is_the_same():
    plan = block("build", "build")
    copied = act(
        plan, "copy-session", session="w1-a", week="2025-03-03", on="2025-03-08", reach="onward"
    ).snapshot
    moved = act(copied, "move-session", session="w1-a", on="2025-03-09", reach="week").snapshot
    first, second = moved["weeks"]
    copies = [week["sessions"][2 - n]["uid"] for n, week in enumerate((first, second), start=1)]
    copies[1] = next(s["uid"] for s in second["sessions"] if s["on"] == "2025-03-15")

    assert same_sessions(first, second)[copies[0]]["uid"] == copies[1]
    assert same_sessions(first, second)["w1-a"]["uid"] == "w2-a"


@settings(max_examples=300)
@given(BY_CHANCE)
def test_an_edit_never_lands_in_the_one_less_alike_of_a_name(rng):
    plan = drawn_plan(rng)
    for _ in range(rng.randint(0, 3)):
        edited = tried(plan, drawn_act(rng, plan), setting())
        plan = edited.snapshot if edited else plan
    sent = {**drawn_act(rng, plan, ("add-exercise",)), "reach": "onward", "beside": ""}
    edited = tried(plan, sent, setting())
    if edited is None:
        return

    was = {session["uid"]: session for session in all_sessions(plan)}
    asked = was[sent["session"]]
    first = next(week for week in plan["weeks"] if asked in week["sessions"])
    for week in plan["weeks"][plan["weeks"].index(first) + 1 :]:
        hit = [s for s in week["sessions"] if s["uid"] in edited.touched]
        assert len(hit) <= 1
        for landed in hit:
            for other in week["sessions"]:
                if other["name"] != asked["name"]:
                    continue
                # Another one is more alike only where it belongs to a session still more alike.
                if in_common(asked, other) > in_common(asked, landed):
                    assert any(
                        in_common(one, other) >= in_common(asked, other)
                        for one in first["sessions"]
                        if one["name"] == other["name"] and one != asked
                    )
