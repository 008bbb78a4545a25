"""A draft begins where its client stands, light weeks follow, and own loads are kept.

What is asked of a draft here is a coach's demand, common practice, no source.
"""

from dataclasses import replace
from datetime import date

from coaching.blocks.adaptation import adapted
from coaching.blocks.adaptation_values import ClientMeans
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    WrittenWeek,
    lines_of,
    written_plan,
)
from coaching.rules.loads import EquipmentItem
from coaching.rules.pain_reach import Hurt
from coaching.rules.plan import EquipmentKind, JointAction, LoadKind, Part, WeekKind
from coaching.rules.standing import Standing
from tests.rules.examples import make_exercise

BUILD, DELOAD = WeekKind.BUILD, WeekKind.DELOAD
DAY = date(2026, 11, 20)
FLOOR = make_exercise(
    "push-up", load_kind=LoadKind.NONE, joint_actions=[JointAction.SHOULDER_FLEXION]
)
PRESS = make_exercise(
    "press", load_kind=LoadKind.EXTERNAL, body_share=0.0, equipment=[EquipmentKind.DUMBBELLS]
)
LIBRARY = {one.key: one for one in (FLOOR, PRESS)}


def sessions(key, targets, load=0.0):
    line = TemplateLine(key, targets, load, "3-0-1-0", 90, 2)
    return (TemplateSession("Upper", 0, (TemplatePair("A", Part.PRIMARY, (line,)),)),)


def fit(plan, **means):
    given = {"level": 2, "planned": frozenset(LIBRARY), **means}
    return adapted(plan, LIBRARY, ClientMeans(list(LIBRARY.values()), **given))


def lines(found):
    return [(one.targets, one.load) for _, _, one in lines_of(found.plan)]


def test_repetitions_of_what_cannot_be_loaded_do_not_fall_and_the_change_says_from_what():
    plan = TemplatePlan((BUILD,), sessions("push-up", (5,) * 5))

    found = fit(plan, standing={"push-up": (Standing(DAY, (8, 8, 7, 7, 7), 0.0),)})

    assert lines(found) == [((8, 8, 7, 7, 7), 0.0)]
    (change,) = found.changes
    assert change.sentence == (
        "Push up, 8-8-7-7-7 at body weight: from 8-8-7-7-7 at body weight on 20 Nov."
    )


def test_what_is_done_goes_before_what_was_planned_long_before():
    own = EquipmentItem(EquipmentKind.DUMBBELLS, tuple(float(kg) for kg in range(10, 30)))
    plan = TemplatePlan((BUILD,), sessions("press", (5,) * 5))

    found = fit(plan, equipment=[own], standing={"press": (Standing(DAY, (8, 8, 7, 7, 7), 20.0),)})

    # By Epley and by Brzycki 21.1 and 21.3 kg, as in tests/rules/test_standing.py.
    assert lines(found) == [((5,) * 5, 21.0)]
    assert found.told.loads == ("Press, 5 × 5 at 21 kg: from 8-8-7-7-7 at 20 kg on 20 Nov.",)


def test_a_beginning_that_is_easier_is_never_folded_away():
    plan = TemplatePlan((BUILD,), sessions("push-up", (5, 5)))

    found = fit(plan, standing={"push-up": (Standing(DAY, (15, 14), 0.0),)})

    assert lines(found) == [((12, 12), 0.0)]
    assert found.told.must_see == (
        "Push up, 2 × 12 at body weight is easier than before: from 15-14 at body weight on 20 Nov.",
    )


def test_a_light_week_keeps_its_share_of_a_usual_week_that_begins_lower():
    weeks = [sessions("push-up", (8, 8, 7, 7, 7)), sessions("push-up", (4,) * 4)]
    written = [WrittenWeek(7 * n, one) for n, one in enumerate(weeks)]

    found = fit(written_plan((BUILD, DELOAD), written), planned=frozenset(), made_for=3)

    # 16 of 37 are 43 %; of the 27 that are left that is 11.7: 12, in as few sets as may be.
    assert [targets for targets, _ in lines(found)] == [(6, 6, 5, 5, 5), (6, 6)]


def test_loads_of_ones_own_block_stay_where_no_weights_are_written_down_and_it_is_told_once():
    bare = EquipmentItem(EquipmentKind.DUMBBELLS)
    weeks = [WrittenWeek(7 * n, sessions("press", (8, 8), 10.0)) for n in range(3)]

    found = fit(written_plan((BUILD,) * 3, weeks), equipment=[bare], keeps_loads=True)

    assert lines(found) == [((8, 8), 10.0)] * 3
    assert found.told.work == (
        "Loads with dumbbells stay as they are: no weights are written down at intake, "
        "so nothing tells what can be made.",
    )


def test_nothing_owned_makes_a_load_still_to_choose():
    own = EquipmentItem(EquipmentKind.DUMBBELLS, (12.0,))
    plan = TemplatePlan((BUILD,), sessions("press", (8, 8), 10.0))

    assert lines(fit(plan, equipment=[own], keeps_loads=True)) == [((8, 8), 0.0)]


def test_what_hurt_last_is_asked_no_more_of_than_the_template_says_and_it_is_never_folded():
    own = EquipmentItem(EquipmentKind.DUMBBELLS, tuple(float(kg) for kg in range(10, 30)))
    plan = TemplatePlan((BUILD,), sessions("press", (5,) * 3, 15.0))
    sore = Standing(DAY, (12,) * 3, 20.0, hurt=True)

    found = fit(plan, equipment=[own], standing={"press": (sore,)})

    assert lines(found) == [((5,) * 3, 15.0)]
    assert found.told.must_see == (
        "Press, 3 × 5 at 15 kg: it hurt above 5 of 10 when it was last done, 3 × 12 at 20 kg on "
        "20 Nov; ask before it is done again, or swap it.",
    )


def test_what_hurt_lately_is_named_with_what_of_the_plan_loads_the_joint_alike():
    plan = TemplatePlan((BUILD,), sessions("push-up", (5,) * 3))
    # Both are presses that bend the shoulder, so where it hurts the push-up loads it alike.
    dip = make_exercise("dip", joint_actions=FLOOR.joint_actions)

    (told,) = fit(plan, pains=(Hurt(dip, 7, "left shoulder", DAY),)).told.must_see

    assert told.startswith(
        "Hurt lately: Dip (left shoulder, 7 of 10 on 20 Nov): Push up of this draft loads it alike; "
        "ask before the first session"
    )
    assert "licensed practitioner" in told


def test_more_than_was_done_is_said_like_less():
    plan = TemplatePlan((BUILD,), sessions("push-up", (8,) * 5))

    found = fit(plan, standing={"push-up": (Standing(DAY, (8,) * 3, 0.0),)})

    assert found.told.must_see == (
        "Push up, 5 × 8 at body weight is harder than before: from 3 × 8 at body weight on 20 Nov.",
    )


def test_own_repetitions_count_as_a_change_and_not_as_a_load():
    plan = TemplatePlan((BUILD,), sessions("push-up", (5,) * 5))

    told = fit(plan, standing={"push-up": (Standing(DAY, (8, 8, 7, 7, 7), 0.0),)}).told

    assert told.loads == ()
    assert told.numbers == "1 with the client’s own targets"


def test_a_heavy_and_a_light_day_each_go_on_from_their_own():
    own = EquipmentItem(EquipmentKind.DUMBBELLS, tuple(float(kg) for kg in range(30, 70)))
    heavy, light = (sessions("press", (reps,) * 5)[0] for reps in (6, 8))
    plan = TemplatePlan((BUILD,), (heavy, replace(light, name="Upper, light", day=3)))
    stood = (Standing(DAY, (8,) * 5, 40.0), Standing(DAY, (6,) * 5, 60.0))

    found = fit(plan, equipment=[own], standing={"press": stood})

    assert lines(found) == [((6,) * 5, 60.0), ((8,) * 5, 40.0)]


def test_what_is_told_is_the_load_that_comes():
    own = EquipmentItem(EquipmentKind.DUMBBELLS, (10.0, 40.0))
    plan = TemplatePlan((BUILD,), sessions("press", (12,) * 3))

    found = fit(plan, equipment=[own], standing={"press": (Standing(DAY, (12,) * 3, 200.0),)})

    assert lines(found) == [((12,) * 3, 40.0)]
    assert found.told.loads == ("Press, 3 × 12 at 40 kg: from 3 × 12 at 200 kg on 20 Nov.",)
