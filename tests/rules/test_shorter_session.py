"""A session made to end on time loses what comes last, and stays balanced."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.balance import planned_session_balance
from coaching.rules.plan import Muscle, Pair, Part, Pattern, Plane, PlannedSession
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


def courses(before: PlannedSession) -> list[dict[str, tuple[int, int]]]:
    """What is left as the minutes get fewer, each once."""
    order: list[dict[str, tuple[int, int]]] = []
    for budget in range(round(session_minutes(before).total), 15, -1):
        left = sets(shorter_session(before, budget).session)
        if not order or order[-1] != left:
            order.append(left)
    return order


def test_a_set_off_everything_goes_before_a_pair_is_left_out_and_prehab_before_both():
    order = courses(WHOLE)

    half = {"A": (5, 5), "B": (3, 3), "C": (3, 3), "D": (3, 3), "E": (2, 2)}
    fewer = {"A": (4, 4), "B": (2, 2), "C": (2, 2), "D": (2, 2), "E": (2, 2)}
    assert half in order
    first_out = next(at for at, left in enumerate(order) if "D" not in left)
    assert order.index(half) < order.index(fewer) < first_out
    assert order[-1] == {"A": (3, 3), "E": (2, 2)}


def test_what_was_cut_is_told_letter_by_letter():
    found = shorter_session(WHOLE, round(session_minutes(WHOLE).total) - 12)

    told = [(cut.letter, cut.before, cut.after) for cut in found.cuts]
    assert told == [("B", 3, 2), ("C", 3, 2), ("D", 3, 2), ("E", 4, 3)]
    assert found.cuts[-1].names == ("Push e", "Pull e")
    assert found.minutes[1] <= found.minutes[0] - 12


def test_rests_go_first_where_they_may_and_never_below_the_shortest_of_their_part():
    # Common practice, no source: 2 min, 75 s and 60 s are the shortest of the three parts.
    longer = tuple(
        replace(one, prescriptions=tuple(replace(p, rest=p.rest + 30) for p in one.prescriptions))
        for one in WHOLE.pairs
    )
    before = replace(WHOLE, pairs=longer)
    minutes = round(session_minutes(before).total)

    found = shorter_session(before, minutes - 8, rests=True)
    least = shorter_session(before, 20, rests=True).session

    assert found.fits
    assert sets(found.session) == sets(before)
    assert any(cut.rests[1] < cut.rests[0] for cut in found.cuts)
    assert {one.part: one.prescriptions[0].rest for one in least.pairs} == {
        Part.PRIMARY: 120,
        Part.PREHAB: 45,
    }
    assert sets(shorter_session(before, minutes - 8).session) != sets(before)


def test_the_last_exercise_of_a_muscle_is_never_left_out_of_the_week():
    legs = make_exercise("calf-raise", Pattern.LEGS, muscles={Muscle.CALVES: 1}, multi_joint=False)
    plank = make_exercise("plank", Pattern.CORE, muscles={Muscle.ABS: 1}, multi_joint=False)
    lines = tuple(
        make_prescription(one, (12,) * 3, rest=60, part=Part.ISOLATION) for one in (legs, plank)
    )
    before = replace(WHOLE, pairs=(*WHOLE.pairs[:2], Pair("C", Part.ISOLATION, lines)))

    assert sets(shorter_session(before, 20).session)["C"] == (2, 2)
    assert "C" not in sets(shorter_session(before, 20, elsewhere=(legs, plank)).session)
    assert sets(shorter_session(before, 20, elsewhere=(plank,)).session)["C"] == (2, 2)


def test_an_arm_exercise_goes_where_rows_train_the_arms_too():
    curl = make_exercise("curl", Pattern.PULL, muscles={Muscle.BICEPS: 1}, multi_joint=False)
    extension = make_exercise("extension", muscles={Muscle.TRICEPS: 1}, multi_joint=False)
    lines = tuple(
        make_prescription(one, (10,) * 3, rest=60, part=Part.ISOLATION) for one in (extension, curl)
    )
    before = replace(WHOLE, pairs=(*WHOLE.pairs[:2], Pair("C", Part.ISOLATION, lines)))

    assert "C" not in sets(shorter_session(before, 20).session)


def test_straight_sets_of_a_push_and_a_pull_give_way_together():
    lines = pair("A", Part.PRIMARY, 8).prescriptions
    before = PlannedSession(
        "one",
        "Floor",
        MONDAY,
        tuple(Pair(x, Part.PRIMARY, (one,)) for x, one in zip("AB", lines, strict=True)),
    )

    for budget in range(20, round(session_minutes(before).total)):
        left = [one.prescriptions[0].sets for one in shorter_session(before, budget).session.pairs]
        assert left[0] == left[1]


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
    assert sets(found.session)["B"] == (3, 3)
    assert 6 <= sets(found.session)["A"][0] < 8
    order = courses(beginner)
    assert order.index({"A": (6, 6), "B": (3, 3)}) < order.index({"A": (6, 6), "B": (2, 2)})
    assert not [left for left in order if left.get("B") == (2, 2) and left["A"][0] > 6]


def test_a_pair_that_is_to_stay_whole_keeps_all_its_sets_whatever_the_time():
    isolation = WHOLE.pairs[3].prescriptions[0].key

    found = shorter_session(WHOLE, 15, whole=[isolation])

    assert sets(found.session) == {"A": (3, 3), "D": (3, 3), "E": (2, 2)}


parts = st.lists(st.sampled_from(list(USUAL)), min_size=1, max_size=6)


@given(parts, st.integers(15, 90), st.booleans())
def test_a_shorter_session_is_never_longer_stays_balanced_and_keeps_what_matters(
    kinds, budget, rests
):
    kinds = sorted(kinds, key=list(Part).index)
    before = session(*kinds)

    found = shorter_session(before, budget, rests=rests)

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


muscles = st.sampled_from([Muscle.CHEST, Muscle.LATS, Muscle.QUADRICEPS, Muscle.CALVES])
sides = st.sampled_from([Pattern.PUSH, Pattern.PULL, Pattern.LEGS])
mixed = st.lists(
    st.tuples(
        st.sampled_from(list(USUAL)),
        st.lists(st.tuples(sides, muscles, st.integers(1, 8)), min_size=1, max_size=2),
    ),
    min_size=1,
    max_size=6,
)


def lean(one: PlannedSession) -> int:
    balance = planned_session_balance(one)
    return abs(balance.push_sets - balance.pull_sets)


def trained(one: PlannedSession) -> set[Muscle]:
    """The muscles that work other than prehab trains."""
    work = [line for line in one.prescriptions if line.part is not Part.PREHAB]
    return {share.muscle for line in work for share in line.exercise.muscles}


@given(mixed, st.integers(10, 90), st.booleans())
def test_whatever_is_cut_push_and_pull_lean_no_more_and_every_muscle_is_still_trained(
    drawn, budget, rests
):
    pairs = []
    for letter, (part, lines) in zip("ABCDEF", drawn, strict=False):
        _count, reps, rest = USUAL[part]
        made = tuple(
            make_prescription(
                make_exercise(f"{letter}{at}", pattern, muscles={muscle: 1}),
                (reps,) * count,
                rest=rest + 30,
                part=part,
            )
            for at, (pattern, muscle, count) in enumerate(lines)
        )
        pairs.append(Pair(letter, part, made))
    before = PlannedSession("one", "Monday", MONDAY, tuple(pairs))

    after = shorter_session(before, budget, rests=rests).session

    assert session_minutes(after).total <= session_minutes(before).total
    assert lean(after) <= lean(before)
    assert trained(after) == trained(before)
    assert all(one.rest >= 60 for one in after.prescriptions if one.part is not Part.PREHAB)
