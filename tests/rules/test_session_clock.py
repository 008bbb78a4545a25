from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.plan import Laterality, Measure, Part, Pattern, PlannedSession, Prescription
from coaching.rules.session_clock import (
    PairMinutes,
    SessionMinutes,
    fits,
    pair_minutes,
    session_minutes,
    work_seconds,
)
from tests.rules.examples import make_exercise, make_prescription, make_pull_up, make_session

PUSH_UP = make_exercise()
PULL_UP = make_pull_up()
EXTENSION = make_exercise("extension")
CURL = make_exercise("curl", Pattern.PULL)


def test_a_pair_takes_what_the_sum_on_paper_says() -> None:
    # On paper: A1 5 x 7 reps x 4 s = 140 s, A2 5 x 5 x 4 = 100 s; ten rests of 120 s = 1200 s;
    # two exercises set up at 60 s each = 120 s; in all 1560 s = 26 min, with 8 min warm-up 34 min.
    pair = (make_prescription(PUSH_UP, [7] * 5), make_prescription(PULL_UP, [5] * 5))

    minutes = session_minutes(make_session(pair))

    assert minutes.lines == (PairMinutes("A", work_s=240, rest_s=1200, set_up_s=120),)
    assert (minutes.warm_up, minutes.total) == (8, 34)


def test_a_one_sided_set_takes_twice_the_work_and_one_rest() -> None:
    # On paper: 3 sets x 8 reps x 4 s x 2 sides = 192 s; 3 x 90 s = 270 s.
    lunge = make_exercise("split-squat", Pattern.LEGS, laterality=Laterality.UNILATERAL)
    session = make_session(make_prescription(lunge, [8] * 3, rest=90))

    (line,) = session_minutes(session).lines

    assert (line.work_s, line.rest_s) == (192, 270)


def test_a_hold_takes_its_seconds_whatever_the_tempo() -> None:
    hang = make_exercise("hang", measure=Measure.SECONDS)

    assert work_seconds(make_prescription(hang, [30, 20])) == 50


def test_a_written_warm_up_replaces_the_usual_one_only_when_longer() -> None:
    # On paper: 2 x 10 x 4 s + 2 x 60 s + 60 s = 260 s, less than 480 s;
    # four such exercises: 1040 s = 17.33 min.
    work = make_prescription(PUSH_UP)
    easy = make_prescription(EXTENSION, [10, 10], rest=60, part=Part.WARM_UP)

    short = session_minutes(make_session(easy, work))
    long = session_minutes(make_session(easy, easy, easy, easy, work))

    assert short.warm_up == 8
    assert long.warm_up == pytest.approx(1040 / 60)
    assert [line.letter for line in long.lines] == ["E"]


def test_a_session_without_exercises_takes_no_time() -> None:
    assert session_minutes(make_session()) == SessionMinutes(0, 0, ())


def _six_exercises(*, superset: bool) -> PlannedSession:
    one = [make_prescription(make_exercise(f"x{n}"), [10] * 4) for n in range(6)]
    if not superset:
        return make_session(*one)
    firsts, seconds = [replace(first, rest=0) for first in one[::2]], one[1::2]
    return make_session(*zip(firsts, seconds, strict=True))


def test_supersets_save_the_time_that_was_measured() -> None:
    # Burke et al. 2024 (doi 10.51224/SRXIV.419): 6 exercises x 4 sets of 8-12RM, 2 min rest after
    # each set, or after every second set in supersets: 36 % less time. A co-author's article
    # (a secondary text) gives 69 and 44 min a session. Sets of 10 at 4 s; no warm-up.
    straight = session_minutes(_six_exercises(superset=False), warm_up_s=0).total

    paired = session_minutes(_six_exercises(superset=True), warm_up_s=0).total

    assert straight == pytest.approx(69, abs=3)
    assert paired == pytest.approx(44, abs=3)
    assert 1 - paired / straight == pytest.approx(0.36, abs=0.03)


def test_alternating_sets_leave_a_long_rest_between_like_sets_at_no_cost() -> None:
    # Robbins et al. 2010 (doi 10.1519/JSC.0b013e3181e3826e): 3 sets each of bench pull and bench
    # press at 4RM, 2 min between sets = 4 min between like sets, about 10 min in both designs.
    pull, press = make_prescription(CURL, [4] * 3), make_prescription(PUSH_UP, [4] * 3)

    paired = session_minutes(make_session((pull, press))).lines[0]
    straight = session_minutes(make_session(pull, press)).lines

    assert paired.rest_s - 120 == 10 * 60
    assert paired.rest_s == sum(line.rest_s for line in straight)


def _full_session(*, supplementary: int) -> PlannedSession:
    def both(sets: list[int], rest: int, part: Part) -> tuple[Prescription, Prescription]:
        return (
            make_prescription(PUSH_UP, sets, rest=rest, part=part),
            make_prescription(PULL_UP, sets, rest=rest, part=part),
        )

    rotation = make_exercise("rotation", Pattern.PREHAB)
    return make_session(
        both([6] * 5, 120, Part.PRIMARY),
        *[both([9] * 3, 90, Part.SUPPLEMENTARY)] * supplementary,
        both([10] * 3, 75, Part.ISOLATION),
        make_prescription(rotation, [8] * 4, rest=60, part=Part.PREHAB),
    )


def test_a_session_as_coaches_build_it_ends_when_they_say() -> None:
    # Common practice, no source: 75 minutes, 90 at the most.
    assert 60 < session_minutes(_full_session(supplementary=1)).total <= 75
    assert 75 < session_minutes(_full_session(supplementary=2)).total <= 90


@pytest.mark.parametrize(("total", "ends"), [(59.6, True), (60.4, True), (60.6, False)])
def test_a_session_fits_by_the_whole_minute(total: float, *, ends: bool) -> None:
    assert fits(SessionMinutes(total, 8, ()), 60) is ends


prescriptions = st.builds(
    make_prescription,
    st.builds(
        make_exercise,
        laterality=st.sampled_from(Laterality),
        measure=st.sampled_from(Measure),
    ),
    st.lists(st.integers(1, 30), min_size=1, max_size=6),
    rest=st.integers(0, 300),
    part=st.sampled_from(Part),
)


@given(st.lists(prescriptions, max_size=3), prescriptions, st.integers(1, 60))
def test_more_rest_or_another_set_never_makes_a_session_shorter(
    others: list[Prescription], one: Prescription, more: int
) -> None:
    usual = session_minutes(make_session(*others, one)).total

    rested = session_minutes(make_session(*others, replace(one, rest=one.rest + more))).total
    longer = session_minutes(make_session(*others, replace(one, targets=(*one.targets, 5)))).total

    assert usual <= rested
    assert usual <= longer


@given(prescriptions, prescriptions)
def test_a_pair_at_the_same_rests_takes_as_long_as_its_halves(
    one: Prescription, two: Prescription
) -> None:
    (pair,) = make_session((one, two)).pairs
    alone = make_session(one, two).pairs

    together = pair_minutes(pair).minutes

    assert together == pytest.approx(sum(pair_minutes(half).minutes for half in alone))
