"""A reading is kept until something changes that it rests on, and no longer."""

from datetime import timedelta

import pytest
from django.utils import timezone

from clients.account_services import choose_watchfulness
from clients.services import add_joint_limit, record_body_weight, set_equipment
from coaching.blocks.models import PlannedSession
from sessions import roster_reading
from sessions.models import LoggedSet
from sessions.queries import week_start
from sessions.review_services import accept_proposals
from sessions.roster_reading import read_roster_weeks
from sessions.week_reading import read_weeks
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.sessions import log_session, log_week

pytestmark = pytest.mark.django_db


@pytest.fixture
def reads(monkeypatch):
    """Names of the clients that were read, in the order of reading."""
    names: list[str] = []

    def read(clients, week_starts_on, today):
        names.extend(client.name for client in clients)
        return read_weeks(clients, week_starts_on, today)

    monkeypatch.setattr(roster_reading, "read_reviewed_week", read)
    return names


def test_a_kept_reading_says_the_same_for_fewer_queries(
    trained, last_week, today, reads, django_assert_num_queries
):
    first = read_roster_weeks([trained], last_week, today)[0]

    with django_assert_num_queries(10):
        again = read_roster_weeks([trained], last_week, today)[0]

    assert reads == [trained.name]
    assert (again.findings, again.proposals) == (first.findings, first.proposals)


def log_one(client, today):
    log_session(client, PlannedSession.objects.filter(on__gte=week_start(today))[0])


def correct_a_set(client, _today):
    row = LoggedSet.objects.filter(logged_session__client=client)[0]
    row.amount, row.revision = row.amount + 1, row.revision + 1
    row.save()


def take_a_set_back(client, _today):
    LoggedSet.objects.filter(number=1).update(removed_at=timezone.now())


def change_the_plan(client, today):
    reading = read_weeks([client], week_start(today) - timedelta(days=7), today)[0]
    accept_proposals(reading=reading, proposals=reading.steps, today=today, by=client.coach)


def be_watchful(client, _today):
    choose_watchfulness(coach=client.coach, false_alarms_a_year=4)


CHANGES = {
    "a session is logged": log_one,
    "a set is corrected": correct_a_set,
    "a set is taken back": take_a_set_back,
    "the plan changes": change_the_plan,
    "the client is weighed": lambda c, on: record_body_weight(client=c, on=on, kg=80),
    "equipment is written down": lambda c, _: set_equipment(client=c, items=[{"kind": "rings"}]),
    "the coach is more watchful": be_watchful,
    "a joint is limited": lambda c, on: add_joint_limit(
        client=c, stress="grip", action="avoid", since=on
    ),
}


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES.keys())
def test_a_client_is_read_anew_after_a_change(trained, last_week, today, reads, change):
    read_roster_weeks([trained], last_week, today)

    change(trained, today)
    reads.clear()
    kept = read_roster_weeks([trained], last_week, today)[0]

    assert reads == [trained.name]
    assert kept.proposals == read_weeks([trained], last_week, today)[0].proposals


def test_only_the_changed_client_is_read_anew(ana, trained, last_week, today, reads):
    other = ClientFactory.create(coach=ana, name="Zoe Marsh")
    published_block(other, last_week, "beginner-full-body")
    log_week(other, last_week)
    read_roster_weeks([trained, other], last_week, today)
    reads.clear()

    correct_a_set(other, today)
    read_roster_weeks([trained, other], last_week, today)

    assert reads == ["Zoe Marsh"]


def test_nothing_is_kept_over_night_or_too_long(trained, last_week, today, reads, monkeypatch):
    read_roster_weeks([trained], last_week, today)
    read_roster_weeks([trained], last_week, today + timedelta(days=1))
    monkeypatch.setattr(roster_reading, "monotonic", lambda: 1e12)
    read_roster_weeks([trained], last_week, today + timedelta(days=1))

    assert len(reads) == 3


def test_a_new_name_shows_at_once(trained, last_week, today, reads):
    read_roster_weeks([trained], last_week, today)
    trained.name = "Cleo Marsh"

    assert read_roster_weeks([trained], last_week, today)[0].client.name == "Cleo Marsh"
    assert len(reads) == 1
