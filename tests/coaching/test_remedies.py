"""What is offered for a finding, and what is not; sums worked out by hand beside each check."""

from dataclasses import replace

import pytest

from coaching.blocks.block_findings import ClientFacts, scene_of
from coaching.blocks.plan_figures import week_figures
from coaching.blocks.remedies import MOST_MUSCLES, remedied
from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import JointLimit, Joints, LimitAction
from coaching.rules.plan import (
    EquipmentKind,
    JointStress,
    Level,
    LoadKind,
    Muscle,
    Part,
    Pattern,
    Plane,
    WeekKind,
)
from tests.coaching.shelves import shelf_with
from tests.rules.examples import (
    MONDAY,
    day,
    make_exercise,
    make_prescription,
    make_session,
    make_week,
)

PUSH = make_exercise(joint_stresses=[JointStress.WRIST_EXTENSION])
ROW = make_exercise("row", Pattern.PULL, muscles={Muscle.LATS: 1.0, Muscle.BICEPS: 0.5})
CRUNCH = make_exercise("crunch", Pattern.CORE, plane=Plane.NONE, muscles={Muscle.ABS: 1.0})
CALF = make_exercise("calf-raise", Pattern.LEGS, plane=Plane.NONE, muscles={Muscle.CALVES: 1.0})
RAISE = make_exercise(
    "side-raise", plane=Plane.NONE, multi_joint=False, muscles={Muscle.SIDE_DELT: 1.0}
)
CURL = make_exercise(
    "curl", Pattern.PULL, plane=Plane.NONE, multi_joint=False, muscles={Muscle.BICEPS: 1.0}
)
CUFF = make_exercise("cuff", Pattern.PREHAB, plane=Plane.NONE, muscles={Muscle.REAR_DELT: 1.0})
KNEES = make_exercise("knee-push-up", ladder="push-up", rung=1)
FACTS = ClientFacts(Level.INTERMEDIATE, 60, Joints(), today=MONDAY)


def line(exercise, sets=3, reps=10, part=Part.ISOLATION, rest=60, **more):
    return make_prescription(
        exercise, [reps] * sets, part=part, rest=rest, key=exercise.key, **more
    )


def pair_of(sets=5):
    return (
        make_prescription(PUSH, [6] * sets, key="push"),
        make_prescription(ROW, [6] * sets, key="row"),
    )


def found_in(*pairs, facts=FACTS, shelf=None, following=(), kind=WeekKind.BUILD):
    session = make_session(*pairs, on=MONDAY, key="s", name="Monday")
    weeks = [week_figures(make_week(session, number=1, kind=kind, starts_on=MONDAY))]
    if following:
        later = make_session(*following, on=day(7), key="s2", name="Monday")
        weeks.append(week_figures(make_week(later, number=2, starts_on=day(7))))
    return remedied(scene_of(weeks, weeks[0], facts), shelf)


def of_kind(found, kind):
    return [one for one in (*found.findings, *found.volume) if one.finding.kind is kind]


def words(placed):
    return [one.words for one in placed.remedies]


def minutes_of(*pairs, facts):
    (told,) = of_kind(found_in(*pairs, facts=facts), FindingKind.SESSION_MINUTES)
    return told


# 8 min of warm-up; push and row 2 x 5 x (6 x 4 + 120) s = 24 min, crunch 3 x (10 x 4 + 60) s = 5,
# and three times the time to set up.
LONG = (pair_of(), line(CRUNCH))


def test_a_session_a_little_too_long_gives_a_set_that_keeps_the_balance():
    told = minutes_of(*LONG, facts=replace(FACTS, minutes=38))

    # One set of the crunch is 100 s.
    assert words(told) == ["One set less of Crunch (−2 min)"]
    assert told.remedies[0].act == {
        "act": "nudge-line",
        "line": "crunch",
        "field": "sets",
        "by": "-1",
        "reach": "onward",
    }


@pytest.mark.parametrize(
    ("minutes", "lines"),
    [
        # Each set of either is 100 s; two of them are over 3 min. Calves have 3 of at least 10.
        (44, ["One set less of Crunch (−2 min)"]),
        (
            42,
            [
                "One set less of Crunch (−2 min)",
                "One set less of Crunch and Calf raise (−3 min): calves 3 to 2 sets",
            ],
        ),
    ],
)
def test_a_muscle_under_its_range_gives_a_set_only_where_nothing_else_is_enough(minutes, lines):
    pairs = (pair_of(), (line(CRUNCH), line(CALF)))
    long = week_figures(make_week(make_session(*pairs))).sessions[0].minutes.total

    told = minutes_of(*pairs, facts=replace(FACTS, minutes=round(long) - 45 + minutes))

    assert words(told) == lines
    assert told.way_out == ""


def test_a_session_much_too_long_is_shortened_in_one_act_or_by_a_set():
    told = minutes_of(*LONG, facts=replace(FACTS, minutes=33))

    # No muscle here is in its range; the abs have none. Push and row give two of their 5 sets.
    assert words(told) == [
        "One set less of Crunch (−2 min)",
        "Shorten to 33 min, 4 sets less: chest 5 to 3, lats 5 to 3, triceps 2.5 to 1.5 sets and 1 more",
    ]
    assert told.remedies[1].act["act"] == "shorten-session"


def test_where_the_fewest_sets_are_too_many_that_is_said():
    told = minutes_of(*LONG, facts=replace(FACTS, minutes=20))

    assert words(told) == ["One set less of Crunch (−2 min)"]
    assert told.way_out.startswith("With the fewest sets it still takes ")


def test_a_long_way_over_what_would_be_left_out_is_named():
    calf = line(CALF, part=Part.SUPPLEMENTARY)
    press = replace(calf, key="press", exercise=replace(CALF, key="press", name="Leg press"))
    told = minutes_of(pair_of(), calf, press, facts=replace(FACTS, minutes=32))

    # One of the two stays, so that calves keep some work.
    assert "sets less, without Leg press: " in words(told)[1]


def test_what_is_locked_and_would_have_to_give_is_said():
    told = minutes_of(*LONG, facts=replace(FACTS, minutes=33, locked=frozenset({"push"})))

    assert words(told) == ["One set less of Crunch (−2 min)"]
    assert told.way_out == (
        "To end on time, something locked would have to give sets or rest: unlock it first."
    )


def test_no_button_stands_twice():
    both = replace(CALF, muscles=(*RAISE.muscles, *CALF.muscles))
    found = found_in(line(both), line(CRUNCH, reps=6, sets=5, part=Part.PRIMARY))

    sent = [one.sent for placed in (*found.findings, *found.volume) for one in placed.remedies]
    assert len(sent) == len(set(sent))
    helps = [one.way_out for one in found.volume if one.way_out]
    assert helps == ["One set more of Calf raise, offered above, helps here too."]


def test_isolation_gives_before_supplementary_and_a_push_with_its_pull():
    raises = (line(RAISE), line(CURL))
    told = minutes_of(
        pair_of(), line(CALF, part=Part.SUPPLEMENTARY), raises, facts=replace(FACTS, minutes=46)
    )

    # Side delt 3, biceps 3 and half of 5 for the rows: both have at least 10 to get.
    assert words(told)[0] == (
        "One set less of Side raise and Curl (−3 min): side delt 3 to 2, biceps 5.5 to 4.5 sets"
    )
    assert told.remedies[0].act["act"] == "nudge-pair"


def test_a_rest_is_shortened_by_a_step_but_not_below_what_its_part_takes():
    slow, quick = line(CRUNCH, rest=75), line(CRUNCH, rest=60)
    facts = replace(FACTS, minutes=39)

    assert words(minutes_of(pair_of(), slow, facts=facts))[1] == (
        "Rest 15 s less after Crunch (−1 min)"
    )
    assert len(words(minutes_of(pair_of(), quick, facts=replace(FACTS, minutes=38)))) == 1


def test_what_is_locked_makes_no_session_shorter():
    facts = replace(FACTS, minutes=38, locked=frozenset({"crunch", "push", "row"}))

    assert words(minutes_of(*LONG, facts=facts)) == []


def muscle(found, name):
    (told,) = (one for one in found.volume if one.finding.sentence.startswith(f"{name}:"))
    return told


def test_a_muscle_under_its_range_gets_a_set_of_what_trains_it_most_directly():
    told = muscle(found_in(line(CALF)), "Calves")

    assert told.finding.sentence == "Calves: 3 sets, under the range of 10 to 20."
    assert told.finding.source_key == "schoenfeld-2017"
    # 10 x 4 + 60 s.
    assert words(told) == ["One set more of Calf raise (+2 min)"]


def test_a_push_gets_its_set_together_with_its_pull():
    told = muscle(found_in((line(RAISE), line(CURL))), "Side delt")

    assert words(told) == ["One set more of Side raise and Curl (+3 min)"]


def test_a_set_that_takes_a_session_beyond_its_minutes_is_not_offered_and_that_is_said():
    # Two sets of 12 x 4 + 60 s and the warm-up leave no room for one more in 30 min less.
    minutes = round(
        week_figures(make_week(make_session((line(RAISE), line(CURL))))).sessions[0].minutes.total
    )
    told = muscle(
        found_in((line(RAISE), line(CURL)), facts=replace(FACTS, minutes=minutes)), "Side delt"
    )

    assert words(told) == []
    assert told.way_out == (
        "One set more of Side raise and Curl would take Monday beyond the client’s minutes."
    )


def test_a_muscle_that_nothing_trains_directly_gets_an_exercise_that_may_be_done():
    shelf = shelf_with(
        {
            7: CUFF,
            8: make_exercise(
                "machine", muscles={Muscle.REAR_DELT: 1.0}, equipment=[EquipmentKind.CABLE]
            ),
        },
        kinds=(),
    )
    pull = replace(
        ROW, muscles=(*ROW.muscles, *make_exercise(muscles={Muscle.REAR_DELT: 0.5}).muscles)
    )

    told = muscle(found_in((line(PUSH), line(pull)), shelf=shelf), "Rear delt")

    assert [one.act for one in told.remedies] == [
        {
            "act": "add-exercise",
            "session": "s",
            "exercise": "7",
            "part": "prehab",
            "reach": "onward",
        }
    ]
    assert words(told)[0].startswith("Add Cuff to Monday (+")


def test_where_an_addition_would_lean_the_session_the_exercise_is_named():
    shelf = shelf_with({7: RAISE})
    press = make_exercise("press", muscles={Muscle.SIDE_DELT: 0.5})

    told = muscle(found_in((line(press), line(ROW)), shelf=shelf), "Side delt")

    assert words(told) == []
    assert told.way_out == (
        "Outside prehab no exercise of this week has the side delt as its main mover. Side raise "
        "has, with a pull beside it, where there is time for it."
    )


def test_where_nothing_fits_the_client_that_is_said():
    press = make_exercise("press", muscles={Muscle.SIDE_DELT: 0.5})

    told = muscle(found_in((line(press), line(ROW)), shelf=shelf_with({})), "Side delt")

    assert told.way_out.startswith("No exercise for the side delt fits the client’s level")


def test_a_muscle_above_its_range_loses_isolation_first_and_never_prehab():
    cuff = make_exercise("cuff", Pattern.PREHAB, plane=Plane.NONE, muscles={Muscle.CALVES: 1.0})
    found = found_in(
        line(replace(CALF, key="squat", name="Squat"), 9, part=Part.PRIMARY),
        line(CALF, 5),
        line(cuff, 8, part=Part.PREHAB),
        facts=replace(FACTS, minutes=200),
    )

    told = muscle(found, "Calves")

    # 9 + 5 + 8 = 22 of at most 20.
    assert told.finding.sentence == "Calves: 22 sets, above the range of 10 to 20."
    assert [one.act["line"] for one in told.remedies] == ["calf-raise"]


def test_the_muscles_furthest_off_come_first_and_the_others_are_only_told():
    muscles = {
        m: 1.0 - n / 10
        for n, m in enumerate(
            (Muscle.CHEST, Muscle.CALVES, Muscle.LATS, Muscle.BICEPS, Muscle.GLUTES)
        )
    }
    found = found_in(line(make_exercise("all", Pattern.LEGS, muscles=muscles), 3))

    assert [one.finding.sentence.partition(":")[0] for one in found.volume] == [
        "Glutes",
        "Biceps",
        "Lats",
        "Calves",
        "Chest",
    ]
    assert all(not one.remedies and not one.way_out for one in found.volume[MOST_MUSCLES:])


AVOIDS = (JointLimit(JointStress.WRIST_EXTENSION, LimitAction.AVOID, key=1),)


@pytest.mark.parametrize(
    ("action", "offered"), [("avoid", True), ("regress", True), ("watch", False)]
)
def test_what_a_joint_must_be_spared_is_swapped_for_what_spares_it(action, offered):
    limits = (JointLimit(JointStress.WRIST_EXTENSION, LimitAction(action), key=1),)
    shelf = shelf_with({5: PUSH, 6: make_exercise("floor-press", equipment=[])})

    found = found_in(pair_of(), facts=replace(FACTS, joints=Joints(limits)), shelf=shelf)

    (told,) = of_kind(found, FindingKind.JOINT_LIMIT)
    assert words(told) == (["Floor press instead of Push up"] if offered else [])
    assert not offered or told.remedies[0].act["exercise"] == "6"


def test_an_easier_rung_comes_before_another_exercise():
    rung = replace(PUSH, ladder="push-up", rung=3)
    shelf = shelf_with({5: rung, 6: make_exercise("floor-press"), 7: KNEES})
    pair = (make_prescription(rung, [6] * 5, key="push"), pair_of()[1])

    found = found_in(pair, facts=replace(FACTS, joints=Joints(AVOIDS)), shelf=shelf)

    (told,) = of_kind(found, FindingKind.JOINT_LIMIT)
    assert words(told) == ["Knee push up instead of Push up", "Floor press instead of Push up"]


def test_no_swap_is_offered_that_loads_another_limit():
    limits = (*AVOIDS, JointLimit(JointStress.ELBOW_PRESS, LimitAction.WATCH, key=2))
    press = make_exercise("press", joint_stresses=[JointStress.ELBOW_PRESS])

    found = found_in(
        pair_of(), facts=replace(FACTS, joints=Joints(limits)), shelf=shelf_with({6: press})
    )

    (told,) = of_kind(found, FindingKind.JOINT_LIMIT)
    assert words(told) == []


DIP = make_exercise("dip", ladder="dip", rung=4, load_kind=LoadKind.ADDED)
RING_DIP = make_exercise("ring-dip", ladder="dip", rung=5)


def repetitions(*reps, **more):
    dip = make_prescription(DIP, reps, key="dip")
    row = make_prescription(ROW, [6] * len(reps), key="row")
    return of_kind(found_in((dip, row), **more), FindingKind.REPETITIONS)


def test_repetitions_far_above_their_part_go_back_to_the_end_of_its_range():
    (told,) = repetitions(14, 14, 13, 13, 13, shelf=shelf_with({4: DIP, 5: RING_DIP}))

    assert words(told) == ["Dip 5 × 8, Monday"]
    assert told.remedies[0].act == {
        "act": "change-line",
        "line": "dip",
        "targets": "8",
        "reach": "onward",
    }
    assert told.way_out == ("The next harder rung is Ring dip: swap it in and start at the range.")


def test_a_later_week_that_is_in_its_range_is_left_alone():
    later = (
        make_prescription(DIP, [7] * 5, key="dip2"),
        make_prescription(ROW, [6] * 5, key="row2"),
    )

    (told,) = repetitions(14, 14, 13, 13, 13, following=(later,))

    assert told.remedies[0].act["reach"] == "week"


@pytest.mark.parametrize("kind", [WeekKind.DELOAD, WeekKind.TEST])
def test_light_and_test_weeks_are_not_judged_by_repetitions(kind):
    assert repetitions(20, 20, 20, kind=kind) == []


@pytest.mark.parametrize(
    ("facts", "why"),
    [
        # A week that is over needs no word: all of it stays.
        (replace(FACTS, today=day(20)), ""),
        (replace(FACTS, today=day(1)), "Past or begun: nothing of it changes any more."),
        (
            replace(FACTS, begun=frozenset({"s"})),
            "Past or begun: nothing of it changes any more.",
        ),
        (
            replace(FACTS, locked=frozenset({"s"})),
            "What is locked stays: unlock it to change it.",
        ),
    ],
)
def test_nothing_is_offered_for_what_can_no_longer_change_and_why_is_said(facts, why):
    strict = replace(facts, minutes=20, joints=Joints(AVOIDS))

    found = found_in(pair_of(), line(CALF, reps=20), facts=strict, shelf=shelf_with({6: DIP}))

    assert len(found.findings) >= 3
    assert {one.remedies for one in (*found.findings, *found.volume)} == {()}
    assert {one.way_out for one in found.findings if one.keys} == {why}
