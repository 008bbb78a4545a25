"""The client page: block, course, weeks, limits, notes and decisions of one person."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.services import add_joint_limit, end_joint_limit, record_body_weight
from sessions.review_services import accept_proposals, mark_reviewed, undo_decision
from sessions.week_reading import read_weeks
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_session, log_week

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]


@pytest.fixture
def block(cleo, last_week):
    found = published_block(cleo, last_week - timedelta(days=14), "beginner-full-body")
    for weeks in (2, 1, 0):
        log_week(cleo, last_week - timedelta(weeks=weeks))
    return found


def page_of(coach, client):
    answer = signed_in(coach).get(reverse("sessions:client", args=[client.pk]))
    assert answer.status_code == 200
    return answer.context["page"], answer.content.decode()


def test_a_new_client_is_told_what_comes_first(ana, cleo):
    page, text = page_of(ana, cleo)

    assert page.coming == ()
    assert "Write the first block" in text
    assert "not weighed yet" in text


def test_the_block_the_week_and_the_next_sessions_are_shown(ana, cleo, block, today):
    page, text = page_of(ana, cleo)

    assert f'{reverse("blocks:block", args=[block.pk])}">Block 1</a>, week 4 of 5' in text
    assert [s.on >= today for s in page.coming] == [True] * len(page.coming)
    assert reverse("sessions:today-for", args=[cleo.pk]) in text
    assert reverse("clients:intake", args=[cleo.pk]) in text


def test_a_finished_session_of_today_is_not_to_come(ana, cleo, block, today):
    session = block.weeks.get(number=4).planned_sessions.filter(on=today).get()
    log_session(cleo, session)

    page, _ = page_of(ana, cleo)

    assert session not in page.coming


def test_weeks_count_what_was_done_of_what_was_due(ana, cleo, block, last_week):
    cleo.logged_sessions.filter(on__gte=last_week).order_by("on")[0].delete()

    page, _ = page_of(ana, cleo)
    week = next(w for w in page.weeks if w.starts_on == last_week)

    assert (week.done, week.due, week.is_short) == (2, 3, True)
    assert week.effort == "7.0"
    assert week.push == week.pull > 0


def test_every_exercise_has_its_course_and_its_word(ana, cleo, block):
    page, text = page_of(ana, cleo)

    assert page.exercises
    assert {line.word for line in page.exercises} <= {"progressing", "holding", "stalled"}
    assert "of usual" in page.exercises[0].spark.label
    address = reverse("sessions:ability", args=[cleo.pk])
    charts = [one.chart for one in page.exercises if one.chart]
    assert charts
    assert all(chart.startswith(address) for chart in charts)
    assert page.course.replace("&", "&amp;") in text


def test_only_limits_that_hold_are_shown(ana, cleo, today):
    add_joint_limit(client=cleo, stress="grip", action="watch", since=today - timedelta(days=9))
    past = add_joint_limit(client=cleo, stress="neck", action="avoid", since=today)
    end_joint_limit(limit=past, on=today)

    page, _ = page_of(ana, cleo)

    assert [limit.stress for limit in page.limits] == ["grip"]


def test_body_weight_is_shown_with_its_course(ana, cleo, today):
    record_body_weight(client=cleo, on=today - timedelta(days=30), kg=70)
    record_body_weight(client=cleo, on=today, kg=71.5)

    page, text = page_of(ana, cleo)

    assert "71.5 kg on 11 Mar" in text
    assert page.weight.label == "Body weight in kg: 70 kg on 9 Feb, 71.5 kg now"


def test_notes_and_decisions_are_kept_and_those_taken_back_are_marked(
    ana, cleo, block, last_week, today
):
    reading = read_weeks([cleo], last_week, today)[0]
    made = accept_proposals(reading=reading, proposals=reading.steps, today=today, by=ana)
    mark_reviewed(client=cleo, week_starts_on=last_week, by=ana, note_to_client="Keep the tempo.")
    undo_decision(decision=made[0], today=today, by=ana)

    page, text = page_of(ana, cleo)

    assert "Keep the tempo." in text
    assert len(page.reviews[0].decisions[0].words) == len(made)
    assert "taken back" in text


def test_the_page_costs_the_same_after_more_history(ana, cleo, block, last_week):
    def count():
        with CaptureQueriesContext(connection) as found:
            page_of(ana, cleo)
        return len(found)

    short = count()
    published_block(cleo, last_week - timedelta(weeks=12), "beginner-full-body")
    for weeks in range(3, 10):
        log_week(cleo, last_week - timedelta(weeks=weeks))

    assert count() == short


def test_a_coach_cannot_open_another_coachs_client(ben, cleo):
    answer = signed_in(ben).get(reverse("sessions:client", args=[cleo.pk]))

    assert answer.status_code == 404


def test_a_client_cannot_open_the_coachs_page_about_them(cleo):
    answer = signed_in(cleo.user).get(reverse("sessions:client", args=[cleo.pk]))

    assert answer.status_code == 404
