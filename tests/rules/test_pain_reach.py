"""Which exercises to come step back for the pain of one. Worked cases: common practice, no source.

Above 5 of 10 nothing is trained on (Thomee 1997, Silbernagel 2007, knee and Achilles tendon); that
a harder movement of the same joint is no relief is common practice, no source.
"""

from dataclasses import replace

import pytest

from coaching.library.shared_catalogue import read_shared_catalogue
from coaching.rules.pain_reach import (
    Hurt,
    Reach,
    hurts_in,
    joints_named,
    may_step_back_to,
    reach,
    spared,
    steps_back,
)
from coaching.rules.plan import Part
from coaching.rules.progression import Step
from coaching.rules.progression_case import Known, case_of
from coaching.rules.progression_choices import as_planned
from tests.rules.examples import day, make_logged_session, make_prescription, make_sets

LIBRARY = {one.exercise.key: one.exercise for one in read_shared_catalogue()}


def hurt(key, where="left shoulder", pain=6):
    return Hurt(LIBRARY[key], pain, where, day(1))


@pytest.mark.parametrize(
    ("painful", "where", "alike"),
    [
        ("incline-push-up", "left shoulder", {"push-up", "dumbbell-bench-press", "close-push-up"}),
        ("pike-push-up", "left shoulder", {"dumbbell-overhead-press", "dip", "box-pike-push-up"}),
        ("pull-up", "right elbow", {"chest-supported-row", "dumbbell-curl", "archer-pull-up"}),
        ("goblet-squat", "knee", {"split-squat", "step-up"}),
        ("incline-push-up", "somewhere in front", {"push-up", "dumbbell-bench-press"}),
    ],
)
def test_what_works_the_painful_joint_alike_is_reached(painful, where, alike):
    assert {reach(hurt(painful, where), LIBRARY[key]) for key in alike} == {Reach.ALIKE}


@pytest.mark.parametrize(
    ("painful", "where", "one", "how"),
    [
        ("incline-push-up", "left shoulder", "knee-push-up", Reach.LOADS_IT),
        ("incline-push-up", "left shoulder", "eccentric-pull-up", Reach.LOADS_IT),
        ("incline-push-up", "left shoulder", "dumbbell-curl", Reach.NONE),
        ("incline-push-up", "left shoulder", "split-squat", Reach.NONE),
        ("dumbbell-curl", "forearm", "split-squat", Reach.NONE),
    ],
)
def test_an_easier_rung_and_another_pattern_only_do_not_step_up(painful, where, one, how):
    assert reach(hurt(painful, where), LIBRARY[one]) is how


def test_places_are_read_as_people_write_them():
    assert joints_named("Left Shoulder, front") == ("shoulder",)
    assert joints_named("forearm") == ("elbow", "wrist")
    assert joints_named("somewhere") == ()


def test_only_the_last_time_counts_and_only_above_the_limit():
    push_up, dip = LIBRARY["push-up"], LIBRARY["dip"]
    sessions = [
        make_logged_session(make_sets(push_up, (7, 7), pain=6), on=day(0)),
        make_logged_session(make_sets(dip, (7, 7), pain=6), on=day(0)),
        make_logged_session(make_sets(push_up, (7, 7), pain=2), on=day(2)),
    ]

    assert [one.exercise.key for one in hurts_in(sessions, day(0))] == ["dip"]
    assert hurts_in(sessions, day(1)) == ()
    assert hurts_in(sessions[:1], day(0))[0].pain == 6


def test_a_rung_to_step_back_to_is_below_all_that_hurts():
    hurts = (hurt("incline-push-up"), hurt("pike-push-up"))

    assert not may_step_back_to(LIBRARY["incline-push-up"], hurts)
    assert may_step_back_to(LIBRARY["knee-push-up"], hurts)
    assert may_step_back_to(LIBRARY["bent-knee-row"], hurts)


def asked(key, targets, hurts, *, load=0.0, part=Part.PRIMARY, easier=None, loads=(0.0,)):
    prescription = make_prescription(LIBRARY[key], targets, load, part=part)
    known: Known = {
        "loads": loads,
        "harder": None,
        "easier": LIBRARY[easier] if easier else None,
        "body_weight": 80.0,
    }
    target = as_planned(prescription, [], **known)
    return spared(target, case_of(prescription, [], **known), hurts)


def test_a_harder_rung_of_what_hurts_steps_back_below_it():
    found = asked("push-up", (6, 6, 6, 6, 5), (hurt("incline-push-up"),), easier="knee-push-up")

    assert (found.step, found.exercise_key) == (Step.STEP_BACK, "knee-push-up")
    assert found.sentence.startswith(
        "Push-up loads the shoulder as Incline push-up does, which hurt 6 of 10: step back to "
        "Knee push-up"
    )
    assert "licensed practitioner" in found.sentence


def test_another_press_steps_back_in_load_and_without_one_in_work():
    press, hurts = "dumbbell-bench-press", (hurt("push-up"),)

    lighter = asked(press, (10, 9, 9), hurts, load=12, part=Part.SUPPLEMENTARY, loads=(10, 12, 14))
    fewer = asked("close-push-up", (9, 9, 9), hurts, part=Part.SUPPLEMENTARY)

    assert (lighter.step, lighter.load, lighter.targets) == (Step.STEP_BACK, 10, (8, 8, 8))
    assert (fewer.step, fewer.targets) == (Step.STEP_BACK, (8, 8, 8))
    assert "leave it out" in fewer.sentence


def test_what_loads_the_joint_otherwise_does_not_step_up():
    prescription = make_prescription(LIBRARY["eccentric-pull-up"], (5,) * 5)
    known: Known = {"loads": (0.0,), "harder": None, "easier": None, "body_weight": 80.0}
    up = replace(as_planned(prescription, [], **known), step=Step.STEP_UP, targets=(6, 5, 5, 5, 5))

    found = spared(up, case_of(prescription, [], **known), (hurt("pike-push-up"),))

    assert (found.step, found.targets) == (Step.HOLD, (5,) * 5)
    assert "Pike push-up hurt 6 of 10" in found.sentence


def test_joint_work_is_asked_as_before():
    hurts = (hurt("pike-push-up"),)

    assert not steps_back(LIBRARY["push-up"], Part.PREHAB, hurts)
    assert asked("wall-slide", (8,) * 4, hurts, part=Part.PREHAB).step is Step.HOLD
