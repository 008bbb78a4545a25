"""Values of a line, a step more or less, another exercise in its place."""

from dataclasses import replace
from datetime import timedelta

import pytest

from coaching.blocks.editing.acts import apply_act, exercises_needed
from coaching.blocks.errors import BlockError
from tests.coaching.editing.plans import (
    BANDED,
    CURL,
    HANG,
    PUSH_UP,
    act,
    block,
    line_of,
    setting,
)
from tests.rules.examples import MONDAY


def test_a_value_is_changed_this_week_only():
    plan = block()

    edited = act(plan, "change-line", line="w2-push", targets="5 × 7", rest_s="90")

    assert line_of(edited.snapshot, "w2-push")["targets"] == [7] * 5
    assert line_of(edited.snapshot, "w3-push") == line_of(plan, "w3-push")
    assert edited.what == "Push up 5 × 6 → 5 × 7, rest 2 min → 90 s, Upper A, week 2"
    assert edited.touched == {"w2-a"}
    assert (edited.focus, edited.skipped) == ("w2-push", ())


def test_a_value_goes_on_to_later_build_weeks_and_passes_the_light_one_by():
    plan = block()

    edited = act(plan, "change-line", line="w2-push", targets="7-7-6-6-6", reach="onward")

    targets = [line_of(edited.snapshot, f"w{n}-push")["targets"] for n in (1, 2, 3, 4)]
    assert targets == [[6] * 5, [7, 7, 6, 6, 6], [7, 7, 6, 6, 6], [6, 6]]
    assert edited.what.endswith("from week 2 on")
    assert edited.touched == {"w2-a", "w3-a"}


def test_a_value_changed_in_a_light_week_stays_among_light_weeks():
    plan = block("build", "deload", "build", "deload")

    edited = act(plan, "change-line", line="w2-push", load_kg="2,5", reach="onward")

    loads = [line_of(edited.snapshot, f"w{n}-push")["load_kg"] for n in (1, 2, 3, 4)]
    assert loads == [0, 2.5, 0, 2.5]


def test_a_load_chosen_for_the_first_time_is_chosen_for_the_light_week_too():
    plan = block()
    for week in plan["weeks"]:
        for session in week["sessions"]:
            for pair in session["pairs"]:
                for one in pair["lines"]:
                    one["load_kg"] = 0.0
    sets = len(line_of(plan, "w4-press")["targets"])

    first = act(
        plan, "change-line", line="w1-press", load_kg="7,5", targets="3 × 9", reach="onward"
    )
    after = act(first.snapshot, "change-line", line="w1-press", load_kg="10", reach="onward")

    assert [line_of(first.snapshot, f"w{n}-press")["load_kg"] for n in (1, 2, 3, 4)] == [7.5] * 4
    assert len(line_of(first.snapshot, "w4-press")["targets"]) == sets
    assert line_of(first.snapshot, "w4-press")["targets"] == line_of(plan, "w4-press")["targets"]
    assert line_of(after.snapshot, "w4-press")["load_kg"] == 10


def test_load_tempo_rest_and_reserve_go_on_into_the_light_week_and_targets_stay_its_own():
    # A light week keeps the load and cuts the work (bosquet-2007: intensity kept, volume less).
    plan = block()

    edited = act(
        plan,
        "change-line",
        line="w2-push",
        targets="5 × 7",
        load_kg="5",
        tempo="4-0-X-1",
        rest_s="90",
        rir="1",
        reach="onward",
    )

    light, usual = (line_of(edited.snapshot, f"{week}-push") for week in ("w4", "w3"))
    assert light["targets"] == [6, 6]
    assert {**light, "uid": "", "targets": []} == {**usual, "uid": "", "targets": []}
    assert edited.what.endswith("from week 2 on, load, tempo, rest and RIR in light week 4 too")
    assert edited.touched == {"w2-a", "w3-a", "w4-a"}


def test_a_light_week_keeps_what_is_its_own():
    plan = block()
    own = act(plan, "change-line", line="w4-push", load_kg="2,5", rir="5").snapshot

    edited = act(own, "change-line", line="w2-push", load_kg="5", rest_s="90", reach="onward")

    assert line_of(edited.snapshot, "w4-push")["load_kg"] == 2.5
    assert line_of(edited.snapshot, "w4-push")["rest_s"] == 90
    assert edited.what.endswith("from week 2 on, rest in light week 4 too")


def test_this_week_only_leaves_the_light_week_as_it_is():
    plan = block()

    edited = act(plan, "change-line", line="w3-push", load_kg="5")

    assert edited.snapshot["weeks"][3] == plan["weeks"][3]


def test_a_step_of_load_goes_on_into_the_light_week_from_the_usual_week_before_it():
    plan = act(block(), "nudge-line", line="w3-press", field="load", by="1").snapshot
    raised = line_of(plan, "w3-press")["load_kg"]
    plan = act(plan, "change-line", line="w4-press", load_kg=f"{raised:g}").snapshot

    edited = act(plan, "nudge-line", line="w2-press", field="load", by="-1", reach="onward")

    loads = [line_of(edited.snapshot, f"w{n}-press")["load_kg"] for n in (2, 3, 4)]
    assert loads == [5, 7.5, 7.5]


def test_a_light_week_that_is_locked_says_that_it_stays():
    plan = act(block(), "lock", session="w4-a").snapshot

    edited = act(plan, "change-line", line="w2-push", load_kg="5", reach="onward")

    assert edited.snapshot["weeks"][3] == plan["weeks"][3]
    assert edited.skipped == ("Week 4 is left as it is: Upper A is locked; unlock it first.",)


def test_only_what_differs_is_carried_on():
    plan = act(block(), "change-line", line="w3-push", rest_s="60").snapshot

    edited = act(plan, "change-line", line="w2-push", targets="5 x 7", rest_s="120", reach="onward")

    assert line_of(edited.snapshot, "w3-push")["rest_s"] == 60
    assert line_of(edited.snapshot, "w3-push")["targets"] == [7] * 5


def test_the_given_plan_stays_as_it_is():
    plan = block()

    act(plan, "change-line", line="w1-push", rir="", reach="onward")

    assert plan == block()


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"targets": "many"}, "“many” is not targets; write them like 8-7-7-7-7 or 5 × 7."),
        ({"targets": "13 × 5"}, "Sets: 13 is not between 1 and 12."),
        ({"targets": "0-5"}, "Targets: each set needs a number from 1 to 600."),
        ({"load_kg": "heavy"}, "Load: “heavy” is no load from 0 to 999 kg."),
        ({"load_kg": "1000"}, "Load: “1000” is no load from 0 to 999 kg."),
        ({"tempo": "slow"}, "Tempo “slow” is not four counts such as 3-0-1-0 or 3-1-X-0."),
        (
            {"tempo": "99-0-1-0"},
            "Tempo: 99-0-1-0 has a count over 10 s; write counts from 0 to 10.",
        ),
        ({"rest_s": "901"}, "Rest: 901 s is not between 0 and 900 s."),
        ({"rest_s": ""}, "Rest: “” is no rest; write it like 90 s, 2 min or 2:30."),
        ({"rir": "11"}, "RIR: 11 is not between 0 and 10."),
        ({"targets": "5 × 6"}, "Nothing differs from the plan; change a value"),
        ({}, "Nothing differs from the plan"),
        ({"line": "nowhere", "rir": "1"}, "This exercise is no longer in the plan"),
        ({"line": "", "rir": "1"}, "Exercise: nothing was sent; choose one."),
        ({"reach": "back", "rir": "1"}, "Change: “back” is neither this week only nor"),
    ],
)
def test_a_refusal_names_the_field_and_the_remedy(fields, message):
    with pytest.raises(BlockError) as refused:
        act(block(), "change-line", **{"line": "w1-push"} | fields)

    assert str(refused.value).startswith(message)


def test_a_load_is_refused_where_an_exercise_takes_none():
    plan = act(block(), "swap-line", line="w1-pull", exercise=str(HANG)).snapshot

    with pytest.raises(BlockError, match="Load: Hang takes none; leave it empty"):
        act(plan, "change-line", line="w1-pull", load_kg="5")


def test_what_is_past_or_begun_is_refused():
    plan = block()

    with pytest.raises(BlockError, match="Upper A on 3 Mar is past; change a coming session"):
        act(plan, "change-line", MONDAY + timedelta(days=1), line="w1-push", rir="1")
    begun = replace(setting(), begun=frozenset({"w1-a"}))
    with pytest.raises(BlockError, match="Upper A on 3 Mar is already begun"):
        apply_act(plan, {"act": "change-line", "line": "w1-push", "rir": "1"}, begun)


def test_a_later_week_that_is_begun_or_locked_or_has_no_such_place_is_told():
    plan = block("build", "build", "build", "build")
    plan["weeks"][1]["sessions"][0]["pairs"][0]["locked"] = True
    plan["weeks"][2]["sessions"][0]["pairs"].pop(0)
    raw = {"act": "change-line", "line": "w1-push", "rir": "1", "reach": "onward"}

    edited = apply_act(plan, raw, replace(setting(), begun=frozenset({"w4-a"})))

    assert edited.skipped == (
        "Week 2 is left as it is: A of Upper A is locked; unlock it first.",
        "Week 3 has no Push up at that place of Upper A; it is left as it is.",
        "Week 4 is left as it is: Upper A on 24 Mar is already begun; change a coming session.",
    )
    assert edited.touched == {"w1-a"}


def test_a_swap_follows_in_light_weeks_with_their_own_sets():
    edited = act(block(), "swap-line", line="w2-pull", exercise=str(BANDED), reach="onward")

    lines = [line_of(edited.snapshot, f"w{n}-pull") for n in (1, 2, 3, 4)]
    assert [one["name"] for one in lines] == ["Pull up"] + ["Banded pull up"] * 3
    assert [len(one["targets"]) for one in lines] == [5, 5, 5, 2]
    # The most help that the bands give comes first; the tempo stays that of the line.
    assert [one["load_kg"] for one in lines] == [0, 25, 25, 25]
    assert {one["tempo"] for one in lines} == {"3-0-1-0"}
    assert edited.what == "Pull up → Banded pull up, Upper A, from week 2 on"


def test_a_swap_to_a_hold_is_in_seconds_and_in_its_own_tempo():
    edited = act(block(), "swap-line", line="w1-curl", exercise=str(HANG))

    line = line_of(edited.snapshot, "w1-curl")
    # Four seconds of a hold stand for one repetition: a choice of the house.
    assert (line["targets"], line["tempo"], line["load_kg"]) == ([40] * 3, "2-0-1-0", 0)


def test_a_swap_needs_another_exercise_that_the_library_holds():
    with pytest.raises(BlockError, match="Push up stands there already; choose another"):
        act(block(), "swap-line", line="w1-push", exercise=str(PUSH_UP))
    with pytest.raises(BlockError, match="the library does not hold it any more"):
        act(block(), "swap-line", line="w1-push", exercise="99")


def test_what_an_act_brings_in_is_known_before_it_is_done():
    assert exercises_needed({"act": "swap-line", "exercise": str(CURL)}) == {CURL}
    assert exercises_needed({"act": "change-line", "line": "x"}) == set()
    assert exercises_needed({"act": "replace-exercise", "exercise": "1", "to": "2"}) == {2}
    assert exercises_needed({"act": "leave-out", "exercise": "1"}) == set()
    with pytest.raises(BlockError, match="Exercise: “one” is no whole number"):
        exercises_needed({"act": "swap-line", "exercise": "one"})


def test_an_unknown_act_is_refused():
    with pytest.raises(BlockError, match="This change is not known here"):
        act(block(), "juggle")


@pytest.mark.parametrize(
    ("uid", "field", "by", "key", "value"),
    [
        ("w1-push", "sets", "+1", "targets", [6] * 6),
        ("w1-push", "sets", "-1", "targets", [6] * 4),
        ("w1-push", "reps", "1", "targets", [7] * 5),
        ("w1-push", "reps", "-1", "targets", [5] * 5),
        ("w1-push", "load_kg", "1", "load_kg", 2.5),
        ("w1-curl", "load_kg", "-1", "load_kg", 5),
        ("w1-push", "rest_s", "1", "rest_s", 135),
        ("w1-push", "rest_s", "-1", "rest_s", 105),
        ("w1-push", "load", "1", "load_kg", 2.5),
        ("w1-push", "rest", "-1", "rest_s", 105),
        ("w1-push", "rir", "-1", "rir", 1),
    ],
)
def test_a_step_changes_one_field_of_one_line(uid, field, by, key, value):
    plan = block()

    edited = act(plan, "nudge-line", line=uid, field=field, by=by)

    assert line_of(edited.snapshot, uid) == {**line_of(plan, uid), key: value}
    assert edited.touched == {"w1-a"}


def test_each_week_takes_the_step_from_its_own_value():
    plan = act(block(), "change-line", line="w2-push", targets="5 × 7").snapshot

    edited = act(plan, "nudge-line", line="w1-push", field="reps", by="1", reach="onward")

    targets = [line_of(edited.snapshot, f"w{n}-push")["targets"] for n in (1, 2, 3, 4)]
    assert targets == [[7] * 5, [8] * 5, [7] * 5, [6, 6]]


def test_less_help_is_a_step_up_and_a_hold_goes_by_five_seconds():
    plan = act(block(), "swap-line", line="w1-pull", exercise=str(BANDED)).snapshot
    plan = act(plan, "swap-line", line="w1-curl", exercise=str(HANG)).snapshot

    easier = act(plan, "nudge-line", line="w1-pull", field="load_kg", by="1").snapshot
    longer = act(plan, "nudge-line", line="w1-curl", field="reps", by="1").snapshot

    assert line_of(easier, "w1-pull")["load_kg"] == 15
    assert line_of(longer, "w1-curl")["targets"] == [45] * 3


@pytest.mark.parametrize(
    ("uid", "field", "by", "message"),
    [
        ("w1-push", "tempo", "1", "Field: “tempo” has no steps; choose sets, reps"),
        ("w1-push", "sets", "0", "By: 0 changes nothing"),
        ("w1-push", "sets", "2", "By: 2 is not between -1 and 1"),
        ("w1-pull", "load_kg", "1", "Load: the equipment makes nothing heavier for Pull up"),
        ("w1-push", "load_kg", "-1", "Load: the equipment makes nothing lighter for Push up"),
    ],
)
def test_a_step_that_cannot_be_is_refused(uid, field, by, message):
    with pytest.raises(BlockError, match=message):
        act(block(), "nudge-line", line=uid, field=field, by=by)


def test_steps_end_where_a_session_can_hold_no_more():
    raw = {"line": "w1-push", "targets": "1 × 1", "rest_s": "0", "rir": "0"}
    least = act(block(), "change-line", **raw).snapshot
    most = act(block(), "change-line", line="w1-push", targets="12 × 600").snapshot

    for plan, field, by in [
        (least, "sets", "-1"),
        (least, "reps", "-1"),
        (least, "rest_s", "-1"),
        (least, "rir", "-1"),
        (most, "sets", "1"),
        (most, "reps", "1"),
    ]:
        with pytest.raises(BlockError, match="Push up: "):
            act(plan, "nudge-line", line="w1-push", field=field, by=by)


def test_both_exercises_of_a_pair_gain_a_set_together_in_every_build_week():
    edited = act(block(), "nudge-pair", line="w2-push", field="sets", by="1", reach="onward")

    sets = [
        [len(line_of(edited.snapshot, f"w{n}-{name}")["targets"]) for name in ("push", "pull")]
        for n in (1, 2, 3, 4)
    ]
    assert sets == [[5, 5], [6, 6], [6, 6], [2, 2]]
    assert edited.what == (
        "Push up 5 × 6 → 6 × 6 and Pull up 5 × 5 → 6 × 5, Upper A, from week 2 on"
    )
    assert edited.focus == "w2-push"


def test_an_exercise_alone_is_nudged_as_a_pair_by_itself():
    edited = act(block(), "nudge-pair", line="w1-rot", field="rest", by="-1")

    assert line_of(edited.snapshot, "w1-rot")["rest_s"] == 45
    assert edited.touched == {"w1-a"}


@pytest.mark.parametrize("by", ["+-1", "--1", "+", "1" * 5000, "²", "1.0"])
def test_a_number_with_two_signs_or_none_of_its_own_is_no_whole_number(by):
    with pytest.raises(BlockError, match="By: "):
        act(block(), "nudge-line", line="w1-push", field="sets", by=by)
