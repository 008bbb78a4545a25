"""A week of a roster is read at once, and says who needs the coach and what to ask next."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from clients.account_services import choose_watchfulness
from clients.models import Client
from coaching.blocks.models import PlannedSession, Prescription
from coaching.library.models import MovementGoal
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.plan import Pattern
from coaching.rules.review_order import NEEDS_COACH
from coaching.rules.signals import read_signals
from sessions import week_reading
from sessions.models import LoggedSet
from sessions.next_targets import with_targets
from sessions.queries import week_start
from sessions.replay_reading import read_reviewed_week
from sessions.week_reading import read_weeks
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.sessions import log_session, log_week

pytestmark = pytest.mark.django_db

TEMPLATE = "beginner-full-body"


@pytest.fixture
def monday(today):
    return week_start(today)


@pytest.fixture
def last_week(monday):
    return monday - timedelta(days=7)


@pytest.fixture
def block(cleo, last_week):
    return published_block(cleo, last_week, TEMPLATE)


def first_session(client):
    return PlannedSession.objects.filter(week__block__client=client).order_by("on", "position")[0]


def test_a_week_done_to_plan_needs_no_coach_and_steps_up(cleo, block, last_week, today):
    log_week(cleo, last_week)

    reading = read_weeks([cleo], last_week, today)[0]

    assert reading.first is None
    assert {p.target.step for p in reading.proposals} >= {"step up"}
    assert len(reading.week_sessions) == len(reading.week_attendance) > 0


def test_the_place_in_the_block_is_known(cleo, block, last_week, today):
    reading = read_weeks([cleo], last_week, today)[0]

    assert reading.place is not None
    assert (reading.place.block, reading.place.week) == (1, 1)
    assert reading.place.weeks == block.weeks.count()
    assert reading.plans_block == block.pk


def test_clients_come_in_the_order_in_which_they_need_the_coach(ana, last_week, today):
    fine, missing, hurt = (
        ClientFactory.create(coach=ana, name=name) for name in ("Abe", "Bo", "Cy")
    )
    for client in (fine, missing, hurt):
        published_block(client, last_week, TEMPLATE)
    log_week(fine, last_week)
    log_week(hurt, last_week)
    LoggedSet.objects.filter(logged_session__client=hurt).update(pain=7)

    order = read_weeks([fine, missing, hurt], last_week, today)

    assert [r.client.name for r in order] == ["Cy", "Bo", "Abe"]
    assert [r.urgent[0].kind for r in order[:2]] == [FindingKind.PAIN, FindingKind.MISSED]


def test_urgent_findings_stand_in_the_order_of_the_review(cleo, block, last_week, today):
    log_session(cleo, first_session(cleo))
    LoggedSet.objects.update(pain=7)

    urgent = read_weeks([cleo], last_week, today)[0].urgent
    places = [NEEDS_COACH.index(f.kind) for f in urgent]

    assert {f.kind for f in urgent} >= {FindingKind.PAIN, FindingKind.MISSED}
    assert places == sorted(places)


def test_what_came_after_the_week_is_no_finding_of_it(cleo, block, monday, last_week, today):
    log_week(cleo, last_week)
    running = list(PlannedSession.objects.filter(on__range=(monday, today)))
    log_session(cleo, running[0])
    LoggedSet.objects.filter(logged_session__on__gte=monday).update(pain=8)

    before, now = (read_weeks([cleo], week, today)[0] for week in (last_week, monday))

    assert before.first is None
    assert now.urgent[0].kind is FindingKind.PAIN


def test_the_next_targets_follow_the_newest_log_even_in_the_week_before(
    cleo, block, monday, last_week, today
):
    log_week(cleo, last_week)
    session = PlannedSession.objects.filter(on=monday).get()
    log_session(cleo, session)

    reading = read_weeks([cleo], last_week, today)[0]
    trained = Prescription.objects.filter(pair__planned_session=session).values("exercise")
    proposals = [p for p in reading.proposals if {"exercise": p.exercise_id} in trained]

    assert proposals
    assert {p.last.on for p in proposals if p.last} == {monday}


def test_an_older_week_proposes_nothing(cleo, last_week, today):
    published_block(cleo, last_week - timedelta(days=7), TEMPLATE)
    log_week(cleo, last_week - timedelta(days=7))

    assert read_weeks([cleo], last_week - timedelta(days=7), today)[0].proposals == ()


def test_a_session_of_today_is_not_missed_yet(cleo, block, monday, today):
    due = {a.on for a in read_weeks([cleo], monday, today)[0].week_attendance}

    assert due == {on for on in days_of(cleo, monday) if on < today}


def days_of(client, monday):
    rows = PlannedSession.objects.filter(
        week__block__client=client, on__range=(monday, monday + timedelta(days=6))
    )
    return set(rows.values_list("on", flat=True))


def test_a_block_in_its_last_week_says_that_the_next_is_to_be_written(cleo, block):
    last = block.weeks.order_by("-starts_on")[0].starts_on
    log_week(cleo, last - timedelta(days=7))
    log_week(cleo, last)

    reading = read_weeks([cleo], last, last + timedelta(days=7))[0]

    assert reading.urgent[0].kind is FindingKind.BLOCK_ENDS
    assert f"{last + timedelta(days=6):%A}" in reading.urgent[0].sentence


def test_weeks_without_a_deload_make_one_due(cleo, block, last_week):
    block.weeks.update(kind="build")
    following = published_block(cleo, last_week + timedelta(weeks=5), TEMPLATE)
    following.weeks.update(kind="build")
    sixth = last_week + timedelta(weeks=5)
    log_week(cleo, sixth - timedelta(days=7))
    log_week(cleo, sixth)

    due = list(read_weeks([cleo], sixth, sixth + timedelta(days=7))[0].urgent)

    assert FindingKind.DELOAD_DUE in {f.kind for f in due}


def test_a_block_that_another_follows_does_not_end(cleo, block, today):
    last = block.weeks.order_by("-starts_on")[0].starts_on
    published_block(cleo, last + timedelta(days=7), TEMPLATE)

    findings = read_weeks([cleo], last, last + timedelta(days=8))[0].findings

    assert FindingKind.BLOCK_ENDS not in {f.kind for f in findings}


def test_targets_go_into_the_block_that_is_trained_next(cleo, block, last_week, today):
    last = block.weeks.order_by("-starts_on")[0].starts_on
    following = published_block(cleo, last + timedelta(days=7), TEMPLATE)
    log_week(cleo, last - timedelta(days=7))

    reading = read_weeks([cleo], last, last + timedelta(days=6))[0]

    assert reading.plans_block == following.pk


def test_numbers_changed_by_the_coach_name_their_step(cleo, block, last_week, today):
    log_week(cleo, last_week)
    proposal = next(p for p in read_weeks([cleo], last_week, today)[0].proposals if not p.to)
    now = proposal.planned[0]

    more = with_targets(proposal, tuple(t + 3 for t in now.targets), now.load)
    less = with_targets(proposal, now.targets[:1], now.load)

    assert (more.target.step, more.edited) == ("step up", True)
    assert (less.target.step, less.edited) == ("step back", True)
    assert with_targets(proposal, proposal.target.targets, proposal.target.load) is proposal


@pytest.mark.parametrize("clients", [1, 10])
def test_a_week_of_any_roster_costs_the_same_queries(
    ana, clients, last_week, today, django_assert_num_queries
):
    roster = [ClientFactory.create(coach=ana) for _ in range(clients)]
    for client in roster:
        published_block(client, last_week, TEMPLATE)
        log_session(client, first_session(client))

    with django_assert_num_queries(17):
        readings = read_weeks(roster, last_week, today)

    assert len(readings) == clients


def test_signals_are_read_within_the_budget_of_each_clients_coach(
    ana, ben, last_week, today, monkeypatch
):
    choose_watchfulness(coach=ben, false_alarms_a_year=0.25)
    made = [ClientFactory.create(coach=coach) for coach in (ana, ben, ana, ben)]
    clients = list(Client.objects.filter(pk__in=[one.pk for one in made]).order_by("pk"))
    budgets = []

    def read(*logs, today, believed, false_alarms_a_year):
        budgets.append(false_alarms_a_year)
        return read_signals(
            *logs, today=today, believed=believed, false_alarms_a_year=false_alarms_a_year
        )

    monkeypatch.setattr(week_reading, "read_signals", read)
    with CaptureQueriesContext(connection) as asked:
        read_weeks(clients, last_week, today)

    assert budgets == [1, 0.25, 1, 0.25]
    assert len([one for one in asked.captured_queries if "clients_user" in one["sql"]]) == 1


def test_a_proposal_tells_how_often_all_of_it_will_be_made(cleo, block, last_week, today):
    log_week(cleo, last_week)
    proposals = read_weeks([cleo], last_week, today)[0].proposals
    told = {p.exercise.key for p in proposals if "times in 10" in p.target.sentence}
    followed = {p.exercise.key for p in proposals if p.exercise.pattern is not Pattern.PREHAB}

    assert len(told) > 4
    # A hollow hold is harder than a plank by something that kilograms do not tell.
    assert followed - told == {"plank"}


def said(kind, exercise=""):
    """A finding of that kind as the signals give it."""
    return Finding(kind, "Said.", (), "A rule.", "common-practice", exercise=exercise)


def test_nothing_goes_up_while_overreaching_is_said(cleo, block, last_week, today, monkeypatch):
    log_week(cleo, last_week)
    found = said(FindingKind.OVERREACHING)
    monkeypatch.setattr(week_reading, "read_signals", lambda *_, **__: (found,))

    steps = {p.target.step for p in read_weeks([cleo], last_week, today)[0].proposals}

    assert steps == {"hold"}


def test_only_the_exercise_that_dropped_alone_is_held(cleo, block, last_week, today, monkeypatch):
    log_week(cleo, last_week)
    up = {p.exercise.key for p in read_weeks([cleo], last_week, today)[0].steps}
    key = min(up)
    found = said(FindingKind.EXERCISE_DROP, key)
    monkeypatch.setattr(week_reading, "read_signals", lambda *_, **__: (found,))

    assert {p.exercise.key for p in read_weeks([cleo], last_week, today)[0].steps} == up - {key}


def test_a_goal_that_the_log_has_met_is_a_decision_due_until_it_is_called_reached(
    cleo, block, last_week, today
):
    log_week(cleo, last_week)
    one = LoggedSet.objects.filter(logged_session__client=cleo).order_by("-amount")[0]
    goal = MovementGoal.objects.create(
        client=cleo, exercise=one.exercise, reps=one.amount, set_on=last_week
    )

    said = [f.kind for f in read_weeks([cleo], last_week, today)[0].urgent]
    goal.reached_on = today
    goal.save()

    assert FindingKind.GOAL_REACHED in said
    assert FindingKind.GOAL_REACHED not in {
        f.kind for f in read_weeks([cleo], last_week, today)[0].findings
    }


def test_an_older_week_reads_as_it_did_when_it_was_over(cleo, block, last_week):
    log_week(cleo, last_week)
    late = first_session(cleo).logged_session
    after = last_week + timedelta(days=9)
    late.on = after
    late.started_at += timedelta(days=9)
    late.save()
    PlannedSession.objects.filter(pk=late.planned_session_id).update(started_at=late.started_at)
    weeks_later = last_week + timedelta(days=28)

    (then,) = read_reviewed_week([cleo], last_week, weeks_later)
    (at_once,) = read_reviewed_week([cleo], last_week, last_week + timedelta(days=9))

    # Done two days after the review: that Monday it had been missed.
    assert [a.done for a in then.week_attendance].count(False) == 1
    assert all(a.done for a in at_once.week_attendance)
    assert then.proposals == ()
    assert at_once.proposals
