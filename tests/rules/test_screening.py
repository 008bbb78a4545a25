"""The health screen against the published logic.

Riebe D et al. 2015, Med Sci Sports Exerc 47(11):2473-2479, figure of the preparticipation
screening: exercise now x symptoms x known disease. The outcomes in this table are written
from memory. Sets close to failure stand for vigorous effort (house choice).
"""

import pytest

from coaching.rules.screening import CLEARANCE, QUESTIONS, Gate, Topic, cautions, gate
from coaching.rules.sources import SOURCES

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
