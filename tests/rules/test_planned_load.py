"""A planned load far above the one before it, and one that nothing the client has makes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.findings import FindingKind
from coaching.rules.plan import EquipmentKind, LoadKind
from coaching.rules.planned_load import (
    hardest_loads,
    is_jump,
    jump_finding,
    nearest_made,
    unmade_finding,
)
from tests.rules.examples import make_exercise, make_prescription, make_session

SQUAT = make_exercise(
    "goblet-squat", name="Goblet squat", body_share=0.0, load_kind=LoadKind.EXTERNAL
)
DIP = make_exercise("dip", load_kind=LoadKind.ADDED)
HELPED = make_exercise("band-pull-up", name="Band pull-up", load_kind=LoadKind.ASSISTED)
BAND = make_exercise(
    "pull-apart", load_kind=LoadKind.EXTERNAL, equipment=(EquipmentKind.BANDS,), body_share=0.0
)
KINDS = st.sampled_from([SQUAT, DIP, HELPED])
KILOGRAMS = st.floats(0, 300)


def said(exercise, load, before):
    found = jump_finding(make_prescription(exercise, [5], load), before, "week 1")
    return found.sentence if found else ""


def test_three_times_the_load_of_week_one_is_told_with_both_numbers():
    found = jump_finding(make_prescription(SQUAT, [8, 8], 60, key="line-1"), 20, "week 1")

    assert found is not None
    assert found.kind is FindingKind.PLANNED_LOAD
    assert found.sentence == "Goblet squat: 60 kg is 3 times the 20 kg of week 1."
    assert found.evidence[0].value == "60 kg planned, 20 kg in week 1"
    assert (found.line, found.size) == ("line-1", 40)


@pytest.mark.parametrize(
    ("exercise", "load", "before", "words"),
    [
        # House thresholds: 1.3 times and 5 kg lifted, 10 kg added, 20 kg of help less.
        (SQUAT, 200, 20, "Goblet squat: 200 kg is 10 times the 20 kg of week 1."),
        (SQUAT, 26, 20, "Goblet squat: 26 kg is 1.3 times the 20 kg of week 1."),
        (SQUAT, 250, 2.5, "Goblet squat: 250 kg is 100 times the 2.5 kg of week 1."),
        (SQUAT, 126, 10, "Goblet squat: 126 kg is 12.6 times the 10 kg of week 1."),
        (DIP, 50, 5, "Dip: +50 kg is 10 times the +5 kg of week 1."),
        (DIP, 10, 0, "Dip: +10 kg, where week 1 has body weight."),
        (HELPED, 4, 40, "Band pull-up: 4 kg of help, where week 1 has 40 kg of help."),
    ],
)
def test_how_far_above_is_said_as_a_coach_says_the_load(exercise, load, before, words):
    assert said(exercise, load, before) == words


@pytest.mark.parametrize(
    ("exercise", "load", "before"),
    [
        # Small dumbbells come in large steps: 4 to 6 kg, and the next kettlebell of a usual row.
        (SQUAT, 6, 4),
        (SQUAT, 20, 16),
        (SQUAT, 2, 20),
        (DIP, 8.75, 5),
        (HELPED, 20, 35),
        (HELPED, 40, 4),
        # A band's kilograms are seldom known.
        (BAND, 25, 5),
        # Nothing is chosen yet: that is told by another rule.
        (HELPED, 0, 40),
    ],
)
def test_a_usual_step_or_an_easier_load_is_not_told(exercise, load, before):
    assert said(exercise, load, before) == ""


@given(KINDS, KILOGRAMS, KILOGRAMS)
def test_no_two_loads_are_a_jump_above_each_other(exercise, one, other):
    assert not (is_jump(exercise, one, other) and is_jump(exercise, other, one))


def test_the_hardest_of_a_week_counts_and_what_is_not_chosen_does_not():
    monday = make_session(
        make_prescription(SQUAT, [5], 30, key="a"), make_prescription(HELPED, [5], 35, key="b")
    )
    thursday = make_session(
        make_prescription(SQUAT, [5], 0, key="c"), make_prescription(HELPED, [5], 25, key="d")
    )

    assert hardest_loads([monday, thursday]) == {"goblet-squat": 30, "band-pull-up": 25}


def test_a_load_that_cannot_be_made_is_told_with_the_nearest_that_can():
    line = make_prescription(SQUAT, [8], 21.3, key="line-1")

    found = unmade_finding(line, (16, 20, 22.5))

    assert found is not None
    assert found.sentence == (
        "Goblet squat: 21.3 kg cannot be made with the client's equipment, 20 kg or 22.5 kg can."
    )
    assert nearest_made(SQUAT, 21.3, (16, 20, 22.5)) == (20, 22.5)
    assert nearest_made(SQUAT, 60, (16, 20, 22.5)) == (22.5,)
    assert nearest_made(HELPED, 30, (35, 25)) == (25, 35)


@pytest.mark.parametrize("loads", [(), (0.0,), (20, 21.3), (21.25,)])
def test_what_can_be_made_or_is_not_known_is_not_told(loads):
    assert unmade_finding(make_prescription(SQUAT, [8], 21.3), loads) is None
