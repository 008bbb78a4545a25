"""The week that most tests of the review look back on."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.test import Client as Browser

from clients.models import Client, User
from sessions.queries import week_start
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_week


@pytest.fixture
def now(monkeypatch: pytest.MonkeyPatch, today: date) -> datetime:
    """A Wednesday noon; it is asked for where the clock must stand."""
    at = datetime.combine(today, datetime.min.time(), tzinfo=UTC) + timedelta(hours=12)
    monkeypatch.setattr("django.utils.timezone.now", lambda: at)
    return at


@pytest.fixture
def last_week(today: date) -> date:
    """The Monday before this week's."""
    return week_start(today) - timedelta(days=7)


@pytest.fixture
def trained(cleo: Client, last_week: date) -> Client:
    """Ana's client, who did last week as planned."""
    published_block(cleo, last_week, "beginner-full-body")
    log_week(cleo, last_week)
    return cleo


@pytest.fixture
def coach(ana: User) -> Browser:
    """A browser in which Ana is signed in."""
    return signed_in(ana)
