"""Two phones that speak of the same thing: what stands, and what is kept of the other."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from clients.models import BodyWeight
from clients.services import record_body_weight
from coaching.blocks.models import PlannedSession
from sessions.errors import EntryError
from sessions.models import Correction, LoggedSession, LoggedSet
from sessions.services import record_entry
from tests.factories.blocks import published_block
from tests.factories.phone import session_entry, set_entry


def said(entry, **fields):
    """The same entry with a statement of its own."""
    return {**entry, "edit": str(uuid4()), **fields}


@pytest.fixture
def now():
    return timezone.now()


@pytest.fixture
def planned(cleo, now) -> PlannedSession:
    monday = cleo.local_date(now) - timedelta(days=cleo.local_date(now).weekday())
    block = published_block(cleo, monday)
    return PlannedSession.objects.filter(week__block=block).order_by("on")[0]


@pytest.fixture
def first(planned, now):
    return said(set_entry(planned, now, amount=8))


def test_a_statement_that_is_known_changes_nothing_and_is_told_what_stands(cleo, first):
    record_entry(client=cleo, entry=first)
    record_entry(client=cleo, entry=said(first, revision=2, amount=6))

    again = record_entry(client=cleo, entry=first)

    assert LoggedSet.objects.get().amount == 6
    assert again.now is not None
    assert (again.revision, again.now["amount"], again.now["revision"]) == (2, 6, 2)
    assert Correction.objects.count() == 1


def test_a_receipt_says_nothing_more_when_what_was_sent_stands(cleo, first):
    receipts = [record_entry(client=cleo, entry=first) for _ in range(2)]

    assert [(r.revision, r.now) for r in receipts] == [(1, None), (1, None)]


def test_what_a_newer_statement_replaces_is_kept_with_who_replaced_it(ana, cleo, first):
    record_entry(client=cleo, entry=first, by=cleo.user)
    record_entry(client=cleo, entry=said(first, revision=2, amount=6, load=2.5), by=ana)

    kept = Correction.objects.get()
    row = LoggedSet.objects.get()
    assert (row.amount, float(row.load_kg)) == (6, 2.5)
    assert (kept.kind, kept.revision, kept.by, kept.was_late) == ("set", 1, ana, False)
    assert (kept.values["amount"], str(kept.edit), kept.entry_uid) == (8, first["edit"], row.uid)
    assert kept.logged_session == row.logged_session


def test_two_phones_that_correct_the_same_revision_both_count_in_turn(cleo, first):
    record_entry(client=cleo, entry=first)
    record_entry(client=cleo, entry=said(first, revision=2, amount=6))

    other = record_entry(client=cleo, entry=said(first, revision=2, amount=5))

    row = LoggedSet.objects.get()
    assert (row.amount, row.revision, other.revision, other.now) == (5, 3, 3, None)
    assert [c.values["amount"] for c in Correction.objects.all()] == [8, 6]


def test_an_older_statement_of_another_phone_is_kept_beside_what_stands(cleo, first):
    record_entry(client=cleo, entry=first)
    record_entry(client=cleo, entry=said(first, revision=4, amount=6))
    late = said(first, revision=2, amount=3, note="slipped")

    receipts = [record_entry(client=cleo, entry=late) for _ in range(2)]

    row = LoggedSet.objects.get()
    kept = Correction.objects.get(was_late=True)
    assert (row.amount, row.revision, row.note) == (6, 4, "")
    assert (kept.values["amount"], kept.values["note"], kept.revision) == (3, "slipped", 2)
    assert [(r.revision, r.now and r.now["amount"]) for r in receipts] == [(4, 6), (4, 6)]


def test_a_set_that_another_phone_took_back_says_so_in_the_receipt(cleo, first):
    record_entry(client=cleo, entry=first)
    record_entry(client=cleo, entry=said(first, revision=3, removed=True))

    late = record_entry(client=cleo, entry=said(first, revision=2, amount=4))

    assert late.now is not None
    assert late.now["removed"] is True
    assert Correction.objects.get(was_late=True).values["removed"] is False


def test_what_is_said_of_a_session_is_kept_alike(cleo, planned, now):
    record_entry(client=cleo, entry=set_entry(planned, now))
    words = said(session_entry(planned, now, rpe=7, note="Good.", finished_at=now.isoformat()))
    record_entry(client=cleo, entry=words)
    record_entry(client=cleo, entry=said(words, revision=1, rpe=8))

    late = record_entry(client=cleo, entry=said(words, revision=1, rpe=9, edit=words["edit"]))

    row = LoggedSession.objects.get()
    kept = Correction.objects.get()
    assert (float(row.rpe or 0), row.revision) == (8, 2)
    assert (kept.kind, kept.values["rpe"], kept.values["note"]) == ("session", 7, "Good.")
    assert late.now is not None
    assert late.now["rpe"] == 8


def test_an_older_phone_without_statements_of_its_own_is_read_as_before(cleo, planned, now):
    entry = set_entry(planned, now, amount=8)
    record_entry(client=cleo, entry=entry)
    record_entry(client=cleo, entry={**entry, "revision": 3, "amount": 5})

    late = record_entry(client=cleo, entry={**entry, "revision": 2, "amount": 9})

    assert (LoggedSet.objects.get().amount, late.revision) == (5, 3)
    assert [c.values["amount"] for c in Correction.objects.all()] == [8]


def weight(on, kg, **fields):
    return said({"kind": "weight", "uid": str(uuid4()), "revision": 1, "on": on.isoformat()}, kg=kg)


def test_a_body_weight_that_arrives_again_does_not_undo_a_newer_one(cleo, now):
    on = cleo.local_date(now)
    older, newer = weight(on, 66.4), weight(on, 66.2)
    record_entry(client=cleo, entry=older)
    record_entry(client=cleo, entry=newer)

    again = record_entry(client=cleo, entry=older)

    assert float(BodyWeight.objects.get().kg) == 66.2
    assert again.now == {"on": on.isoformat(), "kg": 66.2}
    kept = Correction.objects.get()
    assert (kept.kind, kept.values["kg"], kept.logged_session) == ("weight", 66.4, None)


def test_a_body_weight_that_the_coach_corrected_is_not_undone_by_its_own_echo(cleo, now):
    on = cleo.local_date(now)
    entry = weight(on, 664 / 4)
    record_entry(client=cleo, entry=entry)
    record_body_weight(client=cleo, on=on, kg=66.4)

    record_entry(client=cleo, entry=entry)

    assert float(BodyWeight.objects.get().kg) == 66.4


def aged(session: LoggedSession, days: int) -> None:
    session.on -= timedelta(days=days)
    session.save(update_fields=["on"])


def test_a_set_is_corrected_for_two_weeks_and_then_by_the_coach_only(ana, cleo, first):
    record_entry(client=cleo, entry=first, by=cleo.user)
    row = LoggedSet.objects.get().logged_session
    aged(row, (row.on - cleo.local_date(timezone.now())).days + 14)
    record_entry(client=cleo, entry=said(first, revision=2, amount=7), by=cleo.user)
    aged(row, 1)

    with pytest.raises(EntryError, match="more than 14 days old"):
        record_entry(client=cleo, entry=said(first, revision=3, amount=1), by=cleo.user)
    kept_before = LoggedSet.objects.get().amount
    record_entry(client=cleo, entry=said(first, revision=3, amount=6), by=ana)

    assert (kept_before, LoggedSet.objects.get().amount) == (7, 6)
    assert record_entry(client=cleo, entry=first, by=cleo.user).revision == 3
