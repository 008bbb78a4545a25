"""Warning words in a log: what is said of them, and how soon somebody licensed is to look."""

from datetime import timedelta

import pytest

from coaching.rules.care import CAUTION, SAME_DAY, find_pain
from coaching.rules.findings import FindingKind
from coaching.rules.log import LoggedSession
from tests.rules.examples import MONDAY

TODAY = MONDAY + timedelta(days=1)


def noted(note):
    session = LoggedSession(on=MONDAY, sets=(), body_weight=80.0, note=note)
    return find_pain([session], today=TODAY)


@pytest.mark.parametrize("note", ["Dark urine the day after.", "Both arms swollen since Tuesday"])
def test_dark_urine_and_swelling_call_for_care_the_same_day(note):
    # General clinical consensus, from memory: possible muscle breakdown is looked at at once.
    [found] = noted(note)

    assert found.kind is FindingKind.PAIN
    assert CAUTION in found.sentence
    assert SAME_DAY in found.sentence
    assert "same day" in SAME_DAY


def test_other_warning_words_refer_without_naming_dark_urine():
    [found] = noted("Sharp pain in the knee")

    assert CAUTION in found.sentence
    assert SAME_DAY not in found.sentence


def test_a_quiet_note_says_nothing():
    assert noted("Felt strong today.") == []
