"""Pain, warning words, missed sessions, a deload due, a block that ends."""

from dataclasses import replace

import pytest

from coaching.rules.findings import FindingKind
from coaching.rules.log import Attendance, LoggedSession
from coaching.rules.signals import block_ends, deload_due, find_missed_sessions, read_signals
from tests.rules.courses import PUSH_UP, of_kind
from tests.rules.examples import MONDAY, day, make_logged_session, make_sets


def painful(*pains: int | None, every: int = 2) -> list[LoggedSession]:
    return [
        make_logged_session(make_sets(PUSH_UP, (7, 7), pain=pain), on=day(every * at))
        for at, pain in enumerate(pains)
    ]


def test_pain_above_five_of_ten_comes_first_and_is_referred():
    # Limit of 5 of 10: Thomee 1997, Silbernagel 2007 (knee and Achilles tendon).
    found = read_signals(painful(6), (), today=day(1))

    assert found[0].kind is FindingKind.PAIN
    assert "licensed practitioner" in found[0].sentence
    assert "emergency services" in found[0].sentence
    assert found[0].source_key == "thomee-1997"


@pytest.mark.parametrize("pains", [(5,), (3, 3, 3), (4, 3, 2), (1, 2), (None, None, None)])
def test_pain_within_the_limit_that_does_not_rise_is_not_flagged(pains):
    found = read_signals(painful(*pains), (), today=day(6))

    assert of_kind(found, FindingKind.PAIN) == []


def test_pain_that_rises_over_three_sessions_is_flagged():
    [finding] = of_kind(read_signals(painful(1, 2, 4), (), today=day(5)), FindingKind.PAIN)

    assert "1, 2, 4 of 10" in finding.sentence


def test_old_pain_is_not_flagged_again():
    assert of_kind(read_signals(painful(8), (), today=day(8)), FindingKind.PAIN) == []


@pytest.mark.parametrize(
    "note",
    [
        "Bit of chest pain on the last set",
        "felt faint after squats",
        "fingers went numb",
        "dark urine this morning",
        "knee locks when I stand up",
        "my shoulder gave way",
        "sharp pain in the elbow",
        "short of breath for an hour",
    ],
)
def test_warning_words_in_a_note_come_first(note):
    session = replace(make_logged_session(make_sets(PUSH_UP, (7, 7))), note=note)

    found = read_signals([session], (), today=MONDAY)

    assert found[0].kind is FindingKind.RED_FLAG
    assert note in found[0].evidence[0].value
    assert "licensed practitioner" in found[0].sentence


@pytest.mark.parametrize(
    "note",
    ["a number of good sets", "locked out every rep", "felt strong", "sore chest from Monday"],
)
def test_ordinary_notes_are_no_warning(note):
    session = replace(make_logged_session(make_sets(PUSH_UP, (7, 7))), note=note)

    assert of_kind(read_signals([session], (), today=MONDAY), FindingKind.RED_FLAG) == []


def attended(**days: bool) -> list[Attendance]:
    return [Attendance(day(int(key[1:])), f"Session {key}", done) for key, done in days.items()]


@pytest.mark.parametrize(
    ("attendance", "flagged"),
    [
        (attended(d8=True, d10=False, d12=False), True),
        (attended(d8=True, d10=True, d12=False), False),
        (attended(d1=False, d3=True, d8=True, d10=False), True),
        (attended(d1=False, d3=False, d8=True, d10=True), False),
        (attended(d12=False, d14=False), False),  # the second is planned for today
        ([], False),
    ],
)
def test_two_missed_in_a_week_or_two_weeks_running_are_flagged(attendance, flagged):
    finding = find_missed_sessions(attendance, today=day(14))

    assert (finding is not None) == flagged


def test_a_deload_is_due_from_four_weeks():
    # Rogerson 2024: every 5.6 +/- 2.3 weeks; 4 to 6 weeks is common practice.
    early, soon, due = (deload_due(weeks) for weeks in (3.5, 4, 6))

    assert early is None
    assert soon is not None
    assert "may be due" in soon.sentence
    assert due is not None
    assert "plan one now" in due.sentence


@pytest.mark.parametrize(("left", "words"), [(7, "ends on Monday"), (-1, "ended on Sunday")])
def test_a_block_is_said_to_end_in_its_last_week(left, words):
    finding = block_ends(day(left), today=day(0))

    assert finding is not None
    assert words in finding.sentence
    assert block_ends(day(8), today=day(0)) is None
