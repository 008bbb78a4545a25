"""What the panel offers beside its findings, and what it keeps from one edit to the next."""

from dataclasses import replace

import pytest

from coaching.blocks.effects import Mark
from coaching.blocks.plan_figures import plan_figures, week_figures
from coaching.blocks.snapshots import Snapshot, week_data
from coaching.rules.findings import FindingKind
from coaching.rules.plan import Muscle, Part, WeekKind
from tests.coaching.effecting import FACTS, PUSH, ROW, effects, session, week
from tests.rules.examples import (
    MONDAY,
    day,
    make_prescription,
    make_pull_up,
    make_session,
    make_week,
)


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
    found = effects(week(1, session(0, pull=4), session(3)))

    (leaning,) = (f for f in found.findings if f.finding.kind is FindingKind.SESSION_ORDER)
    assert [(r.words, r.act["line"], r.act["by"]) for r in leaning.remedies] == [
        ("One set more of Row (+2 min)", "0-row", "1")
    ]


def test_a_leaning_session_without_time_gives_up_a_set_instead():
    found = effects(week(1, session(0, push=6), session(3)), facts=replace(FACTS, minutes=36))

    (leaning,) = (f for f in found.findings if f.finding.kind is FindingKind.SESSION_ORDER)
    assert [(r.words, r.act["by"]) for r in leaning.remedies] == [
        ("One set less of Push up (−2 min)", "-1")
    ]


def test_no_exercise_is_given_more_sets_than_primary_work_usually_has():
    found = effects(week(1, session(0, push=6), session(3)))

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
        ({"0-row"}, ["One set less of Push up (−3 min)"]),
        ({"0-push"}, ["One set more of Row (+2 min)"]),
        ({"0-push", "0-row"}, []),
    ],
)
def test_what_is_locked_gains_and_gives_no_set(locked, words):
    facts = replace(FACTS, locked=frozenset(locked))
    push = make_prescription(PUSH, [6] * 5, key="0-push")
    row = make_prescription(ROW, [6] * 4, key="0-row")

    found = effects(week(1, make_session(push, row, on=MONDAY, key="s0")), facts=facts)

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
