"""The health screen against the published logic.

Riebe D et al. 2015, Med Sci Sports Exerc 47(11):2473-2479, figure of the preparticipation
screening: exercise now x symptoms x known disease. The outcomes in this table are written
from memory. Sets close to failure stand for vigorous effort (house choice).
"""

import pytest

from coaching.rules.plan import Measure, Part
from coaching.rules.screening import (
    CLEARANCE,
    QUESTIONS,
    Gate,
    Topic,
    breath_caution,
    cautions,
    gate,
    still_open,
)
from coaching.rules.sources import SOURCES
from tests.rules.examples import make_exercise, make_prescription, make_session

# trains now, symptoms, known disease -> outcome
PUBLISHED = [
    (False, False, False, Gate.OPEN),
    (False, False, True, Gate.STOP),
    (False, True, False, Gate.STOP),
    (False, True, True, Gate.STOP),
    (True, False, False, Gate.OPEN),
    (True, False, True, Gate.NOT_HARD),
    (True, True, False, Gate.STOP),
    (True, True, True, Gate.STOP),
]


@pytest.mark.parametrize("disease", [Topic.HEART, Topic.METABOLIC, Topic.RENAL])
@pytest.mark.parametrize(("active", "symptoms", "known", "outcome"), PUBLISHED)
def test_the_gate_follows_the_published_logic(disease, active, symptoms, known, outcome):
    answers = {Topic.ACTIVE: active, Topic.SYMPTOMS: symptoms, disease: known}

    assert gate(answers) is outcome


@pytest.mark.parametrize("topic", [Topic.PREGNANCY, Topic.BLOOD_PRESSURE, Topic.EYES])
def test_breath_holding_is_cautioned_where_common_practice_cautions_it(topic):
    # Common practice, no source.
    [caution] = cautions({topic: True})

    assert caution.gate is Gate.NOT_HARD
    assert CLEARANCE in caution.sentence
    assert "breath-holding" in caution.sentence


def test_a_disease_of_the_heart_waits_and_nobody_holds_the_breath_with_it():
    # Common practice, no source.
    [heart] = cautions({Topic.HEART: True, Topic.ACTIVE: True})
    [diabetes] = cautions({Topic.METABOLIC: True, Topic.ACTIVE: True})

    assert "breath-holding" in heart.sentence
    assert "breath-holding" not in diabetes.sentence


PUSH_UP = make_exercise("push-up")
HOLD = make_exercise("hold", measure=Measure.SECONDS)


@pytest.mark.parametrize(
    ("planned", "is_hard"),
    [
        (make_prescription(PUSH_UP, (5, 5, 5)), True),
        (make_prescription(PUSH_UP, (12, 12), rir=1), True),
        (make_prescription(PUSH_UP, (12, 12), rir=3), False),
        (make_prescription(PUSH_UP, (5, 5), rir=5), False),
        (make_prescription(PUSH_UP, (5, 5), part=Part.PREHAB), False),
        (make_prescription(HOLD, (10, 10)), True),
        (make_prescription(HOLD, (45, 45)), False),
    ],
)
@pytest.mark.parametrize(
    "topic", [Topic.HEART, Topic.BLOOD_PRESSURE, Topic.EYES, Topic.PREGNANCY, Topic.METABOLIC]
)
def test_hard_work_is_cautioned_for_who_should_not_hold_the_breath(topic, planned, is_hard):
    # Common practice, no source: which work is hard, and for whom.
    found = breath_caution([make_session(planned)], {topic: True})

    assert (found is not None) is (is_hard and topic is not Topic.METABOLIC)
    if found is not None:
        assert planned.exercise.name in found.sentence
        assert "licensed practitioner" in found.rule


def test_nobody_else_is_cautioned_about_breath():
    session = make_session(make_prescription(PUSH_UP, (3, 3)))

    assert breath_caution([session], dict.fromkeys(Topic, False)) is None


@pytest.mark.parametrize(
    ("answers", "born_in", "word"),
    [
        ({}, 2010, "Born in 2010: younger than 18."),
        ({}, 2008, "turning 18 this year"),
        ({Topic.MINOR: False}, 2010, "says otherwise"),
    ],
)
def test_a_birth_year_asks_for_a_guardian_where_no_answer_did(answers, born_in, word):
    [caution] = cautions(answers, born_in=born_in, year=2026)

    assert caution.gate is Gate.STOP
    assert word in caution.sentence
    assert "guardian" in caution.sentence


@pytest.mark.parametrize(
    ("answers", "born_in"),
    [({}, None), ({}, 2007), ({Topic.MINOR: False}, 2008)],
)
def test_a_birth_year_of_an_adult_asks_nothing(answers, born_in):
    assert cautions(answers, born_in=born_in, year=2026) == ()


def test_a_guardian_who_agreed_is_not_asked_again_for_the_birth_year():
    answers = {Topic.MINOR: True, Topic.CONSENT: True}

    assert gate(answers, born_in=2010, year=2026) is Gate.CARE


def test_a_practitioners_clearance_is_no_guardians_consent():
    found = cautions({Topic.MINOR: True, Topic.HEART: True})

    assert [one.topic for one in still_open(found, cleared=True)] == [Topic.MINOR]
    assert still_open(found, cleared=False) == found


def test_a_minor_waits_for_a_guardians_consent():
    assert gate({Topic.MINOR: True, Topic.CONSENT: False}) is Gate.STOP
    assert gate({Topic.MINOR: True}) is Gate.STOP
    assert gate({Topic.MINOR: True, Topic.CONSENT: True}) is Gate.CARE
    assert gate({Topic.MINOR: False, Topic.CONSENT: False}) is Gate.OPEN


def test_the_strictest_caution_comes_first():
    answers = {Topic.EYES: True, Topic.MINOR: True, Topic.CONSENT: True, Topic.SYMPTOMS: True}

    found = [caution.topic for caution in cautions(answers)]

    assert found == [Topic.SYMPTOMS, Topic.EYES, Topic.MINOR]


def test_every_yes_but_training_and_consent_is_a_caution():
    for topic in Topic:
        silent = topic in {Topic.ACTIVE, Topic.CONSENT}
        assert bool(cautions({topic: True})) is not silent, topic


def test_every_topic_has_a_question_and_the_logic_has_a_source():
    assert set(QUESTIONS) == set(Topic)
    assert "riebe-2015" in SOURCES
