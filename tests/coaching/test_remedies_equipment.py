"""Equipment that is gone is found in what is to come, and swapped for what is there."""

from dataclasses import replace
from datetime import timedelta

import pytest

from coaching.blocks.block_findings import findings_in, scene_of, sizes_of
from coaching.blocks.plan_figures import week_figures
from coaching.blocks.trials import Bench, Trial, act
from coaching.blocks.week_sizes import week_sizes
from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import JointLimit, Joints, LimitAction
from coaching.rules.plan import EquipmentKind, JointStress
from tests.coaching.effecting import FACTS, PUSH, ROW
from tests.coaching.remedying import (
    found_in,
    of_kind,
    words,
)
from tests.coaching.shelves import shelf_with
from tests.coaching.wholes import whole_of
from tests.rules.examples import (
    MONDAY,
    day,
    make_exercise,
    make_prescription,
    make_session,
    make_week,
)

PRESS = replace(PUSH, key="press", name="Press", equipment=(EquipmentKind.DUMBBELLS,))
PAIR = (make_prescription(PRESS, [6] * 5, key="press"), make_prescription(ROW, [6] * 5, key="row"))
BAR_PRESS = make_exercise("bar-press", equipment=[EquipmentKind.BARBELL])
GONE = frozenset(EquipmentKind) - {EquipmentKind.DUMBBELLS}
WITHOUT = replace(FACTS, equipment=GONE)


def lacking(facts, shelf=None):
    return of_kind(found_in(PAIR, facts=facts, shelf=shelf), FindingKind.EQUIPMENT)


def test_what_is_gone_is_told_with_a_swap_for_each_exercise():
    shelf = shelf_with({5: PRESS, 6: BAR_PRESS}, kinds=GONE)

    (told,) = lacking(WITHOUT, shelf)

    assert told.finding.sentence == "There are no dumbbells: 1 exercise needs them."
    assert told.sessions == ("Monday",)
    assert words(told) == ["Bar press instead of Press"]
    assert told.remedies[0].act["exercise"] == "6"
    assert told.way_out == ""


def test_no_swap_is_offered_that_loads_a_joint_to_be_spared():
    limits = (JointLimit(JointStress.ELBOW_PRESS, LimitAction.AVOID, key=1),)
    bad = replace(BAR_PRESS, joint_stresses=(JointStress.ELBOW_PRESS,))
    shelf = shelf_with({5: PRESS, 6: bad}, kinds=GONE)

    (told,) = lacking(replace(WITHOUT, joints=Joints(limits)), shelf)

    assert words(told) == []
    assert told.way_out.startswith("Swap each at its place")


@pytest.mark.parametrize(
    "facts",
    [
        FACTS,
        replace(FACTS, equipment=frozenset(EquipmentKind)),
        replace(WITHOUT, today=MONDAY + timedelta(days=1)),
        replace(WITHOUT, begun=frozenset({"s"})),
    ],
    ids=["nobody asked", "all there", "past", "begun"],
)
def test_nothing_is_told_where_all_is_there_or_nothing_can_be_changed(facts):
    assert lacking(facts) == []


def test_a_locked_exercise_stays_and_the_finding_says_so():
    (told,) = lacking(replace(WITHOUT, locked=frozenset({"s"})), shelf_with({6: BAR_PRESS}))

    assert words(told) == []
    assert told.way_out


def test_the_quick_count_of_a_week_knows_the_same_places():
    session = make_session(PAIR, on=MONDAY, key="s", name="Monday")
    weeks = [week_figures(make_week(session, number=1, starts_on=MONDAY))]
    scene = scene_of(weeks, weeks[0], WITHOUT)

    told = sizes_of(one for one in findings_in(scene) if one.finding.kind is FindingKind.EQUIPMENT)
    counted = week_sizes(scene, {"s"}, counts=False)

    assert {p: s for p, s in counted.items() if p.kind is FindingKind.EQUIPMENT} == told
    assert list(told.values()) == [1]


def two_sessions(*second):
    first = make_session(PAIR, on=MONDAY, key="s", name="Monday")
    other = make_session(*second, on=day(3), key="t", name="Thursday")
    return [week_figures(make_week(first, other, number=1, starts_on=MONDAY))]


def again(exercise, key):
    return make_prescription(exercise, [6] * 5, key=key)


def test_what_two_sessions_need_is_counted_in_each_of_them_as_it_is_told():
    weeks = two_sessions((again(PRESS, "p2"), again(ROW, "r2")), again(PRESS, "p3"))
    scene = scene_of(weeks, weeks[0], WITHOUT)

    told = sizes_of(one for one in findings_in(scene) if one.finding.kind is FindingKind.EQUIPMENT)
    counted = week_sizes(scene, {"s", "t"}, counts=False)

    assert {p: s for p, s in counted.items() if p.kind is FindingKind.EQUIPMENT} == told
    assert {place.session: size for place, size in told.items()} == {"s": 1, "t": 2}


def test_what_another_session_needs_is_no_gain_of_a_swap_that_does_not_touch_it():
    fly = replace(PRESS, key="fly", name="Fly")
    bar_fly = replace(
        BAR_PRESS, key="bar-fly", name="Bar fly", equipment=(EquipmentKind.DUMBBELLS,)
    )
    weeks = two_sessions((again(fly, "f2"), again(ROW, "r2")))
    shelf = shelf_with({5: PRESS, 6: fly, 7: bar_fly}, kinds=GONE)
    whole = whole_of(weeks, WITHOUT, shelf)
    scene = scene_of(weeks, weeks[0], WITHOUT)
    bench = Bench(scene, findings_in(scene), whole)
    (told,) = (one for one in findings_in(scene) if one.finding.kind is FindingKind.EQUIPMENT)

    sent = act("swap-line", line="press", exercise="7")
    trial = Trial("Bar fly instead of Press", sent, (weeks[0].sessions[0],))

    assert bench.best(told, [trial]) == ([], "")


def test_one_exercise_is_brought_in_for_one_that_lacks_its_equipment_and_the_others_are_named():
    wide, close = (replace(PRESS, key=key, name=key.title()) for key in ("wide", "close"))
    lines = [
        (again(PRESS, "press"), again(ROW, "row")),
        (again(wide, "wide"), again(ROW, "row2")),
        (again(close, "close"), again(ROW, "row3")),
    ]
    shelf = shelf_with({5: PRESS, 6: BAR_PRESS, 8: wide, 9: close}, kinds=GONE)
    facts = replace(WITHOUT, minutes=240)

    (told,) = of_kind(found_in(*lines, facts=facts, shelf=shelf), FindingKind.EQUIPMENT)

    assert words(told) == ["Bar press instead of Press"]
    assert "Wide" in told.way_out
    assert "Close" in told.way_out
