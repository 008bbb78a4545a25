"""What a finding says fits what it shows: pain is no pacing, a gain is no loss, days are named.

That pain explains a fall within a session better than pacing does, and that more repetitions nearer
to failure are no gain, is common practice, no source.
"""

import pytest

from coaching.rules.exercise_trend import judge_exercise, stalled_with
from coaching.rules.exposures import read_exposures
from coaching.rules.findings import FindingKind
from coaching.rules.likelihood import likely_words
from coaching.rules.log import Attendance
from coaching.rules.plan import Part
from coaching.rules.progression import Exposure, Step, next_target
from coaching.rules.shared_fall import example_words
from coaching.rules.signals import find_missed_sessions, read_signals
from sessions.review_words import likely_of
from tests.rules.courses import PULL_UP, course, of_kind
from tests.rules.examples import day, make_logged_session, make_prescription, make_sets

TRIES = [(7, 7, 6), (7, 7, 7), (7, 7, 6), (7, 6, 6), (7, 7, 6), (7, 6, 6)]


@pytest.mark.parametrize(("pain", "told"), [(None, 1), (7, 0)])
def test_repetitions_that_collapse_because_it_hurts_are_no_pacing_fault(pain, told):
    sets = make_sets(PULL_UP, (9, 8, 6, 5, 4), targets=(7,) * 5, pain=pain)
    found = read_signals([make_logged_session(sets, on=day(0))], (), today=day(0))

    assert len(of_kind(found, FindingKind.PACING)) == told


@pytest.mark.parametrize(("no_gain", "told"), [(0.25, ""), (0.5, "50 % likely")])
def test_a_stall_that_is_counted_is_not_said_to_be_unlikely_in_one_breath(no_gain, told):
    exposures = read_exposures(course(*TRIES, targets=(8, 7, 7)))["pull-up"]

    found = stalled_with(judge_exercise(exposures), no_gain)

    assert found.kind is FindingKind.STALLED
    assert likely_of(found) == told
    assert (found.evidence[-1].label, found.evidence[-1].value) == (
        "Nothing gained, by all sets together",
        likely_words(no_gain),
    )


def test_missed_sessions_name_their_days_and_both_counts():
    missed = [Attendance(on=day(n), name="A", done=False) for n in (1, 3, 8, 10, 12)]

    found = find_missed_sessions(missed, today=day(14))

    assert found is not None
    assert found.sentence == (
        "3 of 3 planned sessions were missed in the last 7 days, 2 of 2 in the 7 days before."
    )
    assert [one.value for one in found.evidence[:2]] == ["3 of 3", "2 of 2"]


def exposure(*amounts, rir=None, load=0, on=0):
    sets = make_sets(PULL_UP, amounts, load, rir=rir)
    return read_exposures([make_logged_session(sets, on=day(on))])["pull-up"][0]


def test_more_repetitions_stand_beside_a_loss_only_with_the_reserve_that_tells_why():
    before = exposure(9, 9, 8, rir=3)

    assert example_words(before, exposure(10, 10, 9, rir=0, on=21)) == (
        "9,9,8, 3 in reserve on 3 Mar, 10,10,9, to failure on 24 Mar".replace(
            "3 Mar", f"{day(0).day} {day(0):%b}"
        ).replace("24 Mar", f"{day(21).day} {day(21):%b}")
    )
    assert example_words(before, exposure(10, 10, 9, on=21)) == ""
    assert example_words(exposure(9, 9, 8), exposure(10, 10, 9, on=21)) == ""


def test_fewer_repetitions_are_told_and_a_heavier_load_is_named():
    assert "5,5,5 on" in example_words(exposure(7, 7, 7), exposure(5, 5, 5, on=21))
    assert example_words(exposure(7, 7, 7), exposure(5, 5, 5, load=2, on=21)) == ""
    lighter = example_words(exposure(7, 7, 7, load=5), exposure(8, 8, 8, on=21))
    assert "7,7,7 at 5 kg on" in lighter
    assert "8,8,8 at 0 kg on" in lighter


def ask(part, *done):
    asked = make_prescription(PULL_UP, (8,) * 4, part=part)
    sets = [Exposure(day(3 * n), make_sets(PULL_UP, one), asked) for n, one in enumerate(done)]
    return next_target(asked, sets, loads=(0.0,), harder=None, easier=None, body_weight=80.0)


@pytest.mark.parametrize("part", [Part.PREHAB, Part.SUPPLEMENTARY])
def test_sets_that_were_not_entered_are_no_misses(part):
    found = ask(part, (8, 8), (8, 8))

    assert (found.step, found.targets) == (Step.HOLD, (8,) * 4)


@pytest.mark.parametrize("part", [Part.PREHAB, Part.SUPPLEMENTARY])
def test_sets_that_fell_short_twice_are(part):
    assert ask(part, (8, 8, 7, 6), (8, 8, 7, 6)).step is Step.STEP_BACK
    assert ask(part, (8, 8, 7, 6), (8, 8), (8, 8, 7, 6)).step is Step.STEP_BACK


def test_prehab_with_sets_not_entered_is_not_eased_for_one_repetition():
    assert ask(Part.PREHAB, (8, 8, 7), (8, 7)).step is Step.HOLD
