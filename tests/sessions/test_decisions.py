"""The page of decisions: what was proposed, what the coach did, and what came of it."""

from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coaching.blocks.models import PlannedSession
from sessions.hindsight import After, Did
from sessions.models import Decision, WeekReview
from sessions.next_targets import with_targets
from sessions.pages_hindsight import decisions_page
from sessions.queries import week_start
from sessions.review_services import (
    accept_proposals,
    accept_routine,
    mark_reviewed,
    undo_decision,
)
from sessions.week_reading import read_weeks
from sessions.week_record import read_record
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_session, log_week

pytestmark = pytest.mark.django_db

TEMPLATE = "beginner-full-body"


@pytest.fixture
def monday(today):
    return week_start(today)


@pytest.fixture(autouse=True)
def now(monkeypatch, monday):
    """Monday morning, before anybody trains."""
    at = datetime.combine(monday, datetime.min.time(), tzinfo=UTC) + timedelta(hours=7)
    monkeypatch.setattr("django.utils.timezone.now", lambda: at)
    return at


@pytest.fixture
def last_week(monday):
    return monday - timedelta(days=7)


def reading_of(client, week, today):
    return read_weeks([client], week, today)[0]


def page_at(client, day):
    return decisions_page(client, day)


def train(client, monday, **how):
    row = PlannedSession.objects.filter(week__block__client=client, on=monday).get()
    return log_session(client, row, **how)


def rows_of(page, name):
    return [row for week in page.weeks for row in week.rows if row.exercise == name]


def test_closing_a_week_keeps_what_was_found_and_proposed_once(ana, trained, last_week, monday):
    reading = reading_of(trained, last_week, monday)
    mark_reviewed(client=trained, week_starts_on=last_week, by=ana, reading=reading)
    first = WeekReview.objects.get().proposed
    log_week(trained, monday)

    later = reading_of(trained, last_week, monday)
    mark_reviewed(client=trained, week_starts_on=last_week, by=ana, reading=later)

    kept = read_record(WeekReview.objects.get().proposed)
    assert WeekReview.objects.get().proposed == first
    assert kept is not None
    assert [one.exercise for one in kept.proposals] == [p.exercise.name for p in reading.steps]
    assert kept.stays == len(reading.proposals) - len(reading.steps)


def test_a_finding_is_kept_in_the_words_of_that_day(ana, cleo, last_week, monday):
    published_block(cleo, last_week, TEMPLATE)
    reading = reading_of(cleo, last_week, monday)

    mark_reviewed(client=cleo, week_starts_on=last_week, by=ana, reading=reading)

    [week] = page_at(cleo, monday).weeks
    assert [one.word for one in week.found] == ["Missed sessions"]
    assert "3 of 3 planned sessions were missed" in week.found[0].why


def test_weeks_accepted_together_are_kept_too(ana, trained, last_week, monday, now):
    reading = reading_of(trained, last_week, monday)

    accept_routine(accepted=[(reading, reading.proposals)], now=now, by=ana)

    assert read_record(WeekReview.objects.get().proposed) is not None


@pytest.mark.parametrize(("drop", "after"), [(0, After.MADE), (1, After.SHORT)])
def test_an_accepted_step_is_followed_by_what_was_done_the_next_time(
    ana, trained, last_week, monday, drop, after
):
    reading = reading_of(trained, last_week, monday)
    accept_proposals(reading=reading, proposals=reading.steps, today=monday, by=ana)
    train(trained, monday, drop=drop)

    page = page_at(trained, monday)
    told = [row for week in page.weeks for row in week.rows if row.after.times]

    assert told
    assert {row.did for row in told} == {Did.ACCEPTED}
    assert {row.after.after for row in told} == {after}
    assert all(row.after.times[0].on == monday for row in told)


def test_what_was_not_trained_since_is_not_known(ana, trained, last_week, monday):
    reading = reading_of(trained, last_week, monday)
    accept_proposals(reading=reading, proposals=reading.steps, today=monday, by=ana)

    page = page_at(trained, monday)

    assert {row.after.after for row in page.weeks[0].rows} == {After.NOT_YET}
    [line] = page.counts
    assert (line.did, line.made, line.short) == (Did.ACCEPTED, 0, 0)
    assert line.total == line.other == len(reading.steps)


def test_what_the_coach_changed_is_told_apart(ana, trained, last_week, monday):
    reading = reading_of(trained, last_week, monday)
    one = next(p for p in reading.steps if not p.to)
    changed = with_targets(one, tuple(n + 2 for n in one.target.targets), one.target.load)
    accept_proposals(reading=reading, proposals=[changed], today=monday, by=ana)

    [row] = rows_of(page_at(trained, monday), one.exercise.name)

    assert row.did is Did.CHANGED
    assert "-".join(str(n) for n in changed.target.targets) in row.decided


def test_what_nobody_decided_stands_beside_it(ana, trained, last_week, monday):
    reading = reading_of(trained, last_week, monday)
    taken = reading.steps[0]
    accept_proposals(reading=reading, proposals=[taken], today=monday, by=ana)
    mark_reviewed(client=trained, week_starts_on=last_week, by=ana, reading=reading)

    did = {row.exercise: row.did for row in page_at(trained, monday).weeks[0].rows}

    assert did.pop(taken.exercise.name) is Did.ACCEPTED
    assert set(did.values()) == {Did.OPEN}
    assert set(did) == {p.exercise.name for p in reading.steps[1:]}


def test_what_was_taken_back_is_shown_and_not_counted(ana, trained, last_week, monday):
    reading = reading_of(trained, last_week, monday)
    made = accept_proposals(reading=reading, proposals=reading.steps, today=monday, by=ana)
    undo_decision(decision=made[0], today=monday, by=ana)

    page = page_at(trained, monday)

    assert all(row.undone for row in page.weeks[0].rows)
    assert page.counts == ()


def test_the_page_says_all_of_it_newest_week_first(ana, trained, last_week, monday):
    reading = reading_of(trained, last_week, monday)
    for week in (last_week - timedelta(days=7), last_week):
        mark_reviewed(client=trained, week_starts_on=week, by=ana, reading=reading)
    accept_proposals(reading=reading, proposals=reading.steps, today=monday, by=ana)
    train(trained, monday)

    text = signed_in(ana).get(reverse("sessions:decisions", args=[trained.pk])).content.decode()

    heads = [f"?week={week:%Y-%m-%d}" for week in (last_week, last_week - timedelta(days=7))]
    assert [text.index(head) for head in heads] == sorted(text.index(head) for head in heads)
    assert "Accepted as proposed" in text
    assert "all made" in text


def test_a_client_without_decisions_is_told_where_they_come_from(ana, cleo):
    text = signed_in(ana).get(reverse("sessions:decisions", args=[cleo.pk])).content.decode()

    assert "Nothing decided yet" in text


@pytest.mark.parametrize("before", ["soon", "2026-13-01"])
def test_a_day_that_is_none_does_not_exist(ana, cleo, before):
    url = reverse("sessions:decisions", args=[cleo.pk])

    assert signed_in(ana).get(url, {"before": before}).status_code == 404


def test_earlier_weeks_are_a_page_further_for_the_same_queries(ana, trained, last_week, monday):
    reading = reading_of(trained, last_week, monday)
    mark_reviewed(client=trained, week_starts_on=last_week, by=ana, reading=reading)
    with CaptureQueriesContext(connection) as one:
        page_at(trained, monday)
    for back in range(1, 30):
        week = last_week - timedelta(weeks=back)
        mark_reviewed(client=trained, week_starts_on=week, by=ana, reading=reading)

    with CaptureQueriesContext(connection) as many:
        newest = page_at(trained, monday)
    older = decisions_page(trained, monday, newest.earlier)

    assert len(many) == len(one)
    assert (len(newest.weeks), len(older.weeks)) == (26, 4)
    assert older.earlier is None
    assert Decision.objects.count() == 0


def test_it_is_found_from_the_client_and_from_the_review(ana, trained):
    url = reverse("sessions:decisions", args=[trained.pk])

    for name in ("sessions:client", "sessions:review-client"):
        page = signed_in(ana).get(reverse(name, args=[trained.pk]))
        assert url in page.content.decode()


def test_a_past_week_shows_what_was_said_of_it_when_it_was_closed(ana, trained, last_week, monday):
    reading = reading_of(trained, last_week, monday)
    past = last_week - timedelta(days=14)
    mark_reviewed(client=trained, week_starts_on=past, by=ana, reading=reading)
    url = reverse("sessions:review-client", args=[trained.pk])

    then = signed_in(ana).get(f"{url}?week={past:%Y-%m-%d}").content.decode()
    now = signed_in(ana).get(f"{url}?week={last_week:%Y-%m-%d}").content.decode()

    assert "As it stood when you closed this week" in then
    assert f"Proposed for {reading.steps[0].exercise.name}: step up" in then
    assert "As it stood" not in now
