"""The review page: who needs the coach, why, and what is shown of one client."""

import re
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.account_services import choose_watchfulness
from coaching.blocks.models import PlannedSession
from sessions.models import Decision, LoggedSet, WeekReview
from sessions.pages_review import read_roster, review_list, review_week
from sessions.queries import week_start
from sessions.roster_reading import forget_readings
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.sessions import log_session, log_week
from tests.sessions.reviewing import PART, TEMPLATE, at, panel_of, sent_targets

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]


# The list


def test_by_default_the_week_of_yesterday_is_reviewed(today):
    monday = week_start(today)

    assert review_week("", monday).starts_on == monday - timedelta(days=7)
    assert review_week("", monday + timedelta(days=1)).starts_on == monday


def test_any_day_stands_for_its_week_and_none_to_come_is_offered(today):
    week = review_week((today - timedelta(days=9)).isoformat(), today)

    assert week.starts_on == week_start(today) - timedelta(days=7)
    assert week.following == week_start(today)
    assert review_week("", today).following is None


@pytest.mark.parametrize("week", ["soon", "2026-13-01", "2099-01-05", "9999-12-31"])
def test_a_week_that_cannot_be_reviewed_does_not_exist(coach, week):
    assert coach.get(reverse("sessions:review"), {"week": week}).status_code == 404


def test_who_needs_the_coach_comes_first_with_the_numbers(coach, ana, trained, last_week):
    missing = ClientFactory.create(coach=ana, name="Bo Lind")
    published_block(missing, last_week, TEMPLATE)

    page = coach.get(at("review", last_week)).context["list"]

    assert [i.name for i in page.first] == ["Bo Lind"]
    assert page.first[0].signal == "3 of 3 sessions missed"
    assert [(i.name, i.done) for i in page.routine] == [(trained.name, "3 of 3 done")]
    assert re.match(r"\d+ step up", page.routine[0].words.proposal)


def test_pain_is_said_in_the_list_and_in_the_panel_with_its_number(coach, trained, last_week):
    LoggedSet.objects.filter(number=1).update(pain=7, pain_where="left wrist")

    text = coach.get(at("review", last_week)).content.decode()

    assert "Pain 7 of 10" in text
    assert "(left wrist)" in text
    assert "licensed practitioner" in text


def test_a_finding_shows_rule_source_and_what_it_could_not_know(coach, cleo, last_week):
    published_block(cleo, last_week, TEMPLATE)

    text = coach.get(at("review-client", last_week, cleo.pk)).content.decode()

    assert "2 or more planned sessions missed in 7 days" in text
    assert "no published source" in text
    assert "Could not know: Why, unless the client wrote it." in text


def test_missed_sessions_stand_with_their_reasons(coach, cleo, last_week):
    block = published_block(cleo, last_week, TEMPLATE)
    first = block.weeks.get(number=1).planned_sessions.order_by("on")[0]
    log_session(cleo, first, skipped_reason="travelling")

    panel = panel_of(coach, cleo, last_week)

    assert next((a.name, a.skipped_reason) for a in panel.done.not_done) == (
        first.name,
        "travelling",
    )
    assert len(panel.done.not_done) == 3


def test_a_past_week_is_read_only(coach, cleo, last_week):
    earlier = last_week - timedelta(days=21)
    published_block(cleo, earlier, TEMPLATE)
    log_week(cleo, earlier)

    panel = panel_of(coach, cleo, earlier)

    assert panel.rows == ()
    assert len(panel.done.sessions) == 3


def test_a_roster_without_clients_says_what_to_do(coach):
    answer = coach.get(reverse("sessions:review"))

    assert "Nothing to review" in answer.content.decode()
    assert reverse("blocks:roster") in answer.content.decode()


@pytest.mark.parametrize("clients", [1, 10])
def test_the_list_costs_the_same_queries_for_any_roster(
    ana, clients, last_week, today, django_assert_num_queries
):
    for _ in range(clients):
        client = ClientFactory.create(coach=ana)
        published_block(client, last_week, TEMPLATE)
        log_session(client, client.blocks.get().weeks.all()[0].planned_sessions.all()[0])

    with django_assert_num_queries(31):
        listed = review_list(read_roster(ana, review_week(last_week.isoformat(), today)))

    assert listed.total == clients


def test_the_page_costs_the_same_queries_for_any_roster(coach, ana, trained, last_week):
    def count():
        forget_readings()
        with CaptureQueriesContext(connection) as found:
            coach.get(at("review", last_week))
        return len(found)

    count()  # the week that the coach is at is written down once
    one = count()
    for _ in range(6):
        client = ClientFactory.create(coach=ana)
        published_block(client, last_week, TEMPLATE)
        log_week(client, last_week)

    assert count() == one


# The panel


def test_the_panel_is_a_part_to_htmx_and_a_page_otherwise(coach, trained, last_week):
    url = at("review-client", last_week, trained.pk)

    part, page = coach.get(url, headers=PART), coach.get(url)

    assert part.content.decode().lstrip().startswith("<article")
    assert "<html" in page.content.decode()
    assert "HX-Request" in page.headers["Vary"]


def test_sets_below_their_target_are_marked(coach, cleo, last_week):
    published_block(cleo, last_week, TEMPLATE)
    log_week(cleo, last_week, drop=1)

    panel = panel_of(coach, cleo, last_week)
    session, pair = panel.done.focus

    assert session.short_sets == sum(len(line.sets) for p in session.pairs for line in p.lines)
    assert pair.left.side == "push"
    assert pair.right.side == "pull"
    assert pair.left.done_total == pair.left.asked_total - len(pair.left.sets)


def test_volume_and_balance_are_as_done_beside_as_planned(coach, trained, last_week):
    LoggedSet.objects.filter(exercise__pattern="pull").delete()

    volume = panel_of(coach, trained, last_week).volume
    sides = {s.label: s.value_text for row in volume.rows for s in (row.left, row.right) if s}

    assert re.match(r"\d+(\.5)? of \d+", sides["lats"])
    assert re.match(r"push \d+ sets · pull 0 sets \(planned (\d+) and \d+\)", volume.balance)


def test_the_small_line_of_an_exercise_is_in_per_cent_of_usual(coach, cleo, last_week):
    published_block(cleo, last_week - timedelta(days=14), TEMPLATE)
    for weeks in (2, 1, 0):
        log_week(cleo, last_week - timedelta(weeks=weeks))

    panel = panel_of(coach, cleo, last_week)
    labels = [row.spark.label for row in panel.rows]

    assert labels
    assert all(97 <= int(label.split()[-4]) <= 103 for label in labels)


def test_words_of_the_client_and_pain_are_shown(coach, cleo, last_week):
    block = published_block(cleo, last_week, TEMPLATE)
    session = block.weeks.get(number=1).planned_sessions.order_by("on")[0]
    logged = log_session(cleo, session, note="Slept badly <b>")
    logged.sets.filter(number=1).update(pain=3, pain_where="elbow")

    text = coach.get(at("review-client", last_week, cleo.pk)).content.decode()

    assert "Slept badly &lt;b&gt;" in text
    assert "3 of 10" in text
    assert "elbow" in text


def test_asking_puts_the_question_into_the_note(coach, cleo, last_week):
    published_block(cleo, last_week, TEMPLATE)

    answer = coach.get(at("review-client", last_week, cleo.pk) + "&ask=1")

    assert "What got in the way of training" in answer.context["form"]["note_to_client"].value()
    assert WeekReview.objects.count() == 0


# Who may


@pytest.mark.parametrize("name", ["accept-targets", "hold-week", "close-week", "reopen-week"])
def test_a_coach_cannot_act_on_another_coachs_client(ben, trained, last_week, name):
    url = reverse(f"sessions:{name}", args=[trained.pk])

    answer = signed_in(ben).post(url, {"week": last_week.isoformat()})

    assert answer.status_code == 404
    assert not WeekReview.objects.exists()


def test_a_coach_cannot_undo_another_coachs_decision(coach, ben, trained, last_week):
    panel = panel_of(coach, trained, last_week)
    coach.post(reverse("sessions:accept-targets", args=[trained.pk]), sent_targets(panel))

    data = {"decision": Decision.objects.all()[0].pk, "week": last_week.isoformat()}
    answer = signed_in(ben).post(reverse("sessions:undo-decisions"), data)

    assert answer.status_code == 404
    assert not Decision.objects.filter(undone_at__isnull=False).exists()


def test_a_client_meets_no_review(cleo, trained, last_week):
    coach = signed_in(cleo.user)

    assert coach.get(reverse("sessions:review")).status_code == 404
    assert coach.get(at("review-client", last_week, cleo.pk)).status_code == 404


def test_an_overreaching_client_leads_to_how_watchful_the_review_is(ana, cleo, coach, today):
    choose_watchfulness(coach=ana, false_alarms_a_year=2)
    monday = week_start(today)
    for weeks_ago in (8, 3):
        published_block(cleo, monday - timedelta(weeks=weeks_ago), TEMPLATE)
    for planned in PlannedSession.objects.filter(week__block__client=cleo, on__lt=today):
        fell = planned.on >= monday - timedelta(days=10)
        log_session(cleo, planned, drop=2 if fell else 0, rpe=9 if fell else 7)

    text = coach.get(at("review-client", monday, cleo.pk)).text

    assert '<a href="/settings/">How watchful?</a> About two false alarms' in text


def test_a_client_who_trained_to_plan_asks_nothing_about_watchfulness(coach, trained, last_week):
    text = coach.get(at("review-client", last_week, trained.pk)).text

    assert "Numbers, rule and source" in text or "The week went to plan" in text
    assert "/settings/" not in text.partition('class="review-findings"')[2]
