"""The strip of an exercise: one cell a week, also where another exercise stands in its place."""

from coaching.blocks.pages_block_strip import StripSetting, strips_of
from tests.coaching.editing.plans import DIP, EXERCISES, HANG, PRESS, act, block
from tests.rules.examples import MONDAY


def strip(plan, uid, shown=1):
    uids = {one["uid"] for one in plan["weeks"][shown - 1]["sessions"]}
    return strips_of(plan, StripSetting(shown, MONDAY, frozenset(), EXERCISES), uids)[uid]


def seen(cells):
    return [(cell.uid, cell.other) for cell in cells]


def test_a_swap_for_one_week_reads_as_one_row_from_either_week():
    plan = act(block(), "swap-line", line="w2-push", exercise=str(DIP)).snapshot
    dip, push = EXERCISES[DIP].name, EXERCISES[1].name

    usual = strip(plan, "w1-push")
    swapped = strip(plan, "w2-push", shown=2)

    assert seen(usual) == [("w1-push", ""), ("w2-push", dip), ("w3-push", ""), ("w4-push", "")]
    assert seen(swapped) == [
        ("w1-push", push),
        ("w2-push", ""),
        ("w3-push", push),
        ("w4-push", push),
    ]
    # Its name is written once where it stands in several weeks on end.
    assert [cell.is_again for cell in swapped] == [False, False, False, True]
    # Neither more nor less: the two are not compared.
    assert [cell.mark for cell in usual] == ["", "", "", ""]
    assert [cell.mark for cell in swapped] == ["", "", "", ""]


def test_a_rise_is_told_against_the_last_week_with_that_exercise():
    plan = act(block(), "swap-line", line="w2-push", exercise=str(DIP)).snapshot
    plan = act(plan, "change-line", line="w3-push", targets="5 × 7").snapshot

    assert [cell.mark for cell in strip(plan, "w1-push")] == ["", "", "rises", ""]


def test_what_stands_elsewhere_in_its_session_is_no_stand_in():
    # Without B the rotation closes up to its letter; it has a row of its own.
    plan = block("build", "build")
    for uid in ("w2-press", "w2-curl"):
        plan = act(plan, "remove-line", line=uid).snapshot

    assert seen(strip(plan, "w1-press")) == [("w1-press", ""), ("", "")]
    assert seen(strip(plan, "w1-rot")) == [("w1-rot", ""), ("w2-rot", "")]


def test_another_part_of_the_session_is_the_same_exercise():
    plan = act(block("build", "build"), "set-part", line="w2-press", part="supplementary").snapshot

    assert seen(strip(plan, "w1-press")) == [("w1-press", ""), ("w2-press", "")]
    assert seen(strip(plan, "w1-curl")) == [("w1-curl", ""), ("w2-curl", "")]


def test_the_strip_goes_where_a_change_from_this_week_on_goes():
    plan = block("build", "build")
    plan = act(plan, "rename-session", session="w1-b", name="Upper A", reach="onward").snapshot
    plan = act(plan, "move-session", session="w1-a", on="2025-03-08").snapshot

    assert seen(strip(plan, "w1-press")) == [("w1-press", ""), ("w2-press", "")]
    assert seen(strip(plan, "w1-row")) == [("w1-row", ""), ("w2-row", "")]


def test_the_cell_tells_what_the_other_exercise_asks():
    plan = act(block("build", "build"), "swap-line", line="w2-press", exercise=str(HANG)).snapshot

    usual, swapped = strip(plan, "w1-press"), strip(plan, "w2-press", shown=2)

    assert [cell.other for cell in usual] == ["", EXERCISES[HANG].name]
    assert [cell.unit for cell in usual] == ["", " s"]
    assert [cell.other for cell in swapped] == [EXERCISES[PRESS].name, ""]
    assert [bool(cell.load) for cell in swapped] == [True, False]
