"""How findings about one client's log are said in the review: label, numbers, how likely."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.urls import reverse

from coaching.rules.exercise_drop import exercise_drop
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.review_order import NEEDS_COACH
from sessions import week_reading
from sessions.models import LoggedSet
from sessions.proposal_words import proposal_words
from sessions.review_words import KIND_WORDS, likely_beside, likely_of, short_words
from sessions.week_reading import read_weeks
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_week
from tests.rules.examples import make_pull_up

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]


@pytest.fixture
def block(cleo, last_week):
    made = published_block(cleo, last_week, "beginner-full-body")
    log_week(cleo, last_week)
    return made


def a_drop(probability=0.86):
    return exercise_drop(
        make_pull_up(), share=0.08, probability=probability, since=date(2025, 3, 3), pain=()
    )


def plain(kind=FindingKind.STALLED, **changes):
    usual = {
        "sentence": "Row has not moved.",
        "evidence": (),
        "rule": "A rule.",
        "source_key": "house",
    }
    return Finding(kind=kind, **(usual | changes))


def reading_of(monkeypatch, client, week, today, *findings):
    monkeypatch.setattr(week_reading, "read_signals", lambda *args, **options: findings)
    return read_weeks([client], week, today)[0]


def test_every_kind_that_needs_the_coach_has_a_label_in_the_order_of_urgency():
    assert [k for k in FindingKind if k in NEEDS_COACH] == list(NEEDS_COACH)
    assert set(NEEDS_COACH) <= set(KIND_WORDS)


def test_one_exercise_that_fell_is_said_with_how_likely_it_is(
    monkeypatch, cleo, block, last_week, today
):
    reading = reading_of(monkeypatch, cleo, last_week, today, a_drop())

    short = short_words(reading)

    assert short.signal == "One exercise fell"
    assert short.numbers.endswith("by about 8 % since 3 Mar, 85 % likely")
    assert proposal_words(reading, today).startswith("ask first")


def test_rising_effort_and_a_mistyped_load_are_said_with_their_numbers(
    monkeypatch, cleo, block, last_week, today
):
    effort = plain(
        FindingKind.EFFORT, sentence="Effort rose: usual 7, the last 3 sessions 8.5, 9, 9."
    )
    typed = plain(
        FindingKind.LOG_MISTAKE,
        sentence="Squat, set 1: 88 kg stands there, asked was 40 kg; that is 40 kg in pounds.",
    )

    both = reading_of(monkeypatch, cleo, last_week, today, effort, typed)
    one = reading_of(monkeypatch, cleo, last_week, today, typed, typed)

    assert short_words(both).numbers == (
        "usual 7, the last 3 sessions 8.5, 9, 9; also log looks wrong"
    )
    assert short_words(one).numbers == (
        "Squat, set 1: 88 kg stands there, asked was 40 kg, and 1 more"
    )
    assert proposal_words(one, today).startswith("ask first")
    assert proposal_words(both, today).startswith("ask first")


def test_a_probability_is_not_said_twice():
    assert likely_of(a_drop()) == "85 % likely"
    assert likely_beside(a_drop()) == ""
    assert likely_beside(plain(probability=0.999)) == "over 95 % likely"
    assert likely_beside(plain()) == ""


def test_the_panel_shows_how_likely_a_finding_is(monkeypatch, ana, cleo, block, last_week, today):
    found = plain(probability=0.71), plain(probability=0.999), plain()
    monkeypatch.setattr(week_reading, "read_signals", lambda *args, **options: found)
    page = reverse("sessions:review-client", args=[cleo.pk])

    said = signed_in(ana).get(f"{page}?week={last_week:%Y-%m-%d}").content.decode()

    assert said.count("70 % likely") >= 1
    assert said.count("Over 95 % likely.") == 1
    assert "100 %" not in said


def test_a_digit_too_many_on_the_phone_comes_before_the_coach(cleo, last_week, today):
    starts = [last_week - timedelta(weeks=n) for n in (3, 2, 1, 0)]
    published_block(cleo, starts[0], "beginner-full-body")
    for monday in starts:
        log_week(cleo, monday)
    wrong = LoggedSet.objects.filter(
        logged_session__client=cleo, logged_session__on__gte=last_week, target__gt=0
    )[0]
    LoggedSet.objects.filter(pk=wrong.pk).update(amount=(wrong.target or 0) * 11)

    reading = read_weeks([cleo], last_week, today)[0]

    assert reading.first is not None
    assert reading.first.kind is FindingKind.LOG_MISTAKE
    assert f"set {wrong.number}" in reading.first.sentence


def test_what_is_proposed_is_about_the_exercise_that_is_named(
    monkeypatch, cleo, block, last_week, today
):
    reading = read_weeks([cleo], last_week, today)[0]
    first, second = (one.exercise for one in reading.proposals[:2])
    reading = reading_of(
        monkeypatch,
        cleo,
        last_week,
        today,
        plain(FindingKind.PACING, exercise=second.key, sentence=f"{second.name} fell."),
        plain(FindingKind.STALLED, exercise="none-of-these"),
        plain(FindingKind.EFFORT, exercise=first.key),
    )
    pacing = replace(
        reading, findings=tuple(f for f in reading.findings if f.kind is FindingKind.PACING)
    )

    assert second.name in proposal_words(pacing, today)
    stalled = replace(reading, findings=reading.urgent[:1])
    assert stalled.first.kind is FindingKind.STALLED
    assert proposal_words(stalled, today).startswith("look at the exercise in the block")


def test_a_stall_that_steps_up_says_why(monkeypatch, cleo, block, last_week, today):
    up = next(
        one
        for one in read_weeks([cleo], last_week, today)[0].proposals
        if one.target.step == "step up"
    )
    reading = reading_of(monkeypatch, cleo, last_week, today, plain(exercise=up.exercise.key))

    assert proposal_words(reading, today).startswith(
        "it reached its last target, and the next step shows whether it moves again."
    )


def test_what_the_log_check_doubts_is_not_ticked(monkeypatch, ana, cleo, block, last_week, today):
    reading = read_weeks([cleo], last_week, today)[0]
    doubted = reading.proposals[0].exercise
    mistake = plain(FindingKind.LOG_MISTAKE, exercise=doubted.key)
    reading_of(monkeypatch, cleo, last_week, today, mistake)

    url = reverse("sessions:review-client", args=[cleo.pk])
    panel = signed_in(ana).get(f"{url}?week={last_week.isoformat()}").context["panel"]

    ticked = {row.name: row.chosen for row in panel.rows}
    assert ticked.pop(doubted.name) is False
    assert all(ticked.values())


def test_all_sessions_missed_are_one_count_and_may_begin_with_a_light_week(cleo, last_week, today):
    published_block(cleo, last_week, "beginner-full-body")

    reading = read_weeks([cleo], last_week, today)[0]

    missed = short_words(reading)
    assert reading.urgent[0].sentence.startswith(missed.signal.removesuffix(" sessions missed"))
    assert "may be a light one" in proposal_words(reading, today)
    assert "no target goes up" in proposal_words(reading, today)
