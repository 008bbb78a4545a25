"""A session made to end on time loses what comes last, and stays balanced."""

from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.plan import Pair, Part, Plane, PlannedSession
from coaching.rules.session_clock import fits, session_minutes
from coaching.rules.shorter_session import shorter_session
from tests.rules.examples import MONDAY, make_exercise, make_prescription, make_pull_up

# Sets, reps and rest [s] of each part: common practice, no source.
USUAL = {
    Part.PRIMARY: (5, 6, 120),
    Part.SUPPLEMENTARY: (3, 9, 90),
    Part.ISOLATION: (3, 10, 60),
    Part.PREHAB: (4, 8, 15),
}


def pair(letter, part, sets=None, push="push", pull="pull"):
    count, reps, rest = USUAL[part]
    exercises = (
        make_exercise(f"{push}-{letter}"),
        make_pull_up(f"{pull}-{letter}", plane=Plane.HORIZONTAL),
    )
    return Pair(
        letter,
        part,
        tuple(
            make_prescription(one, (reps,) * (sets or count), rest=rest, part=part)
            for one in exercises
        ),
    )


def session(*parts):
    pairs = tuple(pair(letter, part) for letter, part in zip("ABCDEF", parts, strict=False))
    return PlannedSession("one", "Monday", MONDAY, pairs)


WHOLE = session(Part.PRIMARY, Part.SUPPLEMENTARY, Part.SUPPLEMENTARY, Part.ISOLATION, Part.PREHAB)


def sets(one: PlannedSession) -> dict[str, tuple[int, int]]:
    return {p.letter: (p.prescriptions[0].sets, p.prescriptions[1].sets) for p in one.pairs}


def test_a_session_that_ends_on_time_stays_as_it_is():
    found = shorter_session(WHOLE, 180)

    assert found.session == WHOLE
    assert found.cuts == ()
    assert found.fits


def test_isolation_goes_first_then_sets_of_supplementary_work_then_half_of_prehab():
    order: list[dict[str, tuple[int, int]]] = []
    minutes = round(session_minutes(WHOLE).total)
    for budget in range(minutes, 15, -1):
        left = sets(shorter_session(WHOLE, budget).session)
        if not order or order[-1] != left:
            order.append(left)

    whole = {"A": (5, 5), "B": (3, 3), "C": (3, 3), "D": (3, 3), "E": (4, 4)}
    no_isolation = {key: value for key, value in whole.items() if key != "D"}
    two = {**no_isolation, "B": (2, 2), "C": (2, 2)}
    half = {**two, "E": (2, 2)}
    primary = {"A": (5, 5), "E": (2, 2)}
    steps = [order.index(one) for one in (whole, no_isolation, two, half, primary)]
    assert steps == sorted(steps)
    assert order[-1] == {"A": (3, 3), "E": (2, 2)}


def test_what_was_cut_is_told_letter_by_letter():
    found = shorter_session(WHOLE, round(session_minutes(WHOLE).total) - 12)

    assert [(cut.letter, cut.before, cut.after) for cut in found.cuts][-1] == ("D", 3, 0)
    assert found.cuts[-1].names == ("Push d", "Pull d")
    assert found.minutes[1] <= found.minutes[0] - 12


def test_a_pair_that_a_movement_goal_stands_in_is_not_left_out():
    found = shorter_session(WHOLE, 20, kept=["push-C", "pull-D"])

    assert sets(found.session) == {"A": (3, 3), "C": (2, 2), "D": (2, 2), "E": (2, 2)}
    assert not found.fits


def test_eight_straight_sets_of_primary_work_give_some_up_before_the_legs_are_left_out():
    # Eight sets of two exercises and three of two more: a beginner's whole body, common practice.
    beginner = PlannedSession(
        "one", "Floor", MONDAY, (pair("A", Part.PRIMARY, 8), pair("B", Part.SUPPLEMENTARY))
    )

    found = shorter_session(beginner, round(session_minutes(beginner).total) - 10)

    assert found.fits
    left = sets(found.session)
    assert left["B"] == (2, 2)
    assert 5 <= left["A"][0] < 8


def test_a_pair_that_is_to_stay_whole_keeps_all_its_sets_whatever_the_time():
    isolation = WHOLE.pairs[3].prescriptions[0].key

    found = shorter_session(WHOLE, 15, whole=[isolation])

    assert sets(found.session) == {"A": (3, 3), "D": (3, 3), "E": (2, 2)}


parts = st.lists(st.sampled_from(list(USUAL)), min_size=1, max_size=6)


@given(parts, st.integers(15, 90))
def test_a_shorter_session_is_never_longer_stays_balanced_and_keeps_what_matters(kinds, budget):
    kinds = sorted(kinds, key=list(Part).index)
    before = session(*kinds)

    found = shorter_session(before, budget)

    after = found.session
    assert session_minutes(after).total <= session_minutes(before).total
    assert found.fits == fits(session_minutes(after), budget)
    for one in after.pairs:
        was = next(p for p in before.pairs if p.letter == one.letter)
        assert len({line.sets for line in one.prescriptions}) == 1
        if one.part is Part.PREHAB:
            assert 2 * one.prescriptions[0].sets >= was.prescriptions[0].sets
        if one.part is Part.PRIMARY:
            assert one.prescriptions[0].sets >= 3
    for part in (Part.PRIMARY, Part.PREHAB):
        assert sum(p.part is part for p in after.pairs) == kinds.count(part)
