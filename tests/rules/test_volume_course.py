"""How volume runs over a block: rises are house choices, 40 % in a light week common practice."""

import pytest

from coaching.rules.plan import Measure, Muscle, Part, WeekKind
from coaching.rules.volume_course import (
    LONG_RULE,
    TWO_LIGHT_RULE,
    WeekVolume,
    course_findings,
    length_words,
    light_share,
    row_findings,
    session_work,
)
from tests.rules.examples import make_exercise, make_prescription, make_session

HANG = make_exercise("hang", measure=Measure.SECONDS)


def week(number, chest=10.0, work=200.0, kind=WeekKind.BUILD):
    return WeekVolume(number, kind, {Muscle.CHEST: chest, Muscle.LATS: 10.0}, work)


def sentences(*weeks):
    told = {one.number: course_findings(weeks, one.number) for one in weeks}
    return {number: [f.sentence for f in found] for number, found in told.items() if found}


def test_work_counts_repetitions_and_four_seconds_of_a_hold_as_one():
    # By hand: 5 x 7 = 35 reps; 2 x 20 s = 40 s, at 4 s a repetition 10. The warm-up is left out.
    session = make_session(
        make_prescription(make_exercise(), [10] * 2, part=Part.WARM_UP),
        make_prescription(make_exercise(), [7] * 5),
        make_prescription(HANG, [20, 20]),
    )

    assert session_work(session) == 45


def test_a_light_week_is_measured_by_the_usual_week_before_it():
    # Common practice, no source: a light day at 40 % beside two of 86 repetitions, 206 in all.
    usual, light = week(1, work=86), week(2, work=34.4, kind=WeekKind.DELOAD)

    assert light_share([usual, light], 2) == pytest.approx(0.40)
    assert light_share([usual, light], 1) is None
    assert light_share([light], 2) is None
    assert sentences(usual, light) == {}


@pytest.mark.parametrize(("work", "says"), [(122, "61%"), (60, "30%")])
def test_a_light_week_that_is_not_light_or_nearly_empty_is_told(work, says):
    found = sentences(week(1), week(2, work=work, kind=WeekKind.DELOAD))

    assert found == {
        2: [f"A light week keeps about 40% of the usual repetitions; this one keeps {says}."]
    }


BUILD, LIGHT = WeekKind.BUILD, WeekKind.DELOAD


def rows(*kinds):
    # Four to six weeks to a light one, one at a time: common practice, no source.
    following = (*kinds[1:], None)
    told = {
        n: [f.rule for f in row_findings(kinds, n, then)] for n, then in enumerate(following, 1)
    }
    return {number: found for number, found in told.items() if found}


def test_two_light_weeks_in_a_row_are_told_at_both():
    two = [TWO_LIGHT_RULE]
    assert rows(BUILD, LIGHT, LIGHT, BUILD, LIGHT) == {2: two, 3: two}
    assert rows(LIGHT, LIGHT, LIGHT) == {1: two, 2: [*two, *two], 3: two}


def test_a_block_longer_than_six_weeks_is_told_and_a_usual_one_is_not():
    # Blocks of four to six weeks: common practice, no source.
    assert [length_words(weeks) for weeks in (1, 4, 6)] == ["", "", ""]
    assert length_words(7) == "7 weeks: blocks usually last 4 to 6."


def test_a_seventh_week_without_a_light_one_is_told_once():
    assert rows(*[BUILD] * 8) == {7: [LONG_RULE]}
    assert rows(*[BUILD] * 6, LIGHT) == {}
    assert rows(*[BUILD] * 4, LIGHT, *[BUILD] * 3) == {}


def test_a_steep_rise_is_told_with_both_numbers():
    assert sentences(week(1, chest=8), week(2, chest=13)) == {
        2: ["Sets rise steeply from week 1: chest 8 to 13."]
    }


def test_a_rise_after_a_light_week_is_measured_from_the_usual_week_before():
    light = week(2, chest=4, work=80, kind=WeekKind.DELOAD)

    assert sentences(week(1, chest=10), light, week(3, chest=11)) == {}


def test_a_test_week_is_not_judged():
    assert sentences(week(1, chest=8), week(2, chest=20, kind=WeekKind.TEST)) == {}
