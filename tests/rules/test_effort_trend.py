"""Effort that rises at the same work: constructed logs.

What counts as a rise is common practice, no source; these tests hold the rule to its own words.
"""

from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.effort_trend import find_rising_effort
from coaching.rules.findings import FindingKind
from coaching.rules.plan import LoadKind, WeekKind
from coaching.rules.signals import read_signals
from tests.benchmarks.log_checks import effort_said
from tests.benchmarks.signals.people import Kind
from tests.benchmarks.signals.simulator import simulate
from tests.rules.examples import day, make_exercise, make_logged_session, make_pull_up, make_sets

SQUAT = make_exercise("squat", body_share=0.0, load_kind=LoadKind.EXTERNAL)
PULL_UP = make_pull_up()
USUAL = [7, 6.5, 7, 7.5, 7, 7, 7.5]


def rated(efforts: Sequence[float | None], reps: Sequence[int] | None = None, rir=None):
    """A session every three days, rated so; 8 reps a set unless told otherwise."""
    asked = [8] * len(efforts) if reps is None else reps
    left = [None] * len(efforts) if rir is None else rir
    return [
        make_logged_session(
            *(make_sets(e, (n, n, n), 20.0, targets=(n, n, n), rir=r) for e in (SQUAT, PULL_UP)),
            on=day(3 * i),
            rpe=effort,
        )
        for i, (effort, n, r) in enumerate(zip(efforts, asked, left, strict=True))
    ]


def read(sessions):
    return find_rising_effort(sessions, today=sessions[-1].on)


def test_three_harder_sessions_at_the_same_work_are_said_with_their_numbers():
    finding = read(rated([*USUAL, 8.5, 9, 9]))

    assert finding is not None
    assert finding.kind is FindingKind.EFFORT
    assert "usual 7, the last 3 sessions 8.5, 9, 9" in finding.sentence
    assert finding.since == day(21)
    assert "sleep, illness, food" in finding.could_not_know
    assert finding.question


@pytest.mark.parametrize(
    "last", [(7, 7, 7), (7, 9, 9), (9, 7, 9), (9, 9, 7), (7.5, 7.5, 7.5), (5, 5, 5)]
)
def test_effort_that_did_not_rise_in_all_three_is_not(last):
    assert read(rated([*USUAL, *last])) is None


def test_one_wild_rating_among_the_usual_changes_nothing():
    assert read(rated([7, 6.5, 7, 1, 7, 10, 7.5, 8.5, 9, 9])) is not None


def test_harder_work_explains_a_harder_session():
    assert read(rated([*USUAL, 8.5, 9, 9], reps=[*([8] * 7), 9, 9, 9])) is None


def test_less_work_does_not_hide_it():
    assert read(rated([*USUAL, 8.5, 9, 9], reps=[*([8] * 7), 7, 7, 7])) is not None


def test_other_exercises_cannot_be_compared():
    sessions = rated([*USUAL, 8.5, 9, 9])
    new = make_exercise("dip")
    sessions[-1] = replace(
        sessions[-1], sets=tuple(replace(s, exercise=new) for s in sessions[-1].sets)
    )

    assert read(sessions) is None


def test_too_few_rated_sessions_show_nothing_usual():
    assert read(rated([7, 7, 7, 7, 9, 9, 9])) is None


def test_light_weeks_count_neither_way():
    sessions = rated([*USUAL, 8.5, 9, 9])
    light = [replace(s, kind=WeekKind.DELOAD) for s in sessions]

    assert read([*sessions[:-1], light[-1]]) is None


def test_the_weeks_after_an_absence_are_left_out():
    sessions = rated([*USUAL, 8.5, 9, 9])
    back = [replace(s, on=day(3 * i + 9)) for i, s in enumerate(sessions)][-3:]

    assert read([*sessions[:-3], *back]) is None


def test_a_rise_of_long_ago_is_no_news():
    sessions = rated([*USUAL, 8.5, 9, 9])

    assert find_rising_effort(sessions, today=day(27 + 8)) is None


def test_without_ratings_a_falling_reserve_at_the_same_work_is_said():
    sessions = rated([None] * 10, rir=[*([3] * 7), 1, 2, 1])

    finding = read(sessions)

    assert finding is not None
    assert "Reserve fell" in finding.sentence
    assert "usual 3, the last 3 sessions 1, 2, 1 reps left" in finding.sentence


def test_a_reserve_that_fell_with_higher_targets_is_not():
    more = [*([8] * 7), 9, 9, 9]

    assert read(rated([None] * 10, reps=more, rir=[*([3] * 7), 1, 2, 1])) is None


def test_a_client_who_logs_neither_is_not_judged():
    assert read(rated([None] * 10)) is None


@given(st.lists(st.sampled_from([6.5, 7]), min_size=10, max_size=20))
def test_ordinary_ups_and_downs_are_never_said(efforts):
    assert read(rated(efforts)) is None


def test_it_seldom_speaks_on_made_up_clients_who_did_not_fall():
    said = [fallen for kind in Kind for _, fallen in effort_said(simulate(kind, 7))]

    assert said.count(False) <= 0.5 * len(Kind) * 60 / 52


def test_it_stands_among_the_signals():
    found = read_signals(rated([*USUAL, 8.5, 9, 9]), (), today=day(27))

    assert FindingKind.EFFORT in {f.kind for f in found}
