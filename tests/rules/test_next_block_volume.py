"""Muscles that leave their range: counted by hand, and what always holds of cuts that mind them.

The ranges themselves are in rules/volume_range; that a proposal minds them is common practice, no
source.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.next_block import Outcome, next_block
from coaching.rules.next_block_volume import Kept, harm_of_cutting, sets_of
from coaching.rules.plan import Muscle, Pair, Part, Pattern, PlannedSession
from coaching.rules.session_clock import fits, session_minutes
from coaching.rules.shorter_session import shorter_session
from tests.rules.examples import MONDAY, make_exercise, make_prescription, make_pull_up
from tests.rules.next_block_cases import other, stalled
from tests.rules.test_next_block import MET, MISSED, days, line

CHIN, RING = make_pull_up("chin"), make_pull_up("ring")
CHEST, LATS, CALVES, ABS = Muscle.CHEST, Muscle.LATS, Muscle.CALVES, Muscle.ABS
KEPT = Kept({CHEST: 12.0, LATS: 20.0, CALVES: 6.0, ABS: 4.0}, 10.0, 20.0, frozenset({ABS}))


@pytest.mark.parametrize(
    ("now", "out"),
    [
        ({CHEST: 10.0, LATS: 20.0, CALVES: 6.0}, {}),
        ({CHEST: 9.5, LATS: 20.0, CALVES: 6.0}, {CHEST: 0.5}),  # from inside to under
        ({CHEST: 12.0, LATS: 21.5, CALVES: 6.0}, {LATS: 1.5}),  # from inside to above
        ({CHEST: 12.0, LATS: 20.0, CALVES: 5.0}, {CALVES: 1.0}),  # further under
        ({CHEST: 12.0, LATS: 20.0, CALVES: 8.0}, {}),  # nearer
        ({CHEST: 12.0, LATS: 20.0}, {CALVES: 6.0}),  # nothing left of it
        ({CHEST: 12.0, LATS: 20.0, CALVES: 6.0, ABS: 1.0}, {}),  # has no range
        ({CHEST: 12.0, LATS: 20.0, CALVES: 26.0}, {CALVES: 2.0}),  # from 4 under to 6 above
    ],
)
def test_what_is_further_out_is_told_by_how_much(now, out):
    assert KEPT.further_out(now) == pytest.approx(out)
    assert KEPT.harm(now) == (sum(out.values()), sum(one in {CHEST, LATS} for one in out))


def test_sets_are_counted_by_the_share_of_the_muscle_and_warm_ups_are_none():
    press = make_exercise("press", muscles={CHEST: 1, Muscle.TRICEPS: 0.5})
    lines = (
        make_prescription(press, (8,) * 4, part=Part.PRIMARY),
        make_prescription(press, (8,) * 2, part=Part.WARM_UP),
    )
    pairs = tuple(Pair(one, p.part, (p,)) for one, p in zip("AB", lines, strict=True))

    assert sets_of([PlannedSession("one", "Monday", MONDAY, pairs)]) == {
        CHEST: 4.0,
        Muscle.TRICEPS: 2.0,
    }


parts = st.sampled_from([Part.PRIMARY, Part.SUPPLEMENTARY, Part.ISOLATION, Part.PREHAB])
movers = st.sampled_from([CHEST, LATS, CALVES, Muscle.BICEPS])
sides = st.sampled_from([Pattern.PUSH, Pattern.PULL, Pattern.LEGS])
drawn_pairs = st.lists(
    st.tuples(parts, st.lists(st.tuples(sides, movers), min_size=1, max_size=2), st.integers(2, 6)),
    min_size=1,
    max_size=5,
)


def session_of(drawn) -> PlannedSession:
    pairs = [
        Pair(
            letter,
            part,
            tuple(
                make_prescription(
                    make_exercise(f"{letter}{at}", side, muscles={mover: 1}),
                    (8,) * sets,
                    rest=90,
                    part=part,
                )
                for at, (side, mover) in enumerate(lines)
            ),
        )
        for letter, (part, lines, sets) in zip("ABCDE", drawn, strict=False)
    ]
    return PlannedSession("one", "Monday", MONDAY, tuple(pairs))


@given(drawn_pairs, drawn_pairs, st.integers(15, 60), st.floats(2, 8))
def test_with_the_week_in_view_a_cut_never_does_more_harm_and_ends_as_well(
    drawn, others, budget, low
):
    before, beside = session_of(drawn), [session_of(others)]
    kept = Kept(sets_of([before, *beside]), low, low + 6)
    harm = harm_of_cutting(kept, beside)

    plain = shorter_session(before, budget)
    minding = shorter_session(before, budget, harm=harm)

    assert harm(minding.session) <= harm(plain.session) or minding.fits > plain.fits
    assert minding.fits >= plain.fits
    assert minding.fits == fits(session_minutes(minding.session), budget)


def test_a_cut_is_taken_where_no_muscle_leaves_its_range_for_it():
    # Two pairs alike in everything; the calves have none to spare and the chest has.
    def lone(letter, mover):
        exercise = make_exercise(letter.lower(), Pattern.LEGS, muscles={mover: 1})
        asked = make_prescription(exercise, (8,) * 3, rest=90, part=Part.SUPPLEMENTARY)
        return Pair(letter, Part.SUPPLEMENTARY, (asked,))

    before = PlannedSession("one", "Monday", MONDAY, (lone("A", CHEST), lone("B", CALVES)))
    budget = session_minutes(before).total - 2
    spare, scarce = (
        Kept({CHEST: 3.0, CALVES: 3.0}, 2.0, 20.0),
        Kept({CHEST: 9.0, CALVES: 3.0}, 3.0, 20.0),
    )
    # Six more sets for the chest in another session, none for the calves.
    more = [PlannedSession("two", "Friday", MONDAY, (lone("A", CHEST), lone("B", CHEST)))]

    plain = shorter_session(before, budget, harm=harm_of_cutting(spare, []))
    minding = shorter_session(before, budget, harm=harm_of_cutting(scarce, more))

    assert {p.letter: p.prescriptions[0].sets for p in plain.session.pairs} == {"A": 3, "B": 2}
    assert {p.letter: p.prescriptions[0].sets for p in minding.session.pairs} == {"A": 2, "B": 3}


# --- what would put a muscle out of its range does not come in for variety ------------------------


def test_what_would_put_a_muscle_out_gives_way_to_what_would_not():
    case = line(days(MISSED), blocks_alike=2, others=(other(CHIN), other(RING)))

    free = next_block({"a": case})["a"]
    assert free.exercise is not None
    fit = next_block({"a": case}, {}, {"a": {free.exercise.key: "with it lats 21 sets"}})["a"]

    assert free.why == "two blocks alike"
    assert (fit.why, fit.outcome) == ("two blocks alike", Outcome.SWAP)
    assert fit.exercise is not None
    assert fit.exercise.key != free.exercise.key


@pytest.mark.parametrize(("trend", "word"), [(None, "two blocks"), (stalled(), "stalled")])
def test_where_only_such_are_left_it_stays_and_says_which_muscle(trend, word):
    unfit = {"chin": "with Chin lats 21.5 sets, the range is 10 to 20"}
    case = line(days(MISSED), blocks_alike=2, trend=trend, others=(other(CHIN),))

    found = next_block({"a": case}, {}, {"a": unfit})["a"]

    assert found.exercise == case.exercise
    assert "lats 21.5 sets, the range is 10 to 20" in found.sentence
    assert word in found.sentence
    assert "out of its range" in found.rule


def test_what_cannot_stay_gives_way_even_so_and_the_coach_may_choose_it():
    unfit = {"chin": "with Chin lats 21.5 sets"}
    case = line(days(MET, MET), others=(other(CHIN),), forbidden="needs rings")
    free = line(days(MET, MET), others=(other(CHIN),))

    must = next_block({"a": case}, {}, {"a": unfit})["a"]
    wish = next_block({"a": free}, {"a": "chin"}, {"a": unfit})["a"]

    assert (must.outcome, wish.outcome) == (Outcome.SWAP, Outcome.SWAP)
