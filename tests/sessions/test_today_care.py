"""What the phone tells before a session: what to leave out, how to breathe, when to seek care."""

from datetime import UTC, date, datetime

import pytest

from clients.services import add_joint_limit, end_joint_limit
from coaching.blocks.limit_services import override_limit
from coaching.library.models import Exercise
from coaching.rules.care import SAME_DAY
from sessions.pages_today import today_page
from tests.conftest import signed_in
from tests.factories.blocks import published_block

pytestmark = pytest.mark.django_db

URLS = {"today_url": "/today/", "log_url": "/my-log/", "sync_url": "/sync/"}
MONDAY = date(2026, 3, 9)
NOON = datetime(2026, 3, 9, 12, tzinfo=UTC)
WRIST = "wrist bent back under load"


@pytest.fixture
def block(cleo):
    return published_block(cleo, MONDAY, "beginner-full-body")


def care_of(client):
    session = today_page(client, client.user, NOON, URLS, None).session
    assert session is not None
    return " ".join(session.care)


def test_nothing_is_told_to_a_client_without_a_limit_or_a_condition(cleo, block):
    assert care_of(cleo) == ""


def test_what_a_later_limit_forbids_is_to_be_left_out_until_it_is_decided(ana, cleo, block):
    limit = add_joint_limit(client=cleo, stress=WRIST, action="avoid", since=MONDAY)
    told = care_of(cleo)
    named = [row for row in Exercise.objects.filter(coach=None) if f"{row.name} ({WRIST})" in told]

    for row in named:
        override_limit(
            client=cleo, exercise=row, name=row.name, why="Cleared.", days=[MONDAY], by=ana
        )

    assert told.startswith("Leave out for now")
    assert named
    assert care_of(cleo) == ""
    end_joint_limit(limit=limit, on=MONDAY)
    assert care_of(cleo) == ""


def test_who_should_not_hold_the_breath_is_told_on_which_exercises(cleo, block):
    cleo.screening_answers = {"pregnancy": True}
    cleo.save(update_fields=["screening_answers"])

    assert care_of(cleo).startswith("Do not hold your breath on ")


def test_the_page_tells_it_on_top_and_what_calls_for_care_the_same_day(cleo, block, monkeypatch):
    add_joint_limit(client=cleo, stress=WRIST, action="avoid", since=MONDAY)
    monkeypatch.setattr("django.utils.timezone.now", lambda: NOON)

    text = signed_in(cleo.user).get("/today/").text

    assert text.index("Before you begin") < text.index("today-pairs")
    assert '<strong class="signal">Leave out for now</strong>' in text
    assert SAME_DAY in text
