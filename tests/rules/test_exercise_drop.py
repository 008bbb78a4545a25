"""What is said of one exercise that fell alone, and of its probability."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.exercise_drop import exercise_drop, pain_on
from coaching.rules.findings import FindingKind
from coaching.rules.likelihood import likely_words
from tests.rules.examples import (
    MONDAY,
    day,
    make_exercise,
    make_logged_session,
    make_pull_up,
    make_sets,
)

PULL_UP = make_pull_up(name="Pull-up")
PUSH_UP = make_exercise()


def drop(share=0.082, probability=0.86, since=MONDAY, pain=()):
    return exercise_drop(PULL_UP, share=share, probability=probability, since=since, pain=pain)


def test_the_fall_is_said_with_its_size_its_day_and_how_likely_it_is():
    finding = drop()

    assert finding.kind is FindingKind.EXERCISE_DROP
    assert finding.sentence == (
        "Pull-up alone fell by about 8 % since 3 Mar (85 % likely), the others did not: "
        "technique, equipment or pain, not general fatigue."
    )
    assert (finding.exercise, finding.since, finding.probability) == ("pull-up", MONDAY, 0.86)


def test_without_pain_the_question_asks_for_pain_and_technique():
    finding = drop()

    assert "Does anything hurt" in finding.question
    assert "grip" in finding.question


def test_logged_pain_is_said_and_asked_about_and_referred():
    finding = drop(pain=((day(1), 2, ""), (day(4), 4, "left elbow")))

    assert "4 of 10 (left elbow) on 7 Mar" in finding.sentence
    assert "refer to a licensed practitioner" in finding.sentence
    assert "hurt in the left elbow" in finding.question
    assert "leave out what hurts" in finding.question
    assert [e.value for e in finding.evidence][-2:] == ["2 of 10", "4 of 10 (left elbow)"]


def test_pain_above_the_limit_stops_the_exercise():
    assert "Stop the exercise" in drop(pain=((day(1), 7, "elbow"),)).sentence
    assert "Stop the exercise" not in drop(pain=((day(1), 5, "elbow"),)).sentence


@pytest.mark.parametrize("share", [0.0, -0.1, 1.0])
def test_a_fall_of_nothing_or_of_everything_is_refused(share):
    with pytest.raises(ValueError, match="not possible"):
        drop(share=share)


def test_pain_is_collected_for_the_exercise_alone_and_since_the_day():
    sessions = [
        make_logged_session(
            make_sets(PULL_UP, (6, 6), pain=pain), make_sets(PUSH_UP, (9,), pain=9), on=day(i)
        )
        for i, pain in enumerate([5, 3, 0, None, 4])
    ]

    assert pain_on(sessions, "pull-up", day(1)) == ((day(1), 3, ""), (day(4), 4, ""))


@pytest.mark.parametrize(
    ("probability", "words"),
    [
        (0.93, "95 % likely"),
        (0.62, "60 % likely"),
        (0.5, "50 % likely"),
        (0.951, "over 95 % likely"),
        (1.0, "over 95 % likely"),
        (0.05, "5 % likely"),
        (0.0, "under 5 % likely"),
    ],
)
def test_a_probability_is_said_in_steps_of_five(probability, words):
    assert likely_words(probability) == words


@given(st.floats(0, 1))
def test_nothing_is_certain_or_impossible(probability):
    words = likely_words(probability)

    assert not words.startswith(("100 ", "0 "))
    assert words.endswith(" % likely")


def test_no_probability_is_above_one():
    with pytest.raises(ValueError, match="between 0 and 1"):
        likely_words(1.2)
