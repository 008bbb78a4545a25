"""What was changed to fit a client, in words: work first, loads apart, each thing once."""

from coaching.blocks.adaptation_values import (
    ChangeKind,
    Concern,
    LineChange,
    change_data,
    told_changes,
)


def kept(session, asked, given, why, what=""):
    """A change as blocks kept it before its kind was kept with it."""
    data = change_data(LineChange(session, "A", asked, given, why, what))
    del data["kind"]
    return data


def test_work_comes_first_and_loads_are_folded_into_one_line():
    told = told_changes(
        [
            kept("Upper", "Press", "Press", "planned before for 8 reps", "Press with 10 kg"),
            kept("Upper", "Dip", "Push-up", "needs dip bars"),
            kept("Upper", "Curl", "Curl", "Upper would take 70 min of 60", "Curl left out"),
            kept("Upper", "Row", "Row", "planned before for 8 reps", "Row with 12 kg"),
        ]
    )

    assert told.work == (
        "Curl left out: Upper would take 70 min of 60.",
        "Push-up instead of Dip, in Upper: needs dip bars.",
    )
    assert told.count == 2
    assert told.loads_words == "2 loads set from what was done or planned before"


def test_what_happens_in_several_sessions_is_told_once_with_all_of_them():
    told = told_changes(kept(name, "Dip", "Push-up", "needs dip bars") for name in ("A", "B", "C"))

    assert told.work == ("Push-up instead of Dip, in A, B and C: needs dip bars.",)


def test_a_load_that_the_equipment_does_not_make_is_a_load_too():
    why = "the equipment makes no 12 kg"

    told = told_changes([kept("Upper", "Press", "Press", why, "Press with 10 kg instead of 12 kg")])

    assert told.work == ()
    assert told.loads_words == "1 load set to what the equipment makes"


def test_nothing_changed_is_nothing_told():
    assert not told_changes([])


def test_a_change_kept_without_its_sentence_is_still_told():
    told = told_changes([{"asked": "Dip", "given": "", "why": "needs dip bars"}])

    assert told.work == ("Dip is left out: needs dip bars, and nothing fits instead.",)


def test_what_is_of_the_joints_is_told_first():
    level = LineChange("", "", "Dip", "Bench dip", "too far", concern=Concern.LEVEL)
    hurt = LineChange(
        "", "", "x", "x", "ask", "Hurt lately: Dip", ChangeKind.OTHER, "", Concern.JOINTS
    )

    assert told_changes(change_data(one) for one in (level, hurt)).must_see == (
        "Hurt lately: Dip: ask.",
        "Bench dip instead of Dip: too far.",
    )
