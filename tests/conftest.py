"""The cast and the switches that all tests share."""

from datetime import date

import pytest
from django.test import Client as Browser
from django.test import override_settings
from hypothesis import HealthCheck, settings

from clients.models import Client, User
from coaching.blocks.services import load_shared_templates
from coaching.library.services import load_shared_library
from sessions.roster_reading import forget_readings
from tests.factories.clients import ClientFactory, CoachFactory

# How long an example takes is nobody's claim here, and a busy machine must not make one fail.
settings.register_profile(
    "any machine", settings(), deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("any machine")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests that ask for the database are marked, to be run on another kind of it as well."""
    for item in items:
        asks = "db" in getattr(item, "fixturenames", ())
        if asks or item.get_closest_marker("django_db"):
            item.add_marker(pytest.mark.database)


@pytest.fixture(autouse=True, scope="session")
def _fast_and_plain():
    """Cheap password hashes and plain static file names; neither is what a test is about."""
    with override_settings(
        PASSWORD_HASHERS=["django.contrib.auth.hashers.MD5PasswordHasher"],
        STORAGES={
            "default": {"BACKEND": "django.core.files.storage.InMemoryStorage"},
            "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"},
        },
    ):
        yield


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker):
    """The shared library and templates stand in every test database."""
    with django_db_blocker.unblock():
        load_shared()


def load_shared() -> None:
    """Load what every practice starts with."""
    load_shared_library()
    load_shared_templates()


@pytest.fixture(autouse=True)
def _nothing_kept():
    """No reading of another test's rows, whose ids come again, is kept in memory."""
    forget_readings()


@pytest.fixture
def today() -> date:
    """A Wednesday."""
    return date(2026, 3, 11)


@pytest.fixture
def ana(db) -> User:
    """A coach."""
    return CoachFactory.create(name="Ana Ferro", email="ana@practice.example")


@pytest.fixture
def ben(db) -> User:
    """Another coach."""
    return CoachFactory.create(name="Ben Osei", email="ben@practice.example")


@pytest.fixture
def cleo(ana) -> Client:
    """Ana's client, with an account."""
    return ClientFactory.create(coach=ana, name="Cleo Brandt", user__email="cleo@home.example")


@pytest.fixture
def drew(ben) -> Client:
    """Ben's client, with an account."""
    return ClientFactory.create(coach=ben, name="Drew Salas", user__email="drew@home.example")


def signed_in(user: User) -> Browser:
    """A browser in which somebody is signed in."""
    browser = Browser()
    browser.force_login(user)
    return browser
