"""Repetitions far outside what a part of a session is for."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.plan import Level, LoadKind, Measure, Part
from coaching.rules.rep_range import evened, findings_for
from tests.rules.examples import make_exercise, make_prescription, make_session

TRAINED = Level.INTERMEDIATE
NOVICES = (Level.ABSOLUTE_BEGINNER, Level.BEGINNER)
BODY = make_exercise("dip", load_kind=LoadKind.NONE)


def told(targets, part=Part.PRIMARY, level=TRAINED, exercise=BODY, load=0.0):
    line = make_prescription(exercise, targets, load, part=part)
    return [one.sentence for one in findings_for(make_session(line), level)]


def test_a_primary_exercise_far_above_its_range_is_told_with_numbers_and_rule():
    line = make_prescription(BODY, [14, 14, 13, 13, 13])

    (found,) = findings_for(make_session(line), Level.ADVANCED)

    assert found.sentence == (
        "Dip asks for 14-14-13-13-13: above what primary work usually has, 5 to 8 a set."
    )
    assert [one.value for one in found.evidence] == ["14-14-13-13-13 reps", "5 to 8 reps a set"]
    assert found.source_key == "house"
    # By hand: the furthest sets, 14, are 6 beyond 8.
    assert found.size == 6


def test_a_set_more_or_less_of_the_same_repetitions_is_no_further_off():
    sizes = {
        findings_for(make_session(make_prescription(BODY, [15] * sets)), Level.ADVANCED)[0].size
        for sets in (3, 4, 5)
    }

    # By hand: 15 - 8.
    assert sizes == {7}


@pytest.mark.parametrize(
    ("part", "most", "fewest"),
    [
        # Common practice, no source: 5 to 8, 8 to 10, 8 to 12; house: from 4 above and 3 under.
        (Part.PRIMARY, 11, 3),
        (Part.SUPPLEMENTARY, 13, 6),
        (Part.ISOLATION, 15, 6),
    ],
)
def test_a_few_more_or_fewer_are_the_coachs_choice(part, most, fewest):
    assert told([most, fewest], part) == []
    assert len(told([most + 1], part)) == 1
    assert len(told([fewest - 1], part)) == 1


@pytest.mark.parametrize("level", NOVICES)
def test_for_novices_sets_reach_up_to_twelve_in_every_part(level):
    # ACSM 2009, Med Sci Sports Exerc 41(3):687-708: loads of 8 to 12 RM for novices.
    line = make_prescription(BODY, [17] * 3)

    (found,) = findings_for(make_session(line), level)

    assert told([15] * 3, level=level) == []
    assert (found.source_key, "ACSM 2009" in found.rule) == ("house", True)
    assert "5 to 12 a set" in found.sentence


def test_heavy_sets_of_few_repetitions_are_a_method_from_intermediate_on():
    # ACSM 2009: 1 to 12 RM for intermediate and advanced trainees.
    barbell = make_exercise("squat", load_kind=LoadKind.EXTERNAL)

    assert told([2, 2, 2], exercise=barbell, load=100.0) == []
    assert len(told([2, 2, 2], exercise=barbell, load=100.0, level=Level.BEGINNER)) == 1


def test_few_repetitions_of_a_curl_are_no_heavy_method():
    # Heavy loads of few repetitions are for compound exercises: common practice, no source.
    curl = make_exercise("curl", load_kind=LoadKind.EXTERNAL, multi_joint=False)
    row = replace(curl, key="row", name="Row", multi_joint=True)

    assert told([4] * 3, Part.ISOLATION, exercise=curl, load=10.0) == [
        "Curl asks for 4-4-4: under what isolation work usually has, 8 to 12 a set."
    ]
    assert told([4] * 3, Part.SUPPLEMENTARY, exercise=row, load=40.0) == []


def test_a_simple_hold_of_a_few_seconds_is_told_and_a_lever_is_not():
    plank = make_exercise("plank", measure=Measure.SECONDS, complexity=1)
    lever = make_exercise("lever", measure=Measure.SECONDS, complexity=4)

    # House choice: a hold begins at 10 s.
    assert told([5] * 3, Part.ISOLATION, exercise=plank) == [
        "Plank asks for 5-5-5 s: a hold is 10 s or longer."
    ]
    assert told([10, 60], exercise=plank) == []
    assert told([5] * 3, exercise=lever) == []
    assert told([5] * 3, Part.PREHAB, exercise=plank) == []


@pytest.mark.parametrize("part", [Part.WARM_UP, Part.PREHAB])
def test_warm_up_and_prehab_have_no_such_range(part):
    assert told([30, 1], part) == []


def test_long_holds_have_none_either():
    assert told([60, 60], exercise=replace(BODY, measure=Measure.SECONDS)) == []


def test_a_set_far_from_all_others_is_told_where_no_range_is_left():
    loaded = make_exercise("squat", load_kind=LoadKind.EXTERNAL)

    assert told([8, 2, 8], Part.PRIMARY, exercise=loaded, load=20) == [
        "Squat asks for 8-2-8: one set is far from the others."
    ]
    assert told([8, 7, 7, 6], exercise=loaded, load=20) == []
    # Of two sets neither is the odd one; a range that is left is told once.
    assert told([8, 3], exercise=loaded, load=20) == []
    assert told([12, 1, 12], Part.ISOLATION) == [
        "Dip asks for 12-1-12: one set is far from the others."
    ]
    assert len(told([20, 1, 20], Part.ISOLATION)) == 2


@given(st.lists(st.integers(1, 30), min_size=1, max_size=8))
def test_evened_targets_have_no_odd_set_and_as_many_sets(targets):
    even = evened(targets)

    assert len(even) == len(targets)
    assert evened(even) == even
    assert set(even) <= set(targets)
