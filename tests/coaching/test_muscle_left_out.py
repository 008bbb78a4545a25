"""A muscle whose last set goes is worse off, never settled; sums by hand beside each check."""

import pytest

from coaching.blocks.block_effects import block_effects
from coaching.blocks.block_findings import ClientFacts
from coaching.blocks.effects import Mark
from coaching.blocks.muscle_rows import LastBlock
from coaching.blocks.plan_figures import week_figures
from coaching.rules.joint_limits import Joints
from coaching.rules.plan import Level, Muscle, Pattern, Plane, WeekKind
from tests.rules.examples import (
    MONDAY,
    day,
    make_exercise,
    make_prescription,
    make_session,
    make_week,
)

CALF = make_exercise("calf-raise", Pattern.LEGS, plane=Plane.NONE, muscles={Muscle.CALVES: 1.0})
SQUAT = make_exercise("squat", Pattern.LEGS, plane=Plane.NONE, muscles={Muscle.QUADRICEPS: 1.0})
FACTS = ClientFacts(Level.INTERMEDIATE, 60, Joints(), today=MONDAY)


def week(number, calves, kind=WeekKind.BUILD):
    lines = [make_prescription(SQUAT, [6] * 10, key=f"squat{number}")]
    if calves:
        lines.append(make_prescription(CALF, [12] * calves, key=f"calf{number}"))
    start = day(7 * (number - 1))
    only = make_session(*lines, on=start, key=f"s{number}", name="Lower")
    return week_figures(make_week(only, number=number, kind=kind, starts_on=start))


def effects(*weeks, chosen=1, **more):
    return block_effects(weeks, FACTS, chosen=chosen, **more)


def calves(found):
    return [one for one in found.volume if one.finding.sentence.startswith("Calves:")]


def cells(found):
    return [[c.text for c in one.cells] for one in found.rows if one.label == "calves"]


def charted(found):
    sides = [side for row in found.week.chart.rows for side in (row.left, row.right) if side]
    return [(one.value_text, one.outside) for one in sides if one.label == "calves"]


def test_the_last_set_of_a_muscle_taken_out_makes_its_finding_worse():
    found = effects(week(1, 0), before=(week(1, 6),))

    (told,) = calves(found)
    assert told.mark is Mark.WORSE
    assert told.finding.sentence == (
        "Calves: no set this week, under the range of 10 to 20; 6 before."
    )
    assert not [one for one in found.change.settled if "Calves" in one]
    assert cells(found) == [["0"]]
    assert charted(found) == [("0", True)]


def test_a_muscle_in_its_range_that_is_taken_out_is_new():
    found = effects(week(1, 0), before=(week(1, 10),))

    assert [one.mark for one in calves(found)] == [Mark.NEW]


def test_a_set_put_back_is_better():
    found = effects(week(1, 3), week(2, 6), before=(week(1, 0), week(2, 6)))

    assert [one.mark for one in calves(found)] == [Mark.BETTER]


def test_what_another_usual_week_trains_is_missed_where_it_is_left_out():
    found = effects(week(1, 6), week(2, 8), week(3, 0), chosen=3)

    (told,) = calves(found)
    assert told.finding.sentence.endswith("; 8 in week 2.")
    assert "is-outside" in next(one for one in found.rows if one.label == "calves").cells[2].look
    assert [one.counted for one in found.details if one.label == "calves"] == ["0"]


def test_what_the_block_before_trained_is_missed():
    found = effects(week(1, 0), last=LastBlock("block 3", {Muscle.CALVES: 6.0}))

    (told,) = calves(found)
    assert told.finding.sentence.endswith("; 6 in block 3.")
    assert cells(found) == [["0"]]


@pytest.mark.parametrize("kind", [WeekKind.DELOAD, WeekKind.TEST])
def test_a_light_week_may_leave_a_muscle_out(kind):
    found = effects(week(1, 6), week(2, 0, kind), chosen=2)

    assert calves(found) == []


def test_what_nothing_ever_trained_is_not_missed():
    found = effects(week(1, 0), week(2, 0))

    assert calves(found) == []
    assert cells(found) == []
