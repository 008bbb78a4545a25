"""Weeks: one more, one less, another kind, a light week put in, made or moved."""

from datetime import date, timedelta

import pytest

from coaching.blocks.errors import BlockError
from coaching.blocks.snapshots import SessionData, Snapshot, WeekData, moved, with_light_week
from tests.coaching.editing.plans import BANDED, DIP, PULL_UP, act, block, line, pair, shape
from tests.rules.examples import MONDAY

WEEKS = ["2025-03-03", "2025-03-10", "2025-03-17", "2025-03-24", "2025-03-31"]


def outline(plan):
    return [(week["starts_on"], week["kind"]) for week in plan["weeks"]]


def work(week):
    lines = [ln for s in week["sessions"] for p in s["pairs"] for ln in p["lines"]]
    return sum(sum(ln["targets"]) for ln in lines)


def test_a_week_is_copied_and_later_ones_move_on():
    plan = block("build", "deload", "test")

    edited = act(plan, "copy-week", week=WEEKS[0], after=WEEKS[1])

    kinds = ["build", "deload", "build", "test"]
    assert outline(edited.snapshot) == list(zip(WEEKS, kinds, strict=False))
    copy, test = edited.snapshot["weeks"][2:]
    assert [s["on"] for s in copy["sessions"]] == ["2025-03-17", "2025-03-20"]
    assert [s["uid"] for s in test["sessions"]] == ["w3-a", "w3-b"]
    assert [s["on"] for s in test["sessions"]] == ["2025-03-24", "2025-03-27"]
    assert edited.what == "Week 1 copied as week 3; later weeks move on"
    assert edited.touched == {*(s["uid"] for s in copy["sessions"]), "w3-a", "w3-b"}


def test_a_block_grows_to_eight_weeks_and_no_more():
    plan = block(*["build"] * 8)

    with pytest.raises(BlockError, match="A block holds at most 8 weeks; remove one first"):
        act(plan, "copy-week", week=WEEKS[0], after=WEEKS[0])


def test_a_week_takes_the_place_of_another():
    edited = act(block(), "replace-week", week=WEEKS[3], from_=WEEKS[0])

    assert outline(edited.snapshot)[3] == (WEEKS[3], "build")
    assert work(edited.snapshot["weeks"][3]) == work(edited.snapshot["weeks"][0])


def test_a_week_is_taken_out_and_later_ones_move_up():
    edited = act(block(), "remove-week", week=WEEKS[1])

    kinds = ["build", "build", "deload"]
    assert outline(edited.snapshot) == list(zip(WEEKS, kinds, strict=False))
    assert edited.snapshot["weeks"][1]["sessions"][0]["uid"] == "w3-a"
    assert edited.what == "Week 2 removed; later weeks move up"


def test_the_last_week_left_stays():
    with pytest.raises(BlockError, match="A block keeps one week at the least"):
        act(block("build"), "remove-week", week=WEEKS[0])


def test_a_week_changes_its_kind_and_keeps_its_sets():
    plan = block()

    edited = act(plan, "set-week-kind", week=WEEKS[2], kind="test")

    assert edited.snapshot["weeks"][2] == {**plan["weeks"][2], "kind": "test"}
    assert edited.touched == {"w3-a", "w3-b"}
    with pytest.raises(BlockError, match="Week 3 is a test week already"):
        act(edited.snapshot, "set-week-kind", week=WEEKS[2], kind="test")
    with pytest.raises(
        BlockError, match="Kind of week: “easy” is none; choose one of usual, light, test"
    ):
        act(plan, "set-week-kind", week=WEEKS[2], kind="easy")


@pytest.mark.parametrize("before", [WEEKS[2], ""])
def test_a_light_week_is_made_from_the_build_week_before_it(before):
    plan = block("build", "build", "build")

    edited = act(plan, "insert-light-week", before=before)

    at = 2 if before else 3
    light = edited.snapshot["weeks"][at]
    assert [week["starts_on"] for week in edited.snapshot["weeks"]] == WEEKS[:4]
    assert light["kind"] == "deload"
    # 40 % of the usual repetitions (common practice, no source), five points more or less.
    assert 0.35 <= work(light) / work(plan["weeks"][at - 1]) <= 0.45
    assert shape(edited.snapshot, light["sessions"][0]["uid"]).startswith("A ")
    assert edited.what.startswith(f"Light week as week {at + 1}, made from week {at}")


def test_a_light_week_needs_a_build_week_before_it():
    with pytest.raises(BlockError, match="made from a usual week before it, and there is none"):
        act(block(), "insert-light-week", before=WEEKS[0])


def cut_block(*, before, weeks=4):
    """A block with a light week put in from a day on: the week of that day is cut in two."""
    spell: WeekData = {"starts_on": before, "kind": "deload", "sessions": []}
    return with_light_week(block(*["build"] * weeks), spell)


@pytest.mark.parametrize(
    ("weeks", "before", "usual"),
    [
        # 3 Mar whole, 10 Mar cut, 12 Mar light, 19 Mar the rest, 24 and 31 Mar whole.
        (4, "2025-03-12", 1),
        (4, "2025-03-19", 1),
        (4, "2025-03-24", 1),
        (4, "2025-03-31", 5),
        (4, "", 6),
        # 3 Mar whole, 10 Mar cut, 12 Mar light, 19 Mar the rest and the end of the block.
        (2, "", 1),
    ],
)
def test_a_light_week_is_made_from_a_whole_week_though_one_is_cut(weeks, before, usual):
    plan = cut_block(before="2025-03-12", weeks=weeks)

    edited = act(plan, "insert-light-week", before=before)

    starts = [week["starts_on"] for week in plan["weeks"]]
    at = starts.index(before) if before else len(starts)
    light = edited.snapshot["weeks"][at]
    assert sorted(s["name"] for s in light["sessions"]) == ["Upper A", "Upper B"]
    assert edited.what.startswith(f"Light week as week {at + 1}, made from week {usual}")


def test_a_light_week_is_not_made_where_every_week_before_it_is_cut():
    plan = cut_block(before="2025-03-05")

    with pytest.raises(BlockError, match="none of the usual weeks before it is whole"):
        act(plan, "insert-light-week", before="2025-03-17")
    assert act(plan, "insert-light-week", before="2025-03-24").what.startswith(
        "Light week as week 5, made from week 4"
    )


def test_weeks_after_the_first_part_of_a_cut_week_are_whole_without_it():
    plan = act(cut_block(before="2025-03-05"), "remove-week", week="2025-03-03").snapshot

    edited = act(plan, "insert-light-week", before="2025-03-24")

    assert edited.what.startswith("Light week as week 4, made from week 3")


@pytest.mark.parametrize("at", [1, 3])
def test_taking_out_a_part_of_a_week_moves_nothing_and_says_so(at):
    plan = cut_block(before="2025-03-12")

    edited = act(plan, "remove-week", week=plan["weeks"][at]["starts_on"])

    assert edited.snapshot["weeks"] == [*plan["weeks"][:at], *plan["weeks"][at + 1 :]]
    assert edited.what == f"Week {at + 1} removed; later weeks keep their days"


def test_a_week_is_made_light_in_its_place():
    plan = block("build", "build", "build")

    edited = act(plan, "lighten-week", week=WEEKS[1])

    assert outline(edited.snapshot)[1] == (WEEKS[1], "deload")
    assert work(edited.snapshot["weeks"][1]) < work(plan["weeks"][1]) / 2
    with pytest.raises(BlockError, match="Week 2 has nothing to make lighter"):
        act(edited.snapshot, "lighten-week", week=WEEKS[1])


def test_a_light_week_moves_and_the_other_takes_its_place():
    edited = act(block(), "move-light-week", week=WEEKS[3], by="-1")

    assert [week["kind"] for week in edited.snapshot["weeks"]] == [
        "build",
        "build",
        "deload",
        "build",
    ]
    assert [week["starts_on"] for week in edited.snapshot["weeks"]] == WEEKS[:4]
    assert edited.snapshot["weeks"][2]["sessions"][1]["on"] == "2025-03-20"
    assert act(edited.snapshot, "move-light-week", week=WEEKS[2], by="1").snapshot == block()


@pytest.mark.parametrize(
    ("name", "fields", "message"),
    [
        ("move-light-week", {"week": WEEKS[3], "by": "1"}, "is the last week already"),
        ("move-light-week", {"week": WEEKS[0], "by": "1"}, "Week 1 is no light week"),
        ("replace-week", {"week": WEEKS[0], "from_": WEEKS[0]}, "is not replaced by itself"),
        ("remove-week", {"week": "2026-01-01"}, "This week is no longer in the plan"),
        ("remove-week", {"week": ""}, "Week: nothing was sent"),
    ],
)
def test_an_act_on_weeks_that_cannot_be_is_refused(name, fields, message):
    with pytest.raises(BlockError, match=message):
        act(block(), name, **fields)


@pytest.mark.parametrize(
    ("name", "fields"),
    [
        ("remove-week", {"week": WEEKS[1]}),
        ("set-week-kind", {"week": WEEKS[1], "kind": "test"}),
        ("replace-week", {"week": WEEKS[1], "from_": WEEKS[2]}),
        ("lighten-week", {"week": WEEKS[1]}),
        ("insert-light-week", {"before": WEEKS[1]}),
        ("copy-week", {"week": WEEKS[2], "after": WEEKS[0]}),
    ],
)
def test_a_week_that_has_begun_is_neither_moved_nor_replaced(name, fields):
    tuesday = date.fromisoformat(WEEKS[1]) + timedelta(days=1)

    with pytest.raises(BlockError, match=r"is past|has begun"):
        act(block(), name, tuesday, **fields)


def test_what_is_locked_moves_along_with_its_week():
    plan = act(block(), "lock", session="w3-a").snapshot

    edited = act(plan, "copy-week", week=WEEKS[0], after=WEEKS[1])

    moved = edited.snapshot["weeks"][3]["sessions"][0]
    assert moved == {**plan["weeks"][2]["sessions"][0], "on": "2025-03-24"}


def test_the_coming_weeks_change_while_an_earlier_one_is_trained():
    edited = act(block(), "copy-week", MONDAY + timedelta(days=4), week=WEEKS[0], after=WEEKS[0])

    assert edited.snapshot["weeks"][0] == block()["weeks"][0]
    assert len(edited.snapshot["weeks"]) == 5


def test_a_light_week_never_leaves_more_in_reserve_than_can_be_written():
    plan = act(block("build"), "change-line", line="w1-push", targets="2 × 60", rir="9").snapshot

    edited = act(plan, "insert-light-week", before="")

    light = edited.snapshot["weeks"][1]
    rirs = [ln["rir"] for s in light["sessions"] for p in s["pairs"] for ln in p["lines"]]
    # 10 is the most that the plan and its tables hold.
    assert max(rir or 0 for rir in rirs) == 10


def test_the_letters_of_a_light_week_close_up_where_a_pair_is_left_out():
    start = date.fromisoformat(WEEKS[0])
    prehab = pair("A", "prehab", line("dip", DIP, [8, 19, 1, 13, 12, 7], rir=None))
    primary = pair("B", "primary", line("pull", PULL_UP, [6]))
    last = pair("C", "prehab", line("help", BANDED, [10, 18, 10]))
    session: SessionData = {
        "uid": "s",
        "name": "Full",
        "on": start.isoformat(),
        "pairs": [prehab, primary, last],
    }
    plan: Snapshot = {"weeks": [{"starts_on": WEEKS[0], "kind": "build", "sessions": [session]}]}

    edited = act(plan, "lighten-week", week=WEEKS[0])

    pairs = edited.snapshot["weeks"][0]["sessions"][0]["pairs"]
    # The only primary exercise falls out of the light week.
    assert [(p["letter"], p["lines"][0]["name"]) for p in pairs] == [
        ("A", "Dip"),
        ("B", "Banded pull up"),
    ]


def weekdays(week):
    return [(one["name"], f"{date.fromisoformat(one['on']):%a}") for one in week["sessions"]]


def test_a_week_put_in_where_weeks_begin_on_another_day_keeps_its_weekdays():
    # 3 Mar whole, 10 Mar cut, 12 Mar light from a Wednesday on, 19 Mar the rest.
    plan = cut_block(before="2025-03-12")

    light = act(plan, "insert-light-week", before="2025-03-19").snapshot["weeks"][3]
    copied = act(plan, "copy-week", week="2025-03-03", after="2025-03-12").snapshot["weeks"][3]

    for week in (light, copied):
        assert week["starts_on"] == "2025-03-19"
        assert weekdays(week) == [("Upper B", "Thu"), ("Upper A", "Mon")]
    assert copied["sessions"][-1]["on"] == "2025-03-24"


def test_a_light_week_of_a_block_that_began_in_the_middle_of_a_week_keeps_its_weekdays():
    plan: Snapshot = {
        "weeks": [moved(week, 2) for week in block("build", "build", "build")["weeks"]]
    }
    usual = weekdays(plan["weeks"][0])

    for before in (plan["weeks"][1]["starts_on"], plan["weeks"][2]["starts_on"], ""):
        weeks = act(plan, "insert-light-week", before=before).snapshot["weeks"]
        assert [weekdays(week) for week in weeks] == [usual] * 4


def test_a_week_that_is_called_light_and_keeps_all_is_made_light():
    plan = block("build", "build", "build")
    called = act(plan, "set-week-kind", week=WEEKS[1], kind="deload").snapshot

    made = act(called, "lighten-week", week=WEEKS[1]).snapshot

    # As light as the same week made light at once.
    at_once = act(plan, "lighten-week", week=WEEKS[1]).snapshot
    assert outline(made) == outline(at_once)
    assert work(made["weeks"][1]) == work(at_once["weeks"][1])


def test_a_light_week_is_made_anew_from_the_usual_week_as_it_is_by_now():
    plan = block("build", "build", "deload")
    plan = act(plan, "lighten-week", week=WEEKS[1]).snapshot
    plan = act(plan, "set-week-kind", week=WEEKS[1], kind="build").snapshot
    as_before = act(plan, "light-week-anew", week=WEEKS[2])
    assert as_before.what == "Week 3 made light from week 2"
    assert as_before.snapshot["weeks"][:2] == plan["weeks"][:2]

    at_once = act(plan, "insert-light-week").snapshot["weeks"][3]
    made = as_before.snapshot["weeks"][2]
    assert made["kind"] == "deload"
    assert work(made) == work(at_once)
    assert [one["on"] for one in made["sessions"]] == [
        (date.fromisoformat(one["on"]) - timedelta(weeks=1)).isoformat()
        for one in at_once["sessions"]
    ]
    with pytest.raises(BlockError, match="Week 3 is what week 2 comes to already"):
        act(as_before.snapshot, "light-week-anew", week=WEEKS[2])
    with pytest.raises(BlockError, match="Week 1 is no light week"):
        act(plan, "light-week-anew", week=WEEKS[0])
