"""What a whole block does; sums worked out by hand beside each check."""

from dataclasses import replace
from datetime import timedelta

import pytest

from coaching.blocks.block_effects import block_effects
from coaching.blocks.block_findings import ClientFacts
from coaching.blocks.effects import Mark
from coaching.blocks.muscle_rows import LastBlock
from coaching.blocks.plan_figures import plan_figures, week_figures
from coaching.blocks.snapshots import Snapshot, week_data
from coaching.rules.findings import FindingKind
from coaching.rules.joint_limits import JointLimit, Joints, LimitAction
from coaching.rules.plan import JointStress, Level, Muscle, Part, Pattern, WeekKind
from tests.rules.examples import (
    MONDAY,
    day,
    make_exercise,
    make_prescription,
    make_pull_up,
    make_session,
    make_week,
)

PUSH = make_exercise(joint_stresses=[JointStress.WRIST_EXTENSION])
ROW = make_exercise("row", Pattern.PULL, muscles={Muscle.LATS: 1.0, Muscle.BICEPS: 0.5})
FACTS = ClientFacts(Level.INTERMEDIATE, 60, Joints(), today=MONDAY)


def session(at, push=5, pull=5, name="", **more):
    lines = (
        make_prescription(PUSH, [6] * push, key=f"{at}-push"),
        make_prescription(ROW, [6] * pull, key=f"{at}-row"),
    )
    return make_session(lines, on=day(at), key=f"s{at}", name=name or f"Day {at}", **more)


def week(number, *sessions, kind=WeekKind.BUILD):
    start = 7 * (number - 1)
    given = sessions or (session(start), session(start + 3))
    return week_figures(make_week(*given, number=number, kind=kind, starts_on=day(start)))


def effects(*weeks, **more):
    return block_effects(weeks, more.pop("facts", FACTS), **{"chosen": 1, **more})


def row(found, label):
    (one,) = (one for one in found.rows if one.label == label)
    return one


def kinds(found):
    return [one.finding.kind for one in found.findings]


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


def test_two_close_sessions_can_be_drawn_apart_in_one_act():
    found = effects(week(1, session(0), session(1)))

    (remedy,) = found.findings[0].remedies
    # Tuesday's neighbours in the week: Wednesday is two days after Monday.
    assert remedy.words == "Move Day 1 to Wednesday"
    assert remedy.act == {
        "act": "move-session",
        "session": "s1",
        "on": "2025-03-05",
        "reach": "onward",
    }


def test_no_day_is_offered_where_another_session_would_be_too_close():
    # Mondays to Sundays: the week after starts with the same muscles, so Sunday is no way out.
    week_of_three = week(1, session(0), session(2), session(4), session(5))

    found = effects(week_of_three, week(2, session(7)))

    assert [one.finding.kind for one in found.findings] == [FindingKind.SPACING]
    assert found.findings[0].remedies == ()


def test_a_leaning_session_gets_a_set_where_it_lacks_one():
    found = effects(week(1, session(0, push=6), session(3)))

    (leaning,) = (f for f in found.findings if f.finding.kind is FindingKind.SESSION_ORDER)
    assert [(r.words, r.act["line"], r.act["by"]) for r in leaning.remedies] == [
        ("One set more of Row (+3 min)", "0-row", "1")
    ]


def test_a_leaning_session_without_time_gives_up_a_set_instead():
    found = effects(week(1, session(0, push=6), session(3)), facts=replace(FACTS, minutes=36))

    (leaning,) = (f for f in found.findings if f.finding.kind is FindingKind.SESSION_ORDER)
    assert [(r.words, r.act["by"]) for r in leaning.remedies] == [
        ("One set less of Push up (−2 min)", "-1")
    ]


def test_an_order_that_is_not_the_trades_can_be_put_right_in_one_act():
    late = make_session(
        make_prescription(ROW, [8] * 5, part=Part.ISOLATION),
        make_prescription(PUSH, [6] * 5, part=Part.PRIMARY),
        key="odd",
        name="Odd",
    )

    found = effects(week(1, late))

    ways = {r.words: r.act["act"] for f in found.findings for r in f.remedies}
    assert ways == {"Put Odd in order": "arrange-session"}


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ((2,), "week 2"),
        ((2, 4), "weeks 2 and 4"),
        ((2, 3, 4), "weeks 2 to 4"),
        ((2, 3, 4, 6), "weeks 2 to 4 and 6"),
        ((2, 3, 5), "weeks 2, 3 and 5"),
    ],
)
def test_weeks_that_follow_one_another_are_told_by_the_first_and_the_last(changed, words):
    before = tuple(week(number) for number in range(1, 7))
    after = tuple(
        week(n, session(7 * n - 7, push=6), session(7 * n - 4)) if n in changed else one
        for n, one in enumerate(before, start=1)
    )

    found = effects(*after, before=before)

    assert found.change.sentence == f"Nothing in this week, only in {words}."


def test_an_edit_that_moves_no_number_says_so():
    weeks = (week(1), week(2))

    assert effects(*weeks, before=weeks).change.sentence == "No sets, reps or minutes change."


def test_however_much_is_out_of_order_one_button_puts_it_right():
    def line(exercise, part, key):
        return make_prescription(exercise, [8] * 5, part=part, key=key)

    def odd(*parts):
        lines = [
            (line(PUSH, part, f"push{n}"), line(ROW, part, f"row{n}"))
            for n, part in enumerate(parts)
        ]
        return week(1, make_session(*lines, key="odd", name="Odd", on=MONDAY))

    before = (odd(Part.ISOLATION, Part.PRIMARY, Part.SUPPLEMENTARY),)
    found = effects(odd(Part.ISOLATION, Part.SUPPLEMENTARY, Part.PRIMARY), before=before)

    order = [one for one in found.findings if one.finding.kind is FindingKind.SESSION_ORDER]
    assert [one.finding.sentence for one in order] == [
        "A and B stand before C: primary work is done first."
    ]
    assert [r.words for r in order[0].remedies] == ["Put Odd in order"]
    # One pair was out of its place, then two.
    assert order[0].mark is Mark.WORSE
    assert not [one for one in found.change.settled if "before" in one]


@pytest.mark.parametrize(
    "facts",
    [
        replace(FACTS, today=day(20)),
        replace(FACTS, begun=frozenset({"s0", "s1"})),
        replace(FACTS, locked=frozenset({"s0", "s1"})),
    ],
)
def test_nothing_is_offered_for_what_can_no_longer_change(facts):
    found = effects(week(1, session(0, push=6), session(1)), facts=facts)

    assert len(found.findings) >= 2
    assert [one.remedies for one in found.findings] == [()] * len(found.findings)


@pytest.mark.parametrize(
    ("locked", "words"),
    [
        ({"0-row"}, ["One set less of Push up (−2 min)"]),
        ({"0-push"}, ["One set more of Row (+3 min)"]),
        ({"0-push", "0-row"}, []),
    ],
)
def test_what_is_locked_gains_and_gives_no_set(locked, words):
    facts = replace(FACTS, locked=frozenset(locked))

    found = effects(week(1, session(0, push=6), session(3)), facts=facts)

    (leaning,) = (f for f in found.findings if f.finding.kind is FindingKind.SESSION_ORDER)
    assert [one.words for one in leaning.remedies] == words


def test_pairs_that_are_locked_are_not_offered_another_order():
    late = make_session(
        make_prescription(ROW, [8] * 5, part=Part.ISOLATION, key="row"),
        make_prescription(PUSH, [6] * 5, part=Part.PRIMARY, key="push"),
    )

    found = effects(week(1, late), facts=replace(FACTS, locked=frozenset({"row"})))

    (told,) = (f for f in found.findings if f.finding.kind is FindingKind.SESSION_ORDER)
    assert told.remedies == ()


def test_kept_figures_are_those_of_the_content_and_of_the_exercises():
    rows, values = {"push-up": 1, "row": 2}, {1: PUSH, 2: ROW}
    plan: Snapshot = {"weeks": [week_data(make_week(session(0), session(3)), rows)]}

    (once,), (again,) = plan_figures(plan, values), plan_figures(plan, values)
    changed = replace(PUSH, muscles=make_pull_up().muscles)
    (other,) = plan_figures(plan, {**values, 1: changed})

    assert again is once
    assert once.volume == week_figures(once.week).volume
    # The same plan, but the exercise moves another muscle now.
    assert Muscle.CHEST in once.volume
    assert Muscle.CHEST not in other.volume


def test_figures_of_a_changed_session_are_new_and_the_others_are_kept():
    rows, values = {"push-up": 1, "row": 2}, {1: PUSH, 2: ROW}
    before: Snapshot = {"weeks": [week_data(make_week(session(0), session(3)), rows)]}
    after: Snapshot = {"weeks": [week_data(make_week(session(0, push=6), session(3)), rows)]}

    (was,), (now,) = plan_figures(before, values), plan_figures(after, values)

    assert now.sessions[1] is was.sessions[1]
    assert now.working_sets == was.working_sets + 1


@pytest.mark.parametrize(
    ("kinds", "shown", "words", "act"),
    [
        ("bll", 3, "Remove week 3", "remove-week"),
        ("bbbbbbb", 7, "Make week 7 light", "lighten-week"),
        # As much as the usual week, and called light.
        ("bl", 2, "Make it light", "lighten-week"),
    ],
)
def test_weeks_of_a_kind_too_many_are_settled_by_one_act(kinds, shown, words, act):
    named = {"b": WeekKind.BUILD, "l": WeekKind.DELOAD}
    weeks = [week(n, kind=named[kind]) for n, kind in enumerate(kinds, start=1)]

    found = effects(*weeks, chosen=shown)

    ways = {r.words: r.act for f in found.findings for r in f.remedies}
    assert ways[words] == {
        "act": act,
        "week": day(7 * shown - 7).isoformat(),
        "reach": "onward",
    }
