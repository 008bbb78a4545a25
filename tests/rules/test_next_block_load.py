"""The load of an exercise that was done before: by formulas worked by hand, and what always holds.

That a new exercise begins no heavier than it was ever done is common practice, no source.
"""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.next_block import next_block
from coaching.rules.next_block_case import LastBlock, Other, Outcome
from coaching.rules.next_block_load import DoneBefore, beginning
from coaching.rules.plan import LoadKind, Measure, Part, Pattern, Plane, Tempo
from tests.rules.examples import make_exercise, make_prescription

AUGUST = date(2026, 8, 3)
ROW = make_exercise(
    "row", pattern=Pattern.PULL, plane=Plane.HORIZONTAL, load_kind=LoadKind.EXTERNAL, body_share=0
)
HELPED = make_exercise("helped", load_kind=LoadKind.ASSISTED, body_share=1.0)
HELD = make_exercise("held", load_kind=LoadKind.EXTERNAL, body_share=0, measure=Measure.SECONDS)


def done(amounts, load, **more) -> DoneBefore:
    return DoneBefore(AUGUST, tuple(amounts), (load,) * len(amounts), **more)


def test_what_was_done_for_as_many_repetitions_is_begun_with_the_same_load_and_says_when():
    found = beginning(ROW, done((10, 9, 8), 22.0), 8, (20.0, 22.0, 24.0), None)

    assert found is not None
    assert found.load == 22.0
    assert found.words == " It was last done on 3 August 2026, 10, 9, 8 reps at 22 kg."


@pytest.mark.parametrize(
    ("wanted", "most"),
    [
        # From 5 repetitions at 40 kg. Brzycki 1993, 36 / (37 - reps): 45.000 kg for one, so
        # 8 at 36.25 and 10 at 33.75. Epley 1985, 1 + reps / 30: 46.667 kg, 36.84 and 35.00.
        (8, 36.25),
        (10, 33.75),
    ],
)
def test_for_more_repetitions_it_is_lighter_by_the_more_careful_formula(wanted, most):
    loads = tuple(one / 4 for one in range(80, 200))

    found = beginning(ROW, done((5,) * 5, 40.0), wanted, loads, None)

    assert found is not None
    assert found.load == most
    assert f"for {wanted} reps it is lighter" in found.words


def test_help_is_never_less_than_it_was_and_more_for_more_repetitions():
    # 80 kg of body less 20 kg of help is 60 kg moved; 8 instead of 5 by Brzycki 1993: 54.375 kg,
    # so 25.6 kg of help, and the next band above gives 30.
    bands = (40.0, 30.0, 20.0, 10.0)

    same = beginning(HELPED, done((5, 5, 5), 20.0), 5, bands, 80.0)
    more = beginning(HELPED, done((5, 5, 5), 20.0), 8, bands, 80.0)

    assert same is not None
    assert more is not None
    assert (same.load, more.load) == (20.0, 30.0)


@pytest.mark.parametrize(
    ("exercise", "log", "wanted", "loads"),
    [
        (ROW, done((8, 8), 15.0), 8, (20.0, 25.0)),  # nothing so light can be made
        (ROW, done((0, 0), 15.0), 8, (10.0, 15.0)),  # nothing was done with it
        (HELD, done((10, 10), 15.0), 20, (10.0, 15.0)),  # no formula tells of seconds
        (HELPED, done((5, 5), 20.0), 8, (40.0, 20.0)),  # the body's weight is not known
    ],
)
def test_where_the_log_does_not_tell_it_there_is_no_load(exercise, log, wanted, loads):
    assert beginning(exercise, log, wanted, loads, None) is None


@given(
    st.lists(st.integers(0, 20), min_size=1, max_size=5),
    st.integers(4, 240).map(lambda one: one / 4),
    st.integers(1, 20),
    st.lists(st.integers(4, 240).map(lambda one: one / 4), max_size=8),
)
def test_it_is_a_load_that_can_be_made_and_never_heavier_than_it_was_done(
    amounts, load, wanted, loads
):
    found = beginning(ROW, done(amounts, load), wanted, loads, 70.0)
    easier = beginning(ROW, done(amounts, load), wanted + 1, loads, 70.0)

    assert found is None or (found.load in loads and found.load <= load)
    assert easier is None or (found is not None and easier.load <= found.load)


def with_others(*others: Other) -> LastBlock:
    asked = make_prescription(
        make_exercise("pulley", pattern=Pattern.PULL, plane=Plane.HORIZONTAL), part=Part.PRIMARY
    )
    return LastBlock(asked=asked, forbidden="needs a cable", others=others)


def offered(key: str, **more) -> Other:
    exercise = make_exercise(
        key, pattern=Pattern.PULL, plane=Plane.HORIZONTAL, load_kind=LoadKind.EXTERNAL, body_share=0
    )
    return Other(
        exercise, "trains upper back", more.pop("load", 10.0), Tempo.parse("2-0-1-0"), **more
    )


def test_the_sentence_says_where_a_load_comes_from_and_a_load_nobody_knows_stays_open():
    told = " It was last done on 3 August 2026, 8, 8, 8 reps at 22 kg."
    known = offered("known", load=22.0, load_known=True, load_from=told)

    one = next_block({"a": with_others(known)})["a"]
    other = next_block({"a": with_others(offered("unknown"))})["a"]

    assert (one.load, one.load_is_open) == (22.0, False)
    assert one.sentence.endswith(told)
    assert "nothing newer is logged" in one.could_not_know
    assert (other.load, other.load_is_open) == (0.0, True)
    assert "choose its load" in other.sentence


def test_what_hurt_when_it_was_last_done_comes_in_only_where_nothing_else_can():
    sore, sound = offered("a-sore", hurt=True), offered("sound")

    both = next_block({"a": with_others(sore, sound)})["a"]
    alone = next_block({"a": with_others(sore)})["a"]
    chosen = next_block({"a": with_others(sore, sound)}, {"a": "a-sore"})["a"]

    assert both.exercise == sound.exercise
    assert (alone.outcome, alone.exercise) == (Outcome.SWAP, sore.exercise)
    assert "It hurt above 5 of 10 when it was last done." in alone.sentence
    assert "It hurt above 5 of 10 when it was last done." in chosen.sentence
