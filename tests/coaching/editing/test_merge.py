"""Two plans made from the same one, put together."""

from datetime import date

import pytest
from hypothesis import given, settings

from coaching.blocks.editing.acts import apply_act
from coaching.blocks.editing.merge import Merged, merge
from coaching.blocks.editing.session_acts import fresh
from coaching.blocks.snapshots import WeekData, with_light_week
from tests.coaching.editing.drawn_plans import all_lines, all_sessions, drawn_act, drawn_plan
from tests.coaching.editing.plans import HANG, block, line_of, setting, shape
from tests.coaching.editing.test_acts_always import BY_CHANCE, check_well_formed, tried


def after(plan, *acts):
    for act in acts:
        plan = apply_act(plan, act, setting()).snapshot
    return plan


def change(line, **fields):
    return {"act": "change-line", "line": line, **fields}


def test_two_fields_of_one_line_go_together():
    base = block()

    merged = merge(
        base,
        after(base, change("w1-push", targets="5 × 7")),
        after(base, change("w1-push", rest_s="60")),
    )

    line = line_of(merged.snapshot, "w1-push")
    assert (line["targets"], line["rest_s"], merged.clashes) == ([7] * 5, 60, ())


def test_one_field_changed_by_both_keeps_mine_and_says_so():
    base = block()

    merged = merge(
        base,
        after(base, change("w1-push", targets="5 × 8", rest_s="60")),
        after(base, change("w1-push", targets="5 × 7")),
    )

    line = line_of(merged.snapshot, "w1-push")
    assert (line["targets"], line["rest_s"]) == ([7] * 5, 60)
    assert merged.clashes == (
        "Upper A on 3 Mar: Push up: its targets and load were changed by both; yours kept "
        "(5 × 8 → 5 × 7).",
    )


def test_repetitions_of_one_plan_never_meet_the_load_of_the_other():
    base = block()

    merged = merge(
        base,
        after(base, change("w1-push", targets="3 × 8", load_kg="2.5")),
        after(base, change("w1-push", targets="10-10-9-9")),
    )

    line = line_of(merged.snapshot, "w1-push")
    assert (line["targets"], line["load_kg"]) == ([10, 10, 9, 9], 0)
    assert "2.5 kg" in merged.clashes[0]


def test_a_changed_value_and_a_moved_exercise_go_together():
    base = block()

    merged = merge(
        base,
        after(base, {"act": "move-line", "line": "w1-push", "session": "w1-b"}),
        after(base, change("w1-push", targets="5 × 7")),
    )

    assert shape(merged.snapshot, "w1-a") == "A pull, B press+curl, C rot"
    assert shape(merged.snapshot, "w1-b") == "A dip, B row, C push"
    assert line_of(merged.snapshot, "w1-push")["targets"] == [7] * 5
    assert merged.clashes == ()


def test_a_light_week_in_the_place_of_one_that_i_changed_stands_alone():
    base = block("build", "build", "build")
    mine = after(base, {"act": "change-line", "line": "w1-push", "rest_s": "60", "reach": "onward"})
    theirs = after(base, {"act": "lighten-week", "week": "2025-03-10"})
    # As a light week from the review does it: the sessions come anew.
    theirs["weeks"][1]["sessions"] = [
        fresh(one, date.fromisoformat(one["on"])) for one in theirs["weeks"][1]["sessions"]
    ]

    merged = merge(base, theirs, mine)

    assert merged.snapshot["weeks"][1] == theirs["weeks"][1]
    assert merged.snapshot["weeks"][2] == mine["weeks"][2]
    assert any("the light week is kept" in words for words in merged.clashes)


def test_a_light_week_put_in_and_a_value_of_a_later_week_go_together():
    base = block("build", "build", "build")

    merged = merge(
        base,
        after(base, {"act": "insert-light-week", "before": "2025-03-17"}),
        after(base, change("w3-push", targets="5 × 7")),
    )

    assert [week["kind"] for week in merged.snapshot["weeks"]] == [
        "build",
        "build",
        "deload",
        "build",
    ]
    assert merged.snapshot["weeks"][3]["sessions"][0]["on"] == "2025-03-24"
    assert line_of(merged.snapshot, "w3-push")["targets"] == [7] * 5
    assert merged.clashes == ()


def test_a_light_week_that_cuts_a_week_takes_a_later_change_along():
    base = block("build", "build", "build")
    light: WeekData = {"starts_on": "2025-03-12", "kind": "deload", "sessions": []}
    theirs = with_light_week(base, light)
    mine = after(
        base,
        change("w2-dip", targets="5 × 7"),
        change("w2-push", targets="5 × 8"),
        change("w3-push", targets="5 × 9"),
    )

    merged = merge(base, theirs, mine)

    assert merged.clashes == ()
    assert [(w["starts_on"], w["kind"]) for w in merged.snapshot["weeks"]] == [
        ("2025-03-03", "build"),
        ("2025-03-10", "build"),
        ("2025-03-12", "deload"),
        ("2025-03-19", "build"),
        ("2025-03-24", "build"),
    ]
    days = {s["uid"]: s["on"] for week in merged.snapshot["weeks"] for s in week["sessions"]}
    assert (days["w2-a"], days["w2-b"], days["w3-a"]) == ("2025-03-10", "2025-03-20", "2025-03-24")
    targets = [
        line_of(merged.snapshot, uid)["targets"][0] for uid in ("w2-dip", "w2-push", "w3-push")
    ]
    assert targets == [7, 8, 9]


def cut_block(*kinds):
    """A block with a light week put into its third week: Upper A before it, Upper B after it."""
    light: WeekData = {"starts_on": "2025-03-19", "kind": "deload", "sessions": []}
    whole = block(*kinds or ["build"] * 4)
    return whole, with_light_week(whole, light)


@pytest.mark.parametrize("uid", ["w3-push", "w3-dip", "w4-push"])
def test_a_light_week_taken_back_goes_though_i_changed_a_value_around_it(uid):
    whole, cut = cut_block()

    merged = merge(cut, whole, after(cut, change(uid, targets="5 × 7")))

    assert merged == Merged(after(whole, change(uid, targets="5 × 7")), ())


def test_a_session_moved_in_the_rest_of_a_cut_week_keeps_its_day_of_the_week():
    whole, cut = cut_block()
    more = {"act": "copy-session", "session": "w3-b", "week": "2025-03-26", "on": "2025-03-29"}
    base, theirs = (
        after(cut, more),
        after(whole, {**more, "week": "2025-03-17", "on": "2025-03-22"}),
    )
    theirs["weeks"][2]["sessions"][2] = {
        **base["weeks"][4]["sessions"][1],
        "on": "2025-03-22",
    }
    mine = after(base, {"act": "move-session", "session": "w3-b", "on": "2025-03-28"})

    merged = merge(base, theirs, mine)

    days = {s["uid"]: s["on"] for s in merged.snapshot["weeks"][2]["sessions"]}
    assert [(w["starts_on"], w["kind"]) for w in merged.snapshot["weeks"]] == [
        (w["starts_on"], w["kind"]) for w in whole["weeks"]
    ]
    assert (days["w3-a"], days["w3-b"]) == ("2025-03-17", "2025-03-21")
    assert merged.clashes == ()


def test_a_light_week_taken_back_stays_where_i_changed_its_own_sessions():
    whole = block("build", "build", "build")
    base = after(whole, {"act": "insert-light-week", "before": "2025-03-17"})
    session = base["weeks"][2]["sessions"][0]
    mine = after(base, change(session["pairs"][0]["lines"][0]["uid"], targets="2 × 3"))

    merged = merge(base, whole, mine)

    assert merged.snapshot == mine
    assert merged.clashes[0] == (
        "They took out a week in which you changed something; your weeks are kept."
    )


def test_what_they_added_to_a_week_that_i_took_out_stays_out_and_is_told():
    base = block()
    mine = after(base, {"act": "remove-week", "week": "2025-03-10"})
    extra = {"act": "add-session", "week": "2025-03-10", "on": "2025-03-15", "name": "Arms"}

    merged = merge(base, after(base, extra), mine)

    assert merged.snapshot == mine
    assert merged.clashes == (
        "Arms on 15 Mar: they added it to a week that you took out; it stays out.",
    )


def test_weeks_changed_by_both_keep_mine():
    base = block("build", "build", "build")
    mine = after(base, {"act": "remove-week", "week": "2025-03-10"})

    merged = merge(base, after(base, {"act": "insert-light-week", "before": "2025-03-17"}), mine)

    assert merged.snapshot == mine
    assert merged.clashes == ("The weeks of the block were changed by both; yours are kept.",)


def test_what_they_took_out_and_i_changed_stays():
    base = block()
    mine = after(base, change("w1-dip", targets="5 × 6"))

    line_out = merge(base, after(base, {"act": "remove-line", "line": "w1-dip"}), mine)
    session_out = merge(base, after(base, {"act": "remove-session", "session": "w1-b"}), mine)
    week_out = merge(base, after(base, {"act": "remove-week", "week": "2025-03-03"}), mine)

    assert line_out.snapshot == session_out.snapshot == week_out.snapshot == mine
    assert line_out.clashes == (
        "Upper B on 6 Mar: Dip was moved or removed by them; your exercises and pairs are kept.",
    )
    assert session_out.clashes == ("Upper B on 6 Mar: they removed it, you changed it; it stays.",)
    assert week_out.clashes == (
        "They took out a week in which you changed something; your weeks are kept.",
    )


def test_what_i_took_out_and_they_changed_stays_out():
    base = block()
    theirs = after(base, change("w1-dip", targets="5 × 6"))

    line_out = merge(base, theirs, after(base, {"act": "remove-line", "line": "w1-dip"}))
    session_out = merge(base, theirs, after(base, {"act": "remove-session", "session": "w1-b"}))

    assert shape(line_out.snapshot, "w1-b") == "A row"
    assert line_out.clashes == (
        "Upper B on 6 Mar: Dip: you removed it, they changed it; it stays out.",
    )
    assert session_out.clashes == (
        "Upper B on 6 Mar: you removed it, they changed it; it stays out.",
    )


def test_another_exercise_takes_its_targets_along():
    base = block()
    mine = after(base, change("w1-pull", targets="5 × 7"))

    merged = merge(
        base, after(base, {"act": "swap-line", "line": "w1-pull", "exercise": str(HANG)}), mine
    )

    assert merged.snapshot == mine
    assert merged.clashes == ("Upper A on 3 Mar: Pull up: it was changed by both; yours is kept.",)


def test_pairs_changed_by_both_keep_mine_and_nothing_gets_lost():
    base = block()
    theirs = after(
        base,
        {"act": "move-line", "line": "w1-dip", "session": "w1-a"},
        {"act": "rename-session", "session": "w1-b", "name": "Rows"},
    )
    mine = after(base, {"act": "order-pair", "line": "w1-rot", "by": "-1"})

    merged = merge(base, theirs, mine)

    assert shape(merged.snapshot, "w1-a") == shape(mine, "w1-a")
    assert shape(merged.snapshot, "w1-b") == "A dip, B row"
    assert merged.snapshot["weeks"][0]["sessions"][1]["name"] == "Rows"
    assert merged.clashes[0] == (
        "Upper A on 3 Mar: exercises or pairs were changed by both; yours are kept."
    )


# Laws, whatever the plans.


def drawn_after(rng, plan, most=3):
    for _ in range(rng.randint(0, most)):
        edited = tried(plan, drawn_act(rng, plan), setting())
        plan = edited.snapshot if edited else plan
    return plan


@settings(max_examples=400)
@given(BY_CHANCE)
def test_merging_keeps_its_laws_and_the_plan_well_formed(rng):
    base = drawn_plan(rng, most_weeks=4)
    theirs, mine = drawn_after(rng, base), drawn_after(rng, base)

    assert merge(base, base, mine).snapshot == mine
    assert merge(base, theirs, base).snapshot == theirs
    assert merge(base, theirs, theirs).snapshot == theirs
    made = merge(base, theirs, mine)
    merged = made.snapshot
    check_well_formed(merged)
    # What they added is there, or it is told that something gave way.
    known = {s["uid"] for s in [*all_sessions(base), *all_sessions(merged)]}
    assert made.clashes or all(s["uid"] in known for s in all_sessions(theirs))
    # Nothing of mine gets lost: what I changed or added is there as I have it, or was not
    # changed by me.
    was = {line["uid"]: line for line in all_lines(base)}
    now = {line["uid"] for line in all_lines(merged)}
    lost = [
        session["name"]
        for session in all_sessions(mine)
        for pair in session["pairs"]
        for ln in pair["lines"]
        if was.get(ln["uid"]) != ln and ln["uid"] not in now
    ]
    # Only to a light week that they put in its place, and that is told.
    told = [words for words in made.clashes if "the light week is kept" in words]
    assert all(any(words.startswith(name) for words in told) for name in lost)


QUIET = ("change-line", "nudge-line", "swap-line", "turn-pair", "order-pair", "set-part", "lock")


@settings(max_examples=400)
@given(BY_CHANCE)
def test_changes_of_different_sessions_are_both_kept_without_a_clash(rng):
    base = drawn_plan(rng, most_weeks=4)
    one = {**drawn_act(rng, base, QUIET), "reach": "week"}
    other = {**drawn_act(rng, base, QUIET), "reach": "week"}
    theirs, mine = tried(base, one, setting()), tried(base, other, setting())
    if theirs is None or mine is None or theirs.touched & mine.touched:
        return

    merged = merge(base, theirs.snapshot, mine.snapshot)

    assert merged.clashes == ()
    assert merged.snapshot == apply_act(mine.snapshot, one, setting()).snapshot
    assert merged.snapshot == apply_act(theirs.snapshot, other, setting()).snapshot
