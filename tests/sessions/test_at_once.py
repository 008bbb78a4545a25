"""Phones that speak at the same moment: nothing is lost, nothing is kept twice."""

import threading
from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import connection
from django.utils import timezone

from clients.models import BodyWeight
from coaching.blocks.models import PlannedSession, Prescription
from sessions.models import Correction, LineChange, LoggedSession, LoggedSet
from sessions.services import record_entry
from tests.conftest import load_shared
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.phone import line_entry, session_entry, set_entry

pytestmark = pytest.mark.django_db(transaction=True)
PHONES = 8


@pytest.fixture
def planned():
    load_shared()
    cleo = ClientFactory.create()
    today = cleo.local_date(timezone.now())
    block = published_block(cleo, today - timedelta(days=today.weekday()))
    return PlannedSession.objects.filter(week__block=block).order_by("on")[0]


def all_at_once(client, entries):
    """Hand in every entry from a thread of its own; what went wrong comes back."""
    gate, receipts, faults = threading.Barrier(len(entries)), [], []

    def hand_in(entry):
        gate.wait()
        try:
            receipts.append(record_entry(client=client, entry=entry))
        except Exception as fault:
            faults.append(fault)
        finally:
            connection.close()

    threads = [threading.Thread(target=hand_in, args=(entry,)) for entry in entries]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert faults == []
    return receipts


def in_other_words(entry, field, values):
    return [{**entry, field: value, "edit": str(uuid4())} for value in values]


def test_as_many_statements_about_one_set_leave_one_and_keep_the_others(planned):
    client, now = planned.week.block.client, timezone.now()
    entries = in_other_words(set_entry(planned, now), "amount", range(PHONES))

    receipts = all_at_once(client, entries)

    row = LoggedSet.objects.get()
    kept = list(Correction.objects.all())
    # The second of the same revision takes the place of the first; the others are older than it.
    assert row.revision == max(r.revision for r in receipts) == 2
    assert sorted(c.was_late for c in kept) == [False] + [True] * (PHONES - 2)
    assert sorted([row.amount, *(c.values["amount"] for c in kept)]) == list(range(PHONES))


def test_a_correction_that_arrives_several_times_at_once_counts_once(planned):
    client, now = planned.week.block.client, timezone.now()
    first = set_entry(planned, now, amount=5, edit=str(uuid4()))
    record_entry(client=client, entry=first)
    better = {**first, "revision": 2, "amount": 6, "edit": str(uuid4())}

    receipts = all_at_once(client, [better] * PHONES)

    assert {(r.revision, r.now) for r in receipts} == {(2, None)}
    assert (LoggedSet.objects.get().amount, Correction.objects.get().values["amount"]) == (6, 5)


def test_sets_ends_and_lines_of_one_session_that_begin_it_at_once_share_it(planned):
    client, now = planned.week.block.client, timezone.now()
    line = Prescription.objects.filter(pair__planned_session=planned)[0]
    entries = [
        set_entry(planned, now, edit=str(uuid4())),
        set_entry(planned, now, number=2, edit=str(uuid4())),
        line_entry(line, now, reason="busy", edit=str(uuid4())),
        session_entry(planned, now, rpe=7, edit=str(uuid4())),
    ]

    all_at_once(client, entries)

    session = LoggedSession.objects.get()
    assert (session.sets.count(), float(session.rpe or 0)) == (2, 7)
    assert LineChange.objects.get().logged_session == session


def test_weighings_of_one_day_at_once_leave_one_and_keep_the_others(planned):
    client, today = planned.week.block.client, timezone.now().date().isoformat()
    entries = [
        {"kind": "weight", "uid": str(uuid4()), "edit": str(uuid4())}
        | {"revision": 1, "on": today, "kg": 60 + n}
        for n in range(PHONES)
    ]

    all_at_once(client, entries)

    kept = [c.values["kg"] for c in Correction.objects.all()]
    stands = float(BodyWeight.objects.get().kg)
    assert sorted([stands, *kept]) == [60 + n for n in range(PHONES)]
