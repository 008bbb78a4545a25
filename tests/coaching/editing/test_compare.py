"""What differs between two plans, in words."""

from copy import deepcopy
from datetime import date

import pytest

from coaching.blocks.editing.acts import apply_act
from coaching.blocks.editing.compare import KEPT_SESSIONS, differences, in_words
from coaching.blocks.side_by_side import side_by_side
from tests.coaching.editing.plans import CURL, EXERCISES, HANG, block, setting


@pytest.mark.parametrize(
    ("act", "words"),
    [
        (
            {"act": "change-line", "line": "w1-push", "targets": "5 × 7", "reach": "onward"},
            ["Push up 5 × 6 → 5 × 7, Upper A, weeks 1 to 3"],
        ),
        (
            {"act": "change-line", "line": "w2-push", "rest_s": "90", "rir": ""},
            ["Push up rest 2 min → 90 s, RIR 2 → –, Upper A, week 2"],
        ),
        (
            {"act": "swap-line", "line": "w3-curl", "exercise": str(HANG), "reach": "onward"},
            [
                "Curl → Hang (3 × 10 → 3 × 40, 7.5 kg → 0 kg, tempo 3-0-1-0 → 2-0-1-0), "
                "Upper A, week 3",
                "Curl → Hang (2 × 10 → 2 × 40, 7.5 kg → 0 kg, tempo 3-0-1-0 → 2-0-1-0), "
                "Upper A, week 4",
            ],
        ),
        (
            {"act": "add-exercise", "session": "w1-b", "exercise": str(CURL), "part": "isolation"},
            ["Curl 3 × 10 added, Upper B, week 1"],
        ),
        (
            {"act": "remove-line", "line": "w1-dip", "reach": "onward"},
            [
                "Dip removed, Upper B, weeks 1 to 4",
            ],
        ),
        (
            {"act": "move-line", "line": "w1-rot", "session": "w1-b"},
            ["Rotation moved here from Upper A, Upper B, week 1"],
        ),
        (
            {"act": "order-pair", "line": "w1-dip", "by": "1"},
            ["order and pairs now A Row, B Dip, Upper B, week 1"],
        ),
        (
            {"act": "unpair", "line": "w1-press"},
            [
                "order and pairs now A Push up + Pull up, B Press, C Curl, D Rotation, "
                "Upper A, week 1"
            ],
        ),
        (
            {"act": "set-part", "line": "w1-dip", "part": "supplementary"},
            ["Dip: primary → supplementary, Upper B, week 1"],
        ),
        ({"act": "lock", "line": "w1-push"}, ["Push up and Pull up locked, Upper A, week 1"]),
        ({"act": "lock", "session": "w1-b"}, ["session locked, Upper B, week 1"]),
        (
            {"act": "rename-session", "session": "w1-b", "name": "Dips", "reach": "onward"},
            ["it was called Upper B, Dips, weeks 1 to 4"],
        ),
        (
            {"act": "move-session", "session": "w2-b", "on": "2025-03-15"},
            ["Thursday → Saturday, Upper B, week 2"],
        ),
        (
            {"act": "remove-session", "session": "w2-b"},
            ["session of 13 Mar removed (Dip, Row), Upper B, week 2"],
        ),
        (
            {"act": "add-session", "week": "2025-03-03", "on": "2025-03-08", "name": "Legs"},
            ["session added on 8 Mar (no exercises), Legs, week 1"],
        ),
        (
            {"act": "set-week-kind", "week": "2025-03-17", "kind": "test"},
            ["usual week → test week, week 3"],
        ),
        (
            {"act": "remove-week", "week": "2025-03-10"},
            [
                "a usual week removed (it was week 2); weeks 3 and 4 are now weeks 2 and 3; "
                "the block ends 23 Mar (it was 30 Mar)",
            ],
        ),
        (
            {"act": "copy-week", "week": "2025-03-10", "after": "2025-03-17"},
            [
                "a usual week put in as week 4; week 4 is now week 5; "
                "the block ends 6 Apr (it was 30 Mar)",
            ],
        ),
    ],
)
def test_each_act_is_told_as_a_coach_would(act, words):
    before = block()

    after = apply_act(before, act, setting()).snapshot

    assert list(in_words(differences(before, after))) == words


def test_a_difference_knows_its_week_session_and_line():
    before = block()
    after = apply_act(
        before, {"act": "change-line", "line": "w2-push", "rir": "1"}, setting()
    ).snapshot

    (one,) = differences(before, after)

    assert (one.week, one.session, one.session_name, one.line) == (2, "w2-a", "Upper A", "w2-push")
    assert one.words == "Push up RIR 2 → 1"


def test_two_weeks_put_in_are_told_in_one_sentence_with_what_moved():
    before = block("build", "build", "build", "deload")
    after = before
    for _ in range(2):
        raw = {"act": "insert-light-week", "week": "2025-03-17", "before": "2025-03-17"}
        after = apply_act(after, raw, setting()).snapshot

    assert list(in_words(differences(before, after))) == [
        "2 light weeks put in as weeks 3 and 4; weeks 3 and 4 are now weeks 5 and 6; "
        "the block ends 13 Apr (it was 30 Mar)"
    ]
    # Beside each other only what was put in differs; what moved on is the same.
    weeks = side_by_side(before, after, EXERCISES)
    assert [week.differs for week in weeks] == [False, False, True, True, False, False]
    assert [(week.before, week.after) for week in weeks][2:5] == [
        ("", "light"),
        ("", "light"),
        ("usual", "usual"),
    ]
    assert weeks[4].was == date(2025, 3, 17)


def test_equal_plans_differ_in_nothing():
    assert differences(block(), block()) == ()
    assert in_words(()) == ()


def test_weeks_apart_are_told_with_and():
    before = block("build", "build", "build", "build")
    after = before
    for n in (1, 3):
        raw = {"act": "change-line", "line": f"w{n}-push", "rir": "1"}
        after = apply_act(after, raw, setting()).snapshot

    assert in_words(differences(before, after)) == ("Push up RIR 2 → 1, Upper A, weeks 1 and 3",)


def edited(plan, **raw):
    return apply_act(plan, raw, setting()).snapshot


def test_a_session_compared_before_is_told_anew_when_what_left_it_is_gone_elsewhere_too():
    plan = block()
    moved = edited(plan, act="move-line", line="w1-push", session="w1-b", before="")
    assert "Push up removed, Upper A, week 1" not in in_words(differences(plan, moved))

    removed = edited(moved, act="remove-line", line="w1-push")

    told = in_words(differences(plan, removed))
    assert "Push up removed, Upper A, week 1" in told
    assert told == in_words(differences(deepcopy(plan), deepcopy(removed)))


def test_plans_in_the_place_of_those_that_are_gone_are_compared_themselves():
    # Memory is used again: plans that are thrown away leave their ids to those after them.
    plan = block("build")
    for reps in range(KEPT_SESSIONS + 100):
        raw = {"act": "change-line", "line": "w1-push", "targets": f"5 × {reps % 50 + 7}"}
        before = deepcopy(plan)
        after = edited(before, **raw)
        assert in_words(differences(before, after)) == (
            f"Push up 5 × 6 → 5 × {reps % 50 + 7}, Upper A, week 1",
        )
