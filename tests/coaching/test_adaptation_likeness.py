"""What stands in where equipment or level rules an exercise out. Common practice, no source."""

from dataclasses import replace

import pytest

from coaching.blocks.adaptation import adapted
from coaching.blocks.adaptation_values import ClientMeans
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    lines_of,
    read_shared_templates,
)
from coaching.library.shared_catalogue import read_shared_catalogue
from coaching.rules.joint_limits import JointLimit, LimitAction
from coaching.rules.loads import EquipmentItem
from coaching.rules.plan import EquipmentKind, JointStress, Level, Measure, Part, WeekKind

CATALOGUE = read_shared_catalogue()
LIBRARY = {one.exercise.key: one.exercise for one in CATALOGUE}
ORDER = list(Level)
LEVELS = {one.exercise.key: ORDER.index(one.level) for one in CATALOGUE}
AT_HOME = (EquipmentKind.RINGS, EquipmentKind.BANDS, EquipmentKind.BOX, EquipmentKind.PULL_UP_BAR)


def client(level, *kinds, **more):
    own = ORDER.index(level)
    return ClientMeans(
        [LIBRARY[key] for key, at in LEVELS.items() if at <= own],
        equipment=[EquipmentItem(kind) for kind in kinds],
        levels=LEVELS,
        level=own,
        tempos={one.exercise.key: "3-0-1-0" for one in CATALOGUE},
        **more,
    )


def plan_of(key, targets=(6,) * 5, part=Part.PRIMARY, tempo="3-0-1-0"):
    line = TemplateLine(key, tuple(targets), 0.0, tempo, 120, 2)
    session = TemplateSession("Day", 0, (TemplatePair("A", part, (line,)),))
    return TemplatePlan((WeekKind.BUILD,), (session,))


def given(key, means, **more):
    return next(lines_of(adapted(plan_of(key, **more), LIBRARY, means).plan))[2]


@pytest.mark.parametrize(
    ("asked", "stands_in"),
    [
        ("barbell-back-squat", "box-pistol-squat"),
        ("romanian-deadlift", "band-good-morning"),
        ("barbell-bench-press", "ring-push-up"),
    ],
)
def test_a_trained_client_without_weights_gets_hard_work_and_not_a_beginners(asked, stands_in):
    assert given(asked, client(Level.INTERMEDIATE, *AT_HOME)).exercise_key == stands_in


def test_a_beginner_without_weights_gets_nothing_above_the_level():
    means = client(Level.ABSOLUTE_BEGINNER)

    for asked in ("barbell-back-squat", "romanian-deadlift", "barbell-bench-press"):
        assert LEVELS[given(asked, means).exercise_key] == 0


def test_dumbbells_stand_in_for_a_barbell_before_bands_do():
    means = client(
        Level.BEGINNER, EquipmentKind.DUMBBELLS, EquipmentKind.BENCH, EquipmentKind.BANDS
    )

    assert given("barbell-overhead-press", means).exercise_key == "dumbbell-overhead-press"


def test_a_joint_that_is_watched_is_spared_where_there_is_a_choice():
    wrist = JointLimit(JointStress.WRIST_EXTENSION, LimitAction.WATCH)
    means = client(Level.BEGINNER, EquipmentKind.BANDS, limits=[wrist])

    stands_in = LIBRARY[given("dumbbell-overhead-press", means).exercise_key]

    assert JointStress.WRIST_EXTENSION not in stands_in.joint_stresses


def test_what_is_above_the_level_goes_down_its_ladder_and_says_so():
    means = client(Level.BEGINNER)

    found = adapted(plan_of("archer-push-up"), LIBRARY, means)

    (told,) = found.told.work
    assert told.endswith("instead of Archer push-up, in Day: it is above this client's level.")
    (_, _, line) = next(lines_of(found.plan))
    assert LIBRARY[line.exercise_key].ladder == "push-up"
    assert LEVELS[line.exercise_key] <= ORDER.index(Level.BEGINNER)


@pytest.mark.parametrize("why", ["goals", "planned"])
def test_what_a_goal_stands_on_or_was_planned_before_stays(why):
    means = client(Level.BEGINNER, **{why: frozenset({"archer-push-up"})})

    assert given("archer-push-up", means).exercise_key == "archer-push-up"


def test_one_level_above_without_an_easier_rung_stays_and_two_are_swapped():
    assert LEVELS["planche-lean"] == 1
    own = client(Level.ABSOLUTE_BEGINNER)
    assert given("planche-lean", own, targets=(15,)).exercise_key == "planche-lean"
    assert LEVELS["explosive-push-up"] == 2
    assert LEVELS[given("explosive-push-up", own).exercise_key] == 0


def test_a_short_hold_never_becomes_two_repetitions_and_takes_the_tempo_of_the_other():
    # 10 s are 2.5 repetitions of 4 s; the part's own range begins at 5, common practice.
    means = client(Level.INTERMEDIATE)

    line = given("tuck-front-lever", means, targets=(10,) * 5, tempo="0-1-0-0")

    assert line.exercise_key != "tuck-front-lever"
    assert line.targets == (5,) * 5
    assert line.tempo == "3-0-1-0"


@pytest.mark.parametrize("level", [Level.ABSOLUTE_BEGINNER, Level.BEGINNER])
@pytest.mark.parametrize("shared", read_shared_templates(), ids=lambda one: one.key)
def test_no_template_gives_a_newcomer_what_is_two_levels_above(shared, level):
    plan = TemplatePlan(shared.week_kinds, shared.sessions)

    found = adapted(plan, LIBRARY, client(level, *EquipmentKind, minutes=60))

    own = ORDER.index(level)
    used = {line.exercise_key for _, _, line in lines_of(found.plan)}
    assert [key for key in used if LEVELS[key] - own >= 2] == []
    assert found.left_out == 0


BARS = (*AT_HOME, EquipmentKind.DIP_BARS, EquipmentKind.LOW_BAR, EquipmentKind.PARALLETTES)
OVERHEAD = JointLimit(JointStress.SHOULDER_OVERHEAD, LimitAction.AVOID)


@pytest.mark.parametrize("asked", ["pull-up", "chin-up", "pike-push-up", "dumbbell-overhead-press"])
def test_for_a_joints_sake_repetitions_give_way_to_repetitions_and_to_no_balance_or_hang(asked):
    means = client(Level.BEGINNER, *BARS, limits=(OVERHEAD,))

    found = LIBRARY[given(asked, means).exercise_key]

    assert found.pattern is LIBRARY[asked].pattern
    assert (found.measure, found.multi_joint) == (Measure.REPS, True)
    assert JointStress.SHOULDER_OVERHEAD not in found.joint_stresses


def test_of_two_as_alike_the_one_that_the_client_has_done_stands_in():
    floor = client(Level.ABSOLUTE_BEGINNER)
    known = replace(floor, planned=frozenset({"lateral-lunge"}))

    assert given("goblet-squat", floor).exercise_key == "reverse-lunge"
    assert given("goblet-squat", known).exercise_key == "lateral-lunge"


def test_an_easier_rung_that_loads_the_joint_still_says_so():
    limit = JointLimit(JointStress.SHOULDER_DEEP_EXTENSION, LimitAction.REGRESS)

    found = adapted(plan_of("dip"), LIBRARY, client(Level.INTERMEDIATE, *BARS, limits=(limit,)))

    (change,) = (one for one in found.told.must_see if "instead of" in one)
    assert "regresses shoulder behind the body; it still loads shoulder behind the body" in change


def test_what_stays_above_the_level_is_told_and_never_folded():
    means = client(Level.ABSOLUTE_BEGINNER)

    found = adapted(plan_of("planche-lean", (10,) * 3), LIBRARY, means).told

    assert found.must_see == (
        "Planche lean stays: above this client's level, and no easier rung is there: "
        "test it first, or swap it.",
    )
    assert not adapted(plan_of("planche-lean"), LIBRARY, client(Level.BEGINNER)).told
