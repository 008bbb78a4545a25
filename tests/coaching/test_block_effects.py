"""What a whole block does; sums worked out by hand beside each check."""

from dataclasses import replace
from datetime import timedelta

import pytest

from coaching.blocks.effects import Mark
from coaching.blocks.muscle_rows import LastBlock
from coaching.blocks.plan_figures import plan_figures, week_figures
from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import JointLimit, Joints, LimitAction
from coaching.rules.plan import JointStress, Muscle, WeekKind
from tests.coaching.editing.plans import EXERCISES, PRESS, act, block
from tests.coaching.effecting import FACTS, effects, kinds, row, session, week
from tests.rules.examples import (
    day,
)


def test_each_muscle_is_told_for_each_week_against_its_range():
    # Week 1: two sessions of 5 sets: chest 10, triceps 10 x 0.5 = 5. Week 2: one of them: 5, 2.5.
    found = effects(week(1), week(2, session(7)))

    assert [one.text for one in row(found, "chest").cells] == ["10", "5"]
    assert [one.text for one in row(found, "triceps").cells] == ["5", "2.5"]
    assert {one.usual for one in found.details if one.label == "chest"} == {"10–20"}
    assert ["is-outside" in one.look for one in row(found, "chest").cells] == [False, True]


def test_the_week_that_is_shown_has_direct_sets_and_repetitions_too():
    found = effects(week(1))

    told = {one.label: (one.direct_sets, one.counted, one.direct_reps) for one in found.details}
    # By hand: 10 sets of 6 repetitions move the chest; triceps only assist.
    assert told["chest"] == (10, "10", 60)
    assert told["triceps"] == (0, "5", 0)


def test_a_light_week_says_its_share_and_has_no_range():
    light = week(2, session(7, push=4, pull=4), kind=WeekKind.DELOAD)

    found = effects(week(1), light)

    # 8 sets of 6 = 48 repetitions beside 20 sets of 6 = 120.
    assert [one.share for one in found.columns] == ["", "40%"]
    assert "is-light" in row(found, "chest").cells[1].look
    assert "is-outside" not in row(found, "chest").cells[1].look


def test_what_the_last_edit_changed_is_marked_and_nothing_else():
    before = (week(1), week(2))
    after = (week(1, session(0, push=6), session(3)), before[1])

    found = effects(*after, before=before)

    assert found.change.weeks == (1,)
    assert found.change.muscles == {Muscle.CHEST: "+1", Muscle.TRICEPS: "+0.5"}
    # One set: 6 reps x 4 s + 120 s of rest = 144 s; 23 and a bit become 26 min by the whole minute.
    assert found.change.minutes == {"s0": "+2"}
    assert found.change.sentence == ("Chest +1, triceps +0.5 sets, week +6 reps, Day 0 +2 min.")
    assert [one.changed for one in row(found, "chest").cells] == ["+1", ""]
    assert [one.changed for one in row(found, "lats").cells] == ["", ""]
    assert [one.is_changed for one in found.columns] == [True, False]
    marked = [side for r in found.week.chart.rows for side in (r.left, r.right) if side]
    assert {one.label: one.changed for one in marked if one.changed} == {
        "chest": "+1",
        "triceps": "+0.5",
    }


def test_findings_that_came_are_new_and_those_that_went_are_settled():
    level, leaning = (week(1),), (week(1, session(0, push=7), session(3)),)

    came = effects(*leaning, before=level)
    went = effects(*level, before=leaning)

    assert [one.mark for one in came.findings] == [Mark.NEW, Mark.NEW]
    assert came.change.settled == ()
    assert went.findings == ()
    assert sorted(went.change.settled) == sorted(one.finding.sentence for one in came.findings)


@pytest.mark.parametrize(("sets", "mark"), [(8, Mark.WORSE), (6, Mark.BETTER)])
def test_a_finding_whose_numbers_moved_is_neither_new_nor_settled(sets, mark):
    before = (week(1, session(0, push=7, pull=3), session(3)),)

    found = effects(week(1, session(0, push=sets, pull=3), session(3)), before=before)

    assert [one.mark for one in found.findings] == [mark] * 2
    assert [one for one in found.change.settled if "session" in one or "week" in one] == []


def test_a_finding_that_the_edit_left_alone_has_no_mark():
    before = (week(1, session(0, push=7), session(3)),)

    found = effects(week(1, session(0, push=7), session(3, name="Late")), before=before)

    assert [one.mark for one in found.findings] == [Mark.NONE] * 2


def test_leaning_the_other_way_is_another_finding():
    before = (week(1, session(0, push=7), session(3)),)

    found = effects(week(1, session(0, pull=7), session(3)), before=before)

    assert [one.mark for one in found.findings] == [Mark.NEW] * 2
    assert len(found.change.settled) == 2


def test_a_session_that_stays_too_long_is_not_settled_by_other_minutes():
    facts = replace(FACTS, minutes=20)
    before = (week(1, session(0), session(3)),)

    longer = effects(week(1, session(0, push=6), session(3)), before=before, facts=facts)

    assert FindingKind.SESSION_MINUTES in kinds(longer)
    new = [f.finding.kind for f in longer.findings if f.mark is Mark.NEW]
    assert FindingKind.SESSION_MINUTES not in new
    assert longer.change.settled == ()


def test_a_fault_that_moves_to_another_session_is_new_there():
    before = (week(1, session(0, push=7), session(3)),)

    found = effects(week(1, session(0), session(3, push=7)), before=before)

    (leaning,) = (f for f in found.findings if f.finding.kind is FindingKind.SESSION_ORDER)
    assert (leaning.sessions, leaning.mark) == (("Day 3",), Mark.NEW)
    assert leaning.finding.sentence in found.change.settled


def test_a_week_that_moved_on_is_compared_with_itself():
    before = (week(1), week(2))
    moved = week_figures(
        replace(
            before[1].week,
            number=3,
            starts_on=day(14),
            sessions=tuple(
                replace(one, on=one.on + timedelta(days=7)) for one in before[1].week.sessions
            ),
        )
    )
    light = week(2, session(8, 2, 2), kind=WeekKind.DELOAD)

    found = effects(before[0], light, moved, before=before, chosen=3)

    assert found.change.muscles == {}
    assert [one.changed for one in row(found, "chest").cells] == ["", "", ""]
    assert effects(before[0], light, moved, before=before, chosen=2).change.sentence == (
        "This week is new."
    )


def test_without_an_edit_nothing_is_marked():
    found = effects(week(1))

    assert found.change is None
    assert all(one.changed == "" for r in found.rows for one in r.cells)


def test_the_block_before_stands_beside_the_weeks():
    found = effects(week(1), last=LastBlock("block 3", {Muscle.CHEST: 12.5}))

    assert found.last_block == "block 3"
    assert row(found, "chest").last_block == "12.5"
    assert row(found, "lats").last_block == "0"


def test_joints_come_first_then_minutes_then_the_time_between():
    limits = Joints((JointLimit(JointStress.WRIST_EXTENSION, LimitAction.AVOID),))
    facts = replace(FACTS, minutes=20, joints=limits)

    found = effects(week(1, session(0), session(1)), facts=facts)

    assert kinds(found) == [
        FindingKind.JOINT_LIMIT,
        FindingKind.SESSION_MINUTES,
        FindingKind.SESSION_MINUTES,
        FindingKind.SPACING,
    ]
    assert found.findings[0].sessions == ("Day 0", "Day 1")


def test_what_is_found_in_other_weeks_is_counted_there():
    found = effects(week(1), week(2, session(7), session(8)))

    assert found.findings == ()
    assert [(one.number, one.findings) for one in found.elsewhere] == [(2, 1)]


def test_the_last_edit_names_load_tempo_rest_and_reserve_that_it_changed():
    plan = block()
    edited = act(
        plan, "change-line", line="w2-press", load_kg="60", tempo="4-0-1-0", rest_s="90", rir="0"
    ).snapshot
    weeks, before = plan_figures(edited, EXERCISES), plan_figures(plan, EXERCISES)

    found = effects(*weeks, chosen=2, before=before)

    assert found.change.sentence.startswith(f"{EXERCISES[PRESS].name} 7.5 kg → 60 kg, tempo ")
    assert "→ 4-0-1-0, rest 75 s → 90 s, RIR " in found.change.sentence
    assert found.change.sentence.count("→") >= 4


def test_targets_in_another_order_are_named_where_no_sum_changes():
    plan = act(block(), "change-line", line="w2-press", targets="11-10-9").snapshot
    edited = act(plan, "change-line", line="w2-press", targets="9-10-11").snapshot
    weeks, before = plan_figures(edited, EXERCISES), plan_figures(plan, EXERCISES)

    found = effects(*weeks, chosen=2, before=before)

    assert found.change.sentence == f"{EXERCISES[PRESS].name} 11-10-9 → 9-10-11."
