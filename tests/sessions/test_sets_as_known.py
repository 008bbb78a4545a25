"""Sets of an older week as they stood when it was reviewed."""

from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest

from coaching.blocks.models import PlannedSession
from sessions.models import LoggedSet
from sessions.queries import week_start
from sessions.replay_reading import read_reviewed_week
from sessions.services import record_entry
from sessions.sets_as_known import set_rows_known_by
from tests.factories.blocks import published_block
from tests.factories.phone import set_entry
from tests.factories.sessions import log_week

pytestmark = pytest.mark.django_db


@pytest.fixture
def week(cleo, today):
    monday = week_start(today) - timedelta(days=7)
    published_block(cleo, monday, "beginner-full-body")
    log_week(cleo, monday)
    return monday


@pytest.fixture
def first(cleo, week):
    return LoggedSet.objects.order_by("done_at", "pk")[0]


def known(cleo, week):
    days = (week, week + timedelta(days=6))
    moment = datetime.combine(week + timedelta(days=8), datetime.min.time(), UTC)
    return set_rows_known_by([cleo], days, moment)


def say(ana, cleo, row, **fields):
    """The coach corrects a set long after."""
    planned = PlannedSession.objects.get(pk=row.logged_session.planned_session_id)
    entry = set_entry(
        planned,
        row.done_at,
        uid=str(row.uid),
        session=str(row.logged_session.uid),
        number=row.number,
        revision=row.revision + 1,
        edit=str(uuid4()),
        **fields,
    )
    record_entry(client=cleo, entry=entry, by=ana)
    row.refresh_from_db()


def test_a_set_corrected_twice_since_is_read_as_it_stood(ana, cleo, week, first):
    before = known(cleo, week)
    asked = first.amount

    say(ana, cleo, first, amount=asked + 5, pain=7)
    say(ana, cleo, first, amount=asked + 6, pain=7)

    assert first.amount == asked + 6
    assert known(cleo, week) == before


def test_a_set_taken_back_since_still_stands_in_its_week(ana, cleo, week, first):
    before = known(cleo, week)

    say(ana, cleo, first, removed=True)

    assert first.removed_at is not None
    assert known(cleo, week) == before


def test_a_set_that_came_in_after_the_review_is_not_there(cleo, week, first):
    LoggedSet.objects.filter(pk=first.pk).update(received_at=first.done_at + timedelta(days=20))

    assert len(known(cleo, week)) == LoggedSet.objects.count() - 1


def test_the_review_of_an_older_week_says_nothing_of_a_pain_written_down_since(
    ana, cleo, week, first
):
    say(ana, cleo, first, pain=8)
    long_after = week + timedelta(days=60)

    (then,) = read_reviewed_week([cleo], week, long_after)
    (at_once,) = read_reviewed_week([cleo], week, week + timedelta(days=7))

    assert "pain" not in {f.kind.value for f in then.urgent}
    assert "pain" in {f.kind.value for f in at_once.urgent}
