"""Typing mistakes and copied sessions: constructed logs, and made-up clients who mistype.

No published set of mistyped training logs is known to us. The made-up clients' mistakes were
planted by ``tests/benchmarks/signals``, written from the trade and not from these checks; what is
asked of them here is what the tool promises, and it says nothing about real logs. One pound is
0.45359237 kg by definition (agreement of 1959), so 40 kg are 88.2 lb.
"""

from dataclasses import replace
from datetime import timedelta
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.rules.findings import FindingKind
from coaching.rules.log_checks import find_log_mistakes
from coaching.rules.plan import LoadKind, Measure, WeekKind
from coaching.rules.signals import read_signals
from tests.benchmarks.log_checks import mistakes_said, planted
from tests.benchmarks.signals.people import Kind
from tests.benchmarks.signals.simulator import simulate
from tests.rules.examples import day, make_exercise, make_logged_session, make_pull_up, make_sets

SQUAT = make_exercise("squat", body_share=0.0, load_kind=LoadKind.EXTERNAL)
PULL_UP = make_pull_up(name="Pull-up")
PLANK = make_exercise("plank", load_kind=LoadKind.NONE, measure=Measure.SECONDS)
EVERY = 4
LAST = 5
TODAY = day(EVERY * LAST + 1)


def squats(load=40.0, amounts=(8, 8, 8), on=0, **changes):
    """Squats that were asked for at 40 kg."""
    made = make_sets(SQUAT, amounts, load, targets=(8,) * len(amounts))
    asked = changes.pop("asked", 40.0)
    return make_logged_session(
        tuple(replace(s, target_load=asked, **changes) for s in made), on=day(on)
    )


def after_five(last, usual=squats):
    """Five usual sessions, then the one that is looked at."""
    before = [usual(on=EVERY * i) for i in range(LAST)]
    return [*before, replace(last, on=day(EVERY * LAST))]


def unplanned(session):
    return replace(
        session, sets=tuple(replace(s, target=None, target_load=None) for s in session.sets)
    )


@pytest.mark.parametrize("load", [88.2, 88.0, 90.0])
def test_a_load_in_pounds_is_asked_about_with_the_exercise_the_sets_and_what_is_usual(load):
    [finding] = find_log_mistakes(after_five(squats(load)), today=TODAY)

    assert finding.kind is FindingKind.LOG_MISTAKE
    assert finding.exercise == "squat"
    assert f"sets 1, 2 and 3: {load:g} kg stands there, asked was 40 kg" in finding.sentence
    assert f"was it 40 kg and not {load:g} kg?" in finding.question
    assert {e.label: e.value for e in finding.evidence}["Usual"].startswith("40 kg")
    assert finding.probability is None


@pytest.mark.parametrize("load", [400.0, 4.0])
def test_a_slipped_decimal_point_is_asked_about(load):
    [finding] = find_log_mistakes(after_five(squats(load)), today=TODAY)

    assert "decimal point" in finding.sentence
    assert f"was it 40 kg and not {load:g} kg?" in finding.question


@pytest.mark.parametrize("load", [88.0, 400.0, 4.0])
def test_without_a_plan_the_usual_load_is_what_is_expected(load):
    sessions = [unplanned(s) for s in after_five(squats(load))]

    [finding] = find_log_mistakes(sessions, today=TODAY)

    assert "usual is 40 kg" in finding.sentence


@pytest.mark.parametrize("load", [35.0, 42.5, 45.0, 50.0, 60.0, 80.0, 100.0, 20.0])
def test_other_loads_are_left_alone(load):
    assert find_log_mistakes(after_five(squats(load)), today=TODAY) == []


def test_a_jump_that_the_plan_asked_for_is_left_alone():
    assert find_log_mistakes(after_five(squats(88.0, asked=88.0)), today=TODAY) == []


def test_a_heavy_load_at_far_fewer_reps_may_well_be_true():
    heavy = squats(88.0, amounts=(3, 2, 2))

    assert find_log_mistakes(after_five(heavy), today=TODAY) == []


def test_a_tenth_of_the_load_in_pain_is_no_slip():
    assert find_log_mistakes(after_five(squats(4.0, pain=4)), today=TODAY) == []


def test_a_small_added_load_without_a_plan_is_a_jump_that_may_be_true():
    def loaded(load, on=0):
        return unplanned(make_logged_session(make_sets(PULL_UP, (6, 6, 6), load), on=day(on)))

    sessions = after_five(loaded(2.75), usual=lambda on: loaded(1.25, on))

    assert find_log_mistakes(sessions, today=TODAY) == []


@pytest.mark.parametrize("last", [squats(88.0), squats(amounts=(8, 88, 8))])
def test_an_exercise_done_twice_before_is_too_new(last):
    assert find_log_mistakes(after_five(last)[LAST - 2 :], today=TODAY) == []


def test_a_lighter_load_in_an_unplanned_deload_is_left_alone():
    light = replace(unplanned(squats(4.0)), kind=WeekKind.DELOAD)

    assert find_log_mistakes(after_five(light), today=TODAY) == []


@pytest.mark.parametrize(("amount", "meant"), [(88, 8), (18, 8), (80, 8)])
def test_a_digit_too_many_is_asked_about(amount, meant):
    [finding] = find_log_mistakes(after_five(squats(amounts=(8, amount, 8))), today=TODAY)

    assert f"set 2: {amount} reps stands there, usual is 8 and asked was 8" in finding.sentence
    assert f"was it {meant} and not {amount} reps?" in finding.question


def test_a_hold_of_many_times_its_length_is_asked_about_and_a_longer_one_is_not():
    def hold(seconds, on=0):
        return make_logged_session(make_sets(PLANK, (30, seconds), targets=(30, 30)), on=day(on))

    wrong, long = (after_five(hold(s), usual=lambda on: hold(32, on)) for s in (330, 75))

    [finding] = find_log_mistakes(wrong, today=TODAY)
    assert "was it 30 and not 330 s?" in finding.question
    assert find_log_mistakes(long, today=TODAY) == []


def test_a_client_who_often_goes_far_above_the_target_is_not_asked():
    def open_ended(amounts, on=0):
        return squats(amounts=amounts, on=on)

    sessions = after_five(open_ended((8, 8, 19)), usual=lambda on: open_ended((8, 8, 15), on))

    assert find_log_mistakes(sessions, today=TODAY) == []


def test_three_sets_that_all_leapt_are_no_slip_of_one_number():
    assert find_log_mistakes(after_five(squats(amounts=(19, 19, 19))), today=TODAY) == []


def test_a_mistake_is_said_once_while_it_is_news():
    sessions = after_five(squats(88.0))

    a_week_on = find_log_mistakes(sessions, today=TODAY + timedelta(days=7))
    before_it = find_log_mistakes(sessions, today=day(EVERY * LAST - 1))

    assert a_week_on == before_it == []


# --- copied ------------------------------------------------------------------------


def stair(targets, amounts, rir=2):
    """Sessions of a squat and a pull-up with targets and amounts of their own."""
    return [
        make_logged_session(
            *(make_sets(e, done, 20.0, targets=asked, rir=rir) for e in (SQUAT, PULL_UP)),
            on=day(EVERY * i),
        )
        for i, (asked, done) in enumerate(zip(targets, amounts, strict=True))
    ]


STEPS = [(6, 6, 6), (7, 6, 6), (7, 7, 6), (7, 7, 7), (8, 7, 7), (8, 8, 7)]


def test_the_same_numbers_while_targets_change_look_copied():
    sessions = stair(STEPS, [*STEPS[:3], *(STEPS[3],) * 3])

    [finding] = find_log_mistakes(sessions, today=TODAY)

    assert finding.kind is FindingKind.LOG_MISTAKE
    assert "Squat and Pull-up" in finding.sentence
    assert "copied" in finding.sentence
    assert "7,7,7 of 8,8,7 asked, reserve 2,2,2" in {e.value for e in finding.evidence}


@pytest.mark.parametrize("targets", [STEPS, [(7, 7, 7)] * 6])
def test_a_client_who_does_what_is_asked_copies_nothing(targets):
    assert find_log_mistakes(stair(targets, targets), today=TODAY) == []


def test_another_reserve_shows_that_the_log_was_written_anew():
    sessions = stair(STEPS, [*STEPS[:3], *(STEPS[3],) * 3])
    last = sessions[-1]
    sessions[-1] = replace(last, sets=(*last.sets[:-1], replace(last.sets[-1], rir=0)))

    assert find_log_mistakes(sessions, today=TODAY) == []


# --- false alarms ------------------------------------------------------------------


@given(
    start=st.integers(4, 12),
    load=st.sampled_from([0.0, 2.5, 10.0, 17.5, 60.0, 120.0]),
    misses=st.lists(st.integers(0, 3), min_size=8, max_size=8),
    rir=st.none() | st.integers(0, 5),
)
@settings(max_examples=60)
def test_a_steady_stair_with_misses_and_load_jumps_is_never_asked_about(start, load, misses, rir):
    sessions = [
        make_logged_session(
            make_sets(
                e, [max(1, start + i % 4 - miss)] * 3, at, targets=[start + i % 4] * 3, rir=rir
            ),
            on=day(EVERY * i),
        )
        for (i, miss), e in product(enumerate(misses), (SQUAT,))
        for at in [load + 2.5 * (i // 4)]
    ]

    assert all(find_log_mistakes(sessions, today=s.on) == [] for s in sessions)


def test_most_planted_mistakes_of_made_up_clients_are_named_and_hardly_anything_else():
    named = there = false = 0
    for kind in Kind:
        client = simulate(kind, 7)
        said, truth = mistakes_said(client), planted(client)
        loads = {place for place, word in truth.items() if word != "reps"}
        named, there = named + len(loads & said), there + len(loads)
        false += len(said - set(truth))

    assert there >= 5
    assert named >= 0.6 * there
    assert false <= 0.3 * len(Kind) * 60 / 52


def test_the_review_says_it_before_what_can_wait():
    found = read_signals(after_five(squats(88.0)), (), today=TODAY)

    assert found[0].kind is FindingKind.LOG_MISTAKE


def test_nobody_is_told_to_start_slower_because_of_a_digit_too_many():
    found = read_signals(after_five(squats(amounts=(88, 8, 8))), (), today=TODAY)

    assert FindingKind.PACING not in {f.kind for f in found}
    assert found[0].kind is FindingKind.LOG_MISTAKE
