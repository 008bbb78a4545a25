"""Sessions: their name, their day, one more, one less, a copy, their order and pairs."""

from datetime import timedelta

import pytest

from coaching.blocks.editing.acts import apply_act
from coaching.blocks.errors import BlockError
from tests.coaching.editing.plans import act, block, setting, shape
from tests.rules.examples import MONDAY


def names(plan):
    return [[(s["name"], s["on"][5:]) for s in week["sessions"]] for week in plan["weeks"]]


def test_a_session_gets_another_name_from_here_on():
    edited = act(block(), "rename-session", session="w3-a", name=" Upper  body ", reach="onward")

    assert [week[0][0] for week in names(edited.snapshot)] == [
        "Upper A",
        "Upper A",
        "Upper body",
        "Upper body",
    ]
    assert edited.what == "Upper A is called Upper body, from week 3 on"


def test_a_session_moves_to_the_same_day_in_later_weeks_and_stays_in_order():
    edited = act(block(), "move-session", session="w1-a", on="2025-03-07", reach="onward")

    assert names(edited.snapshot)[0] == [("Upper B", "03-06"), ("Upper A", "03-07")]
    assert names(edited.snapshot)[3] == [("Upper B", "03-27"), ("Upper A", "03-28")]
    assert edited.what == "Upper A on Friday, from week 1 on"


@pytest.mark.parametrize(
    ("on", "message"),
    [
        ("2025-03-10", "Day: 10 Mar is not in this week; choose one from 3 Mar to 9 Mar"),
        ("2025-03-04", "Day: 4 Mar is past; choose today or a later day"),
        ("Friday", "Day: “Friday” is no day; write it like 2026-02-03"),
    ],
)
def test_a_session_stays_in_its_week_and_ahead(on, message):
    with pytest.raises(BlockError, match=message):
        act(block(), "move-session", MONDAY + timedelta(days=2), session="w1-b", on=on)


def test_a_session_is_added_to_each_week():
    edited = act(
        block(),
        "add-session",
        week="2025-03-10",
        on="2025-03-11",
        name="Legs",
        reach="onward",
    )

    assert [len(week["sessions"]) for week in edited.snapshot["weeks"]] == [2, 3, 3, 3]
    assert names(edited.snapshot)[1][1] == ("Legs", "03-11")
    assert edited.focus == edited.snapshot["weeks"][1]["sessions"][1]["uid"]


def test_a_session_is_taken_out():
    edited = act(block(), "remove-session", session="w2-a", reach="onward")

    assert [len(week["sessions"]) for week in edited.snapshot["weeks"]] == [2, 1, 1, 1]
    assert edited.focus == "w2-b"


def test_a_session_is_copied_with_uids_of_its_own():
    plan = act(block(), "lock", session="w1-a").snapshot

    edited = act(plan, "copy-session", session="w1-a", week="2025-03-10", on="2025-03-12")

    copy = edited.snapshot["weeks"][1]["sessions"][1]
    assert (copy["name"], copy["on"], copy["uid"]) == ("Upper A", "2025-03-12", edited.focus)
    assert "locked" not in copy
    assert copy["pairs"][0]["lines"][0] == {
        **plan["weeks"][0]["sessions"][0]["pairs"][0]["lines"][0],
        "uid": copy["pairs"][0]["lines"][0]["uid"],
    }
    assert edited.touched == {edited.focus}


def test_a_session_copied_into_later_weeks_is_short_in_light_ones():
    edited = act(
        block(),
        "copy-session",
        session="w1-b",
        week="2025-03-10",
        on="2025-03-15",
        reach="onward",
    )

    added = [week["sessions"][-1] for week in edited.snapshot["weeks"]]
    # 40 % of the usual work in a light week: 2 of 5 and of 4 sets (common practice, no source).
    sets = [[len(p["lines"][0]["targets"]) for p in s["pairs"]] for s in added]
    assert sets == [[5, 4], [5, 4], [5, 4], [2, 2]]


def test_a_usual_session_copied_into_a_light_week_is_light_there():
    edited = act(block(), "copy-session", session="w1-b", week="2025-03-24", on="2025-03-29")

    (copy,) = (s for s in edited.snapshot["weeks"][3]["sessions"] if s["uid"] == edited.focus)
    # 40 % of the usual work in a light week: 2 of 5 and of 4 sets (common practice, no source).
    assert [len(pair["lines"][0]["targets"]) for pair in copy["pairs"]] == [2, 2]


def test_the_second_session_of_a_name_is_found_again_in_later_weeks():
    plan = act(
        block(), "copy-session", session="w1-b", week="2025-03-03", on="2025-03-08", reach="onward"
    )

    edited = act(plan.snapshot, "remove-session", session=plan.focus, reach="onward")

    assert names(edited.snapshot) == names(block())


def test_a_session_that_no_later_week_has_is_removed_without_a_word_of_them():
    plan = act(block(), "copy-session", session="w1-b", week="2025-03-03", on="2025-03-08")

    edited = act(plan.snapshot, "remove-session", session=plan.focus, reach="onward")

    assert names(edited.snapshot) == names(block())
    assert edited.skipped == ()


def test_a_session_is_put_into_the_order_of_the_trade():
    plan = act(block(), "order-pair", line="w1-rot", by="-1").snapshot
    plan = act(plan, "order-pair", line="w1-rot", by="-1").snapshot
    assert shape(plan, "w1-a") == "A rot, B push+pull, C press+curl"

    edited = act(plan, "arrange-session", session="w1-a")

    assert shape(edited.snapshot, "w1-a") == "A push+pull, B press+curl, C rot"
    with pytest.raises(BlockError, match="It stands in order as far as moving helps"):
        act(edited.snapshot, "arrange-session", session="w1-a")


def test_what_is_hardest_to_coordinate_comes_first():
    plan = act(block(), "order-pair", line="w1-dip", by="1").snapshot

    edited = act(plan, "arrange-session", session="w1-b")

    assert shape(edited.snapshot, "w1-b") == "A dip, B row"


def test_a_locked_pair_keeps_its_place_when_the_rest_is_put_into_order():
    plan = act(block(), "order-pair", line="w1-rot", by="-1").snapshot
    plan = act(plan, "order-pair", line="w1-rot", by="-1").snapshot
    plan = act(plan, "order-pair", line="w1-press", by="-1").snapshot
    plan = act(plan, "lock", line="w1-rot").snapshot
    assert shape(plan, "w1-a") == "A rot, B press+curl, C push+pull"

    edited = act(plan, "arrange-session", session="w1-a")

    assert shape(edited.snapshot, "w1-a") == "A rot, B push+pull, C press+curl"


def test_pushes_are_paired_with_pulls_of_their_plane():
    plan = act(block(), "move-line", line="w1-push", session="w1-b").snapshot
    plan = act(plan, "move-line", line="w1-pull", session="w1-b", beside="w1-push").snapshot
    assert shape(plan, "w1-b") == "A dip, B row, C push+pull"

    edited = act(plan, "fix-pairing", session="w1-b")

    # Dip and pull-up are vertical, row and push-up horizontal.
    assert shape(edited.snapshot, "w1-b") == "A dip+pull, B row+push"
    with pytest.raises(BlockError, match="It is paired as well as its exercises allow"):
        act(edited.snapshot, "fix-pairing", session="w1-b")


def test_a_pair_across_planes_stays_when_there_is_no_better_partner():
    with pytest.raises(BlockError, match="It is paired as well as its exercises allow"):
        act(block(), "fix-pairing", session="w1-a")


def test_what_is_past_stays():
    raw = {"act": "rename-session", "session": "w1-a", "name": "X", "reach": "onward"}

    with pytest.raises(BlockError, match="Upper A on 3 Mar is past; change a coming session"):
        apply_act(block(), raw, setting(MONDAY + timedelta(days=1)))


@pytest.mark.parametrize("name", ["", "x" * 81, "x" * 300, "Up\x00per"])
def test_a_name_is_there_and_fits(name):
    with pytest.raises(BlockError, match="Name: "):
        act(block(), "rename-session", session="w1-a", name=name)
