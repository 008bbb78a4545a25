"""Sets of a plan are counted in one way, whoever asks. What counts is common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.balance import planned_session_balance
from coaching.rules.block_numbers import SPACING_SETS
from coaching.rules.muscle_spacing import session_load
from coaching.rules.next_block_volume import sets_of
from coaching.rules.plan import Part, Pattern
from coaching.rules.session_order import BALANCE_RULE, findings_for
from coaching.rules.set_counts import counted, lean, muscle_sets, side_sets
from coaching.rules.volume import planned_session_volume
from tests.rules.examples import make_exercise, make_prescription, make_pull_up, make_session

PRESS, ROW = make_exercise("press"), make_exercise("row", Pattern.PULL)
EXERCISES = st.sampled_from([PRESS, ROW, make_pull_up(), make_exercise("squat", Pattern.LEGS)])
TARGETS = st.lists(st.integers(0, 12), min_size=1, max_size=6)
LINES = st.builds(
    lambda exercise, targets, part: make_prescription(exercise, targets, part=part),
    *(EXERCISES, TARGETS, st.sampled_from(Part)),
)
SESSIONS = st.lists(LINES, min_size=1, max_size=6).map(
    lambda lines: make_session(*((one,) for one in lines))
)


def test_a_set_that_asks_for_nothing_and_a_warm_up_are_no_sets():
    # By hand: 3 of 5 sets ask for something, and the warm-up counts for none.
    line = make_prescription(PRESS, [8, 0, 8, 0, 8])
    warm = make_prescription(PRESS, [8] * 4, part=Part.WARM_UP)

    assert counted(line) == 3
    assert set(side_sets([line, warm]).values()) == {3}
    assert lean(side_sets([line, warm])) == 3


@given(SESSIONS)
def test_muscles_get_what_the_volume_of_the_session_says(session):
    volume = planned_session_volume(session, body_weight=70)
    expected = {m: one.fractional_sets for m, one in volume.items() if one.fractional_sets}

    assert muscle_sets(session.prescriptions) == pytest.approx(expected)
    assert sets_of([session]) == pytest.approx(expected)


@given(SESSIONS)
def test_what_stands_close_to_what_counts_the_same_sets_without_prehab(session):
    counted_sets = muscle_sets(session.prescriptions, without={Part.WARM_UP, Part.PREHAB})

    for muscle, sets in session_load(session).sets.items():
        assert sets == pytest.approx(counted_sets[muscle])
        assert sets > SPACING_SETS.value


@given(SESSIONS)
def test_the_lean_of_a_session_is_told_as_the_balance_counts_it(session):
    balance = planned_session_balance(session)
    told = [one.size for one in findings_for(session) if one.rule == BALANCE_RULE]
    apart = abs(balance.push_sets - balance.pull_sets)

    assert lean(side_sets(session.prescriptions)) == apart
    assert told == ([apart] if apart else [])
