"""What is read ahead when the program starts."""

import gc

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from clients.queries import clients_of
from sessions import warm_up
from sessions.pages_review import review_week
from sessions.roster_reading import forget_readings, read_roster_weeks
from tests.factories.blocks import published_block
from tests.factories.sessions import log_week


@pytest.fixture(autouse=True)
def _nothing_stays():
    yield
    gc.unfreeze()


def test_the_newest_week_is_read_once_and_then_known(ana, cleo):
    today = timezone.localdate()
    monday = review_week("", today).starts_on
    published_block(cleo, monday, "beginner-full-body")
    log_week(cleo, monday)

    def queries():
        with CaptureQueriesContext(connection) as found:
            read_roster_weeks(list(clients_of(ana).select_related("coach")), monday, today)
        return len(found)

    cold = queries()
    forget_readings()
    warm_up.warm_up()

    assert queries() < cold


def test_a_practice_that_cannot_be_read_does_not_stop_the_program(monkeypatch):
    def fail():
        raise ValueError("no table")

    monkeypatch.setattr(warm_up, "warm_up", fail)
    monkeypatch.setattr("sessions.warm_up.connections.close_all", lambda: None)

    said: list[str] = []
    monkeypatch.setattr(warm_up.log, "exception", said.append)

    warm_up.begin_warm_up().join(timeout=10)

    assert said == ["The newest week could not be read ahead."]


def test_what_is_there_after_the_start_is_looked_through_no_more(monkeypatch):
    monkeypatch.setattr(warm_up, "warm_up", lambda: None)
    monkeypatch.setattr("sessions.warm_up.connections.close_all", lambda: None)
    before = gc.get_freeze_count()

    warm_up.begin_warm_up().join(timeout=10)

    assert gc.get_freeze_count() > before
    assert not any(one is warm_up.__dict__ for one in gc.get_objects())
