"""A session that something was said of before it was begun: on which plan and day it then stands."""

from datetime import UTC, date, datetime, timedelta

import pytest

from coaching.blocks.models import Block, PlannedSession, Prescription
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import change_block, undo_version
from sessions.access import session_of
from sessions.models import LoggedSession
from sessions.pages_today import today_page
from sessions.services import record_entry
from tests.factories.blocks import published_block
from tests.factories.edits import change_prescription
from tests.factories.phone import line_entry, session_entry, set_entry

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


def test_a_session_that_was_looked_into_ahead_is_todays_on_its_own_day(cleo, clock, coming):
    skip_first_line(cleo, coming, clock.now)
    clock.turn(24 * (coming.on - MONDAY).days)

    page = page_of(cleo, clock)

    assert page.data["planned_session"] == str(coming.uid)
    assert (page.data["on"], page.data["is_past"]) == (str(coming.on), False)
    assert (page.days[0], len(page.days)) == (coming.on, 15)
    assert [str(day) for day in page.days] == page.data["days"]


def test_a_set_taken_back_does_not_take_the_session_from_its_day(cleo, clock, coming):
    entry = set_entry(coming, clock.now)
    record_entry(client=cleo, entry=entry)
    record_entry(client=cleo, entry={**entry, "revision": 2, "removed": True})
    at = clock.turn(24 * (coming.on - MONDAY).days)

    found = page_of(cleo, clock).data["planned_session"]
    record_entry(client=cleo, entry=set_entry(coming, at))

    logged = LoggedSession.objects.get()
    assert found == str(coming.uid)
    assert (logged.on, logged.started_at) == (coming.on, at)


@pytest.mark.parametrize("end", ["finished_at", "skipped_reason"])
def test_a_session_ended_without_a_set_is_dated_by_its_end(cleo, clock, coming, end):
    skip_first_line(cleo, coming, clock.now)
    at = clock.turn(24 * (coming.on - MONDAY).days)
    said = {"finished_at": at.isoformat(), "skipped_reason": "ill"}[end]

    record_entry(client=cleo, entry=session_entry(coming, at, **{end: said}))

    logged = LoggedSession.objects.get()
    assert (logged.on, logged.started_at) == (coming.on, at)
    assert page_of(cleo, clock).data["planned_session"] == str(coming.uid)


def test_a_session_skipped_ahead_is_shown_as_skipped_on_its_own_day(cleo, clock, coming):
    record_entry(client=cleo, entry=session_entry(coming, clock.now, skipped_reason="travelling"))
    at = clock.turn(24 * (coming.on - MONDAY).days)

    found = page_of(cleo, clock).data
    record_entry(client=cleo, entry=set_entry(coming, at))

    assert found["planned_session"] == str(coming.uid)
    assert LoggedSession.objects.get().on == coming.on


def test_more_sets_and_corrections_leave_the_day_of_a_session(cleo, clock, coming):
    at = clock.now
    entry = set_entry(coming, at)
    record_entry(client=cleo, entry=entry)
    clock.turn(24)

    record_entry(client=cleo, entry={**entry, "revision": 2, "amount": 1})
    record_entry(client=cleo, entry=set_entry(coming, clock.now, number=2))
    record_entry(client=cleo, entry=session_entry(coming, clock.now, skipped_reason=""))

    logged = LoggedSession.objects.get()
    assert (logged.on, logged.started_at) == (MONDAY, at)


def test_a_session_takes_the_plan_as_it_stands_when_it_is_begun(ana, cleo, clock, coming):
    skip_first_line(cleo, coming, clock.now)
    change_prescription(
        prescription=first_line(coming),
        fields={"targets": [4, 4]},
        onward=False,
        today=MONDAY,
        by=ana,
    )

    record_entry(client=cleo, entry=set_entry(coming, clock.now))

    [asked] = LoggedSession.objects.get().plan
    assert asked["pairs"][0]["lines"][0]["targets"] == [4, 4]


def test_a_session_that_runs_past_midnight_is_not_written_down_afterwards(cleo, clock, block):
    planned = PlannedSession.objects.get(week__block=block, on=MONDAY)
    cleo.time_zone = "UTC"
    cleo.save()
    late = clock.turn(11 + 40 / 60)
    record_entry(client=cleo, entry=set_entry(planned, late))
    clock.turn(0.5)

    running = page_of(cleo, clock).data
    clock.turn(13)
    over = page_of(cleo, clock, session_of(cleo, str(planned.uid))).data

    assert (running["today"], running["on"]) == (str(MONDAY + timedelta(days=1)), str(MONDAY))
    assert (running["is_past"], over["is_past"]) == (False, True)
