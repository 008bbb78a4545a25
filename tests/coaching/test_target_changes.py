"""What light weeks take over of new targets; that they never ask for more is common practice, no source."""

from datetime import date

import pytest

from coaching.blocks.target_changes import (
    Named,
    TargetChange,
    light_weeks_following,
    with_targets,
)

SINCE = date(2026, 3, 9)
EXERCISES = {
    1: Named("Row", "external"),
    2: Named("Assisted dip", "assisted"),
    3: Named("Easier row", "none"),
}


def line(uid, exercise, targets, load, rir=2):
    return {
        "uid": uid,
        "exercise": exercise,
        "name": EXERCISES[exercise].name,
        "targets": list(targets),
        "load_kg": load,
        "tempo": "3-0-1-0",
        "rest_s": 90,
        "rir": rir,
    }


def week(monday, kind, *lines):
    pairs = [{"letter": "A", "part": "supplementary", "lines": list(lines)}]
    session = {"uid": f"s{monday}", "name": "A", "on": monday, "pairs": pairs}
    return {"starts_on": monday, "kind": kind, "sessions": [session]}


def block(exercise, usual, light, load):
    return {
        "weeks": [
            week("2026-03-09", "build", line("u1", exercise, usual, load)),
            week("2026-03-16", "deload", line("l1", exercise, light, load, rir=5)),
            week("2026-03-23", "build", line("u2", exercise, usual, load)),
        ]
    }


def about(exercise):
    return TargetChange(exercise, "supplementary", (8,), 0.0)


def changed(snapshot, exercise, targets, load, **more):
    change = TargetChange(exercise, "supplementary", targets, load, **({"light_too": True} | more))
    after = with_targets(snapshot, [change], SINCE, EXERCISES)
    return [one["sessions"][0]["pairs"][0]["lines"][0] for one in after["weeks"]], after


def test_a_lighter_load_is_lighter_in_the_light_week_too():
    lines, _ = changed(block(1, (8, 8, 8), (5, 5), 11.0), 1, (8, 8, 8), 10.0)

    assert [(one["targets"], one["load_kg"]) for one in lines] == [
        ([8, 8, 8], 10.0),
        ([5, 5], 10.0),
        ([8, 8, 8], 10.0),
    ]
    assert [one["rir"] for one in lines] == [2, 5, 2]


def test_fewer_repetitions_leave_as_many_in_reserve_as_before():
    lines, _ = changed(block(1, (8, 8, 8), (5, 5), 11.0), 1, (6, 6, 5), 11.0)

    assert lines[1]["targets"] == [3, 3]


def test_an_easier_exercise_comes_in_and_never_with_less_than_one():
    lines, _ = changed(block(1, (8, 8, 8), (5, 4), 11.0), 1, (4, 4, 4), 0.0, swap_to=3)

    assert [one["exercise"] for one in lines] == [3, 3, 3]
    assert lines[1]["targets"] == [1, 1]


def test_help_is_more_where_more_is_lighter():
    less_help, _ = changed(block(2, (8, 8), (5, 5), 20.0), 2, (8, 8), 15.0)
    more_help, _ = changed(block(2, (8, 8), (5, 5), 20.0), 2, (8, 8), 25.0)

    assert (less_help[1]["load_kg"], more_help[1]["load_kg"]) == (20.0, 25.0)


def test_a_step_up_is_not_the_light_weeks():
    snapshot = block(1, (8, 8, 8), (5, 5), 11.0)

    lines, after = changed(snapshot, 1, (5, 5, 5), 12.0, light_too=False)

    assert (lines[1]["targets"], lines[1]["load_kg"]) == ([5, 5], 11.0)
    assert light_weeks_following(snapshot, after, about(1)) == ()


def test_what_a_step_up_left_lighter_stays_lighter_after_a_step_back():
    """Usual weeks rose to 12 kg, the light week stayed at 10 kg: 11 kg is not for it."""
    snapshot = block(1, (8, 8, 8), (5, 5), 12.0)
    snapshot["weeks"][1]["sessions"][0]["pairs"][0]["lines"][0]["load_kg"] = 10.0

    lines, _ = changed(snapshot, 1, (8, 8, 8), 11.0)

    assert (lines[1]["targets"], lines[1]["load_kg"]) == ([5, 5], 10.0)


def test_the_light_weeks_that_follow_are_named_by_number():
    snapshot = block(1, (8, 8, 8), (5, 5), 11.0)

    _, after = changed(snapshot, 1, (8, 8, 8), 10.0)

    assert light_weeks_following(snapshot, after, about(1)) == (2,)
    assert light_weeks_following(snapshot, after, about(2)) == ()


@pytest.mark.parametrize("since", [date(2026, 3, 17), date(2026, 3, 24)])
def test_a_light_week_that_is_past_stays(since):
    snapshot = block(1, (8, 8, 8), (5, 5), 11.0)
    change = TargetChange(1, "supplementary", (8, 8, 8), 10.0, light_too=True)

    assert with_targets(snapshot, [change], since, EXERCISES)["weeks"][1] == snapshot["weeks"][1]
