"""A session that something was said of before it was begun: on which plan and day it then stands."""

from datetime import UTC, date, datetime, timedelta

import pytest

from coaching.blocks.models import Block, PlannedSession, Prescription
from coaching.blocks.prescription_services import change_prescription
from coaching.blocks.services import change_block, undo_version
from coaching.blocks.snapshots import snapshot_of
from sessions.access import session_of
from sessions.models import LoggedSession
from sessions.pages_today import today_page
from sessions.services import record_entry
from tests.factories.blocks import published_block
from tests.factories.phone import line_entry, set_entry

URLS = {"today_url": "/today/", "log_url": "/my-log/", "sync_url": "/sync/"}
MONDAY = date(2026, 3, 9)


class Clock:
    """What the server takes for the present."""

    now = datetime(2026, 3, 9, 12, tzinfo=UTC)

    def turn(self, hours: float) -> datetime:
        self.now += timedelta(hours=hours)
        return self.now


@pytest.fixture
def clock(monkeypatch) -> Clock:
    clock = Clock()
    monkeypatch.setattr("django.utils.timezone.now", lambda: clock.now)
    return clock


@pytest.fixture
def block(cleo, clock) -> Block:
    return published_block(cleo, MONDAY, "upper-lower")


@pytest.fixture
def coming(block) -> PlannedSession:
    """The session of the next day on which one is planned."""
    return PlannedSession.objects.filter(week__block=block, on__gt=MONDAY).order_by("on")[0]


def first_line(planned) -> Prescription:
    lines = Prescription.objects.filter(pair__planned_session=planned)
    return lines.select_related("pair__planned_session__week__block").order_by("pair", "pk")[0]


def skip_first_line(client, planned, at):
    entry = line_entry(first_line(planned), at, reason="no bench free")
    record_entry(client=client, entry=entry)


def page_of(client, clock, wanted=None):
    return today_page(client, client.user, clock.now, URLS, wanted)


def test_a_log_without_a_set_stays_on_its_session_when_the_coach_changes_that(
    ana, cleo, clock, coming
):
    skip_first_line(cleo, coming, clock.now)
    line = first_line(coming)
    change_prescription(
        prescription=line, fields={"targets": [4, 4]}, onward=False, today=MONDAY, by=ana
    )

    record_entry(client=cleo, entry=set_entry(coming, clock.now))

    planned = PlannedSession.objects.get(uid=coming.uid)
    logged = LoggedSession.objects.get()
    assert logged.planned_session == planned
    assert planned.started_at == clock.now
    data = page_of(cleo, clock, session_of(cleo, str(coming.uid))).data
    assert [one["amount"] for one in data["sets"]] == [4]


def test_a_log_finds_its_session_again_that_was_taken_out_and_put_back(
    ana, cleo, block, clock, coming
):
    skip_first_line(cleo, coming, clock.now)
    without = snapshot_of(block)
    for week in without["weeks"]:
        week["sessions"] = [one for one in week["sessions"] if one["uid"] != str(coming.uid)]
    version = change_block(block=block, snapshot=without, today=MONDAY, by=ana, what="Less")
    undo_version(version=version, today=MONDAY, by=ana)
    planned = PlannedSession.objects.get(uid=coming.uid)

    record_entry(client=cleo, entry=set_entry(planned, clock.now))

    assert LoggedSession.objects.get().planned_session == planned
    data = page_of(cleo, clock, session_of(cleo, str(coming.uid))).data
    assert len(data["sets"]) == 1
