"""What becomes of each exercise in the next block: constructed cases.

Two blocks in a row and then change, swapping what stalled, and keeping what worked are common
practice, no source. The limit of pain is that of Thomeé 1997 (pain-monitoring model): 5 of 10.
"""

from collections.abc import Sequence
from datetime import date, timedelta

import pytest

from coaching.rules.joint_limits import JointLimit, LimitAction
from coaching.rules.next_block import KEEP, LastBlock, Other, Outcome, are_alike, next_block, ranked
from coaching.rules.plan import (
    JointStress,
    Level,
    LoadKind,
    Measure,
    Muscle,
    Part,
    Plane,
    Tempo,
)
from coaching.rules.progression import Exposure, next_target
from tests.rules.examples import (
    MONDAY,
    make_prescription,
    make_pull_up,
    make_sets,
)
from tests.rules.next_block_cases import other, stalled

PULL_UP = make_pull_up(
    joint_stresses=(JointStress.ELBOW_FLEXED_PULL, JointStress.GRIP), ladder="pull-up", rung=4
)
CHIN_UP = make_pull_up("chin-up", joint_stresses=(JointStress.ELBOW_FLEXED_PULL,))
PULL_DOWN = make_pull_up("pull-down", body_share=0.0, load_kind=LoadKind.EXTERNAL)
LOWERING = make_pull_up("lowering-pull-up", ladder="pull-up", rung=3)
ROW = make_pull_up("row", plane=Plane.HORIZONTAL)


OTHERS = (other(LOWERING), other(CHIN_UP), other(PULL_DOWN, load=20.0), other(ROW))


def done(amounts: Sequence[int], on: date, *, pain: int | None = None, exercise=PULL_UP):
    sets = make_sets(exercise, amounts, targets=(7,) * len(amounts), pain=pain)
    return Exposure(on=on, sets=sets, planned=make_prescription(exercise))


def days(*amounts: Sequence[int], pain: dict[int, int] | None = None) -> tuple[Exposure, ...]:
    """Sessions of the pull-up every fourth day."""
    hurt = pain or {}
    return tuple(
        done(one, MONDAY + timedelta(days=4 * place), pain=hurt.get(place))
        for place, one in enumerate(amounts)
    )


def line(exposures=(), **more) -> LastBlock:
    """A pull-up of 5 × 7 with what the log asks for next."""
    asked = more.pop("asked", make_prescription(PULL_UP))
    target = None
    if exposures:
        target = next_target(
            asked, exposures, loads=(0.0,), harder=None, easier=LOWERING, body_weight=70.0
        )
    more.setdefault("others", OTHERS)
    return LastBlock(asked=asked, exposures=tuple(exposures), target=target, **more)


def choice_of(one: LastBlock, wish: str = ""):
    return next_block({"a": one}, {"a": wish} if wish else {})["a"]


MET, MISSED = (7, 7, 7, 7, 7), (7, 7, 6, 6, 6)


# --- what worked, what is not known ------------------------------------------------


def test_without_a_log_an_exercise_is_kept_as_planned_and_says_so():
    found = choice_of(line(blocks_alike=2))

    assert (found.outcome, found.targets) == (Outcome.KEEP, MET)
    assert "No log" in found.sentence


def test_what_was_achieved_goes_one_step_up_the_stair():
    # The stair as coaches write it: from 7,7,7,7,7 to 8,7,7,7,7 (common practice, no source).
    found = choice_of(line(days(MET, MET)))

    assert (found.outcome, found.exercise, found.targets) == (
        Outcome.STEP_UP,
        PULL_UP,
        (8, 7, 7, 7, 7),
    )
    assert found.why == "worked"
    assert found.evidence


def test_a_target_missed_twice_steps_back_and_stays_the_same_exercise():
    found = choice_of(line(days(MISSED, MISSED)))

    assert (found.outcome, found.exercise) == (Outcome.STEP_BACK, PULL_UP)
    assert sum(found.targets) < sum(MET)


# --- what hurt, stalled, or cannot be done ------------------------------------------


def test_pain_above_five_in_two_sessions_brings_what_loads_other_joints_with_the_caution():
    found = choice_of(line(days(MET, MET, MET, pain={0: 6, 2: 7})))

    assert found.outcome is Outcome.SWAP
    assert found.exercise is not None
    assert not set(PULL_UP.joint_stresses) & set(found.exercise.joint_stresses)
    assert "licensed practitioner" in found.sentence
    assert found.source_key == "thomee-1997"


def test_pain_once_is_answered_by_a_step_back():
    found = choice_of(line(days(MET, MET, pain={1: 6})))

    assert found.outcome is Outcome.STEP_BACK
    assert found.why == "hurt"


def test_pain_of_five_is_within_the_limit():
    assert choice_of(line(days(MET, MET, pain={0: 5, 1: 5}))).outcome is Outcome.STEP_UP


def test_what_stalled_gives_way_to_another_exercise_and_not_to_a_rung():
    found = choice_of(line(days(MISSED, MISSED, MISSED), trend=stalled()))

    assert (found.outcome, found.why) == (Outcome.SWAP, "stalled")
    assert found.exercise is CHIN_UP


def test_a_stalled_exercise_that_a_goal_stands_on_stays_and_begins_lower():
    found = choice_of(line(days(MISSED, MISSED, MISSED), trend=stalled(), serves_goal=True))

    assert (found.outcome, found.exercise) == (Outcome.STEP_BACK, PULL_UP)
    assert sum(found.targets) < sum(MET)


@pytest.mark.parametrize("wish", ["", KEEP])
def test_what_cannot_be_done_is_never_kept_even_when_wished(wish):
    found = choice_of(line(days(MET), forbidden="needs pull-up bar"), wish)

    assert found.outcome is Outcome.SWAP
    assert "needs pull-up bar" in found.sentence


def test_what_cannot_be_done_and_has_no_replacement_is_left_out_and_says_what_that_does():
    found = choice_of(line(days(MET), forbidden="needs pull-up bar", others=()))

    assert (found.outcome, found.exercise, found.targets) == (Outcome.LEAVE_OUT, None, ())
    assert "balance" in found.sentence


def test_what_must_be_regressed_gives_way_to_a_rung_that_spares_it():
    limit = JointLimit(JointStress.GRIP, LimitAction.REGRESS)

    found = choice_of(line(days(MET), limits=(limit,)))

    assert found.exercise is LOWERING


@pytest.mark.parametrize(
    "more",
    [
        {"exposures": days(MET, MET, MET, pain={0: 6, 2: 7})},
        {"exposures": days(MET), "limits": (JointLimit(JointStress.GRIP, LimitAction.REGRESS),)},
    ],
    ids=["hurt", "regressed"],
)
def test_what_hurt_itself_is_never_offered_for_what_hurts_or_must_be_regressed(more):
    row = make_pull_up("row", joint_stresses=())
    hurting = choice_of(line(others=(other(row, hurt=True),), **more))
    sound = choice_of(line(others=(other(row),), **more))

    assert sound.exercise is row
    assert hurting.exercise is not row


def taken(one: LastBlock, *unfit: str) -> str:
    """What comes in where these exercises would put the lats out of their range."""
    barred = {"a": dict.fromkeys(unfit, "lats 9 sets, the range is 10 to 20")}
    exercise = next_block({"a": one}, None, barred)["a"].exercise
    assert exercise is not None
    return exercise.key


GRIP_AND_ELBOW = (
    JointLimit(JointStress.GRIP, LimitAction.AVOID),
    JointLimit(JointStress.ELBOW_FLEXED_PULL, LimitAction.WATCH),
)


@pytest.mark.parametrize(
    "more",
    [
        {"exposures": days(MET, MET, MET, pain={0: 6, 2: 7})},
        {"exposures": days(MET), "forbidden": "loads the grip", "limits": GRIP_AND_ELBOW},
    ],
    ids=["hurt", "forbidden"],
)
def test_what_spares_the_joints_comes_before_what_keeps_a_muscle_in_its_range(more):
    # The pull-up loads elbow and grip, the chin-up the elbow, the rows neither.
    rows = [other(make_pull_up(key, joint_stresses=())) for key in ("ring-row", "row")]
    one = line(others=(other(CHIN_UP), *rows), **more)

    assert taken(one, "ring-row", "row") in {"ring-row", "row"}
    assert taken(one, "row") == "ring-row"
    assert taken(one, "ring-row") == "row"


def test_the_rung_that_spares_a_regressed_joint_comes_before_what_keeps_a_muscle_in_its_range():
    limit = JointLimit(JointStress.GRIP, LimitAction.REGRESS)
    one = line(days(MET), limits=(limit,))

    assert taken(one, LOWERING.key) == LOWERING.key


def test_what_loads_a_guarded_joint_anew_comes_after_what_spares_alike_and_loads_none():
    watched = JointLimit(JointStress.LOWER_BACK_BENDING, LimitAction.WATCH)
    bent = make_pull_up("bent-row", joint_stresses=(JointStress.LOWER_BACK_BENDING,))
    lying = make_pull_up("lying-row", joint_stresses=(), muscles={Muscle.BICEPS: 1.0})
    one = line(
        days(MET, MET, MET, pain={0: 6, 2: 7}),
        limits=(watched,),
        others=(other(bent), other(lying)),
    )

    assert taken(one) == "lying-row"
    assert taken(one, "lying-row") == "lying-row"


# --- two blocks alike ----------------------------------------------------------------


def test_blocks_are_alike_by_what_they_have_in_common():
    last = {"dip", "pull-up", "squat", "curl", "plank"}

    assert are_alike(last, {"dip", "pull-up", "squat", "lunge"})
    assert not are_alike(last, {"dip", "pull-up", "lunge"})
    assert not are_alike(set(), {"dip"})


@pytest.mark.parametrize(
    ("more", "changes"),
    [
        ({}, True),
        ({"blocks_alike": 1}, False),
        ({"serves_goal": True}, False),
        ({"held": True}, False),
        ({"asked": make_prescription(PULL_UP, part=Part.PREHAB)}, False),
    ],
)
def test_after_two_blocks_alike_another_exercise_comes_unless_it_is_to_stay(more, changes):
    found = choice_of(line(days(MISSED), **({"blocks_alike": 2} | more)))

    assert (found.outcome is Outcome.SWAP) is changes


@pytest.mark.parametrize(
    ("level", "part", "changes"),
    [
        (Level.INTERMEDIATE, Part.PRIMARY, False),
        (Level.INTERMEDIATE, Part.SUPPLEMENTARY, True),
        (Level.BEGINNER, Part.SUPPLEMENTARY, False),
    ],
)
def test_what_still_goes_up_stays_in_a_primary_pair_and_anywhere_for_a_beginner(
    level, part, changes
):
    asked = make_prescription(PULL_UP, part=part)
    one = line(days(MET, MET), asked=asked, blocks_alike=2, level=level)

    assert (choice_of(one).outcome is Outcome.SWAP) is changes


# --- the coach's choice, and what goes together ---------------------------------------


def test_the_coach_keeps_a_line_or_takes_another_of_the_alternatives():
    one = line(days(MET, MET))

    kept, taken = choice_of(one, KEEP), choice_of(one, ROW.key)

    assert (kept.outcome, kept.targets, kept.exercise) == (Outcome.KEEP, MET, PULL_UP)
    assert (taken.outcome, taken.exercise) == (Outcome.SWAP, ROW)
    assert choice_of(one, "no-such-exercise") == choice_of(one)


def test_the_same_exercise_gives_way_to_the_same_one_in_every_session():
    two = {key: line(days(MISSED, MISSED), trend=stalled()) for key in ("heavy", "light")}

    found = next_block(two)

    assert found["heavy"].exercise == found["light"].exercise


def test_no_exercise_comes_in_that_the_block_has_already():
    chin, neutral = make_prescription(CHIN_UP), make_pull_up("neutral-pull-up")
    one = line(days(MISSED), trend=stalled(), others=(*OTHERS, other(neutral)))
    lines = {"a": one, "b": LastBlock(asked=chin)}

    assert next_block(lines)["a"].exercise is neutral


def test_what_trains_the_same_muscles_in_the_same_plane_comes_first():
    biceps = make_pull_up("curl-pull", muscles={Muscle.BICEPS: 1.0, Muscle.LATS: 0.5})
    one = line(others=(other(ROW), other(biceps), other(CHIN_UP)))

    assert [each.exercise.key for each in ranked(one)] == ["chin-up", "curl-pull", "row"]


def test_a_swap_to_a_load_that_nobody_used_asks_for_one():
    one = line(days(MET), others=(other(PULL_DOWN, load=20.0),))

    found = choice_of(one, PULL_DOWN.key)

    assert "choose its load with the client" in found.sentence
    assert "20 kg" not in found.sentence
    assert (found.load, found.load_is_open) == (0.0, True)


def test_a_swap_to_a_hold_is_asked_in_seconds_at_its_own_tempo():
    hang = make_pull_up("hang", measure=Measure.SECONDS)
    own = Tempo.parse("0-0-1-0")
    one = line(days(MET), others=(Other(hang, "hangs", 0.0, own),))

    found = choice_of(one, "hang")

    # 10 s is the shortest hold that is asked for (a house choice of this tool).
    assert (found.targets, found.tempo) == ((10, 10, 10, 10, 10), own)
