"""Entries of a phone: kept once, never lost, refused with the remedy."""

import threading
from datetime import timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, connection
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from clients.models import BodyWeight
from coaching.blocks.models import PlannedSession
from sessions import services
from sessions.errors import EntryError
from sessions.models import LoggedSession, LoggedSet
from sessions.queries import attendance_of
from sessions.services import record_entry
from tests.conftest import load_shared, signed_in
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.phone import session_entry, set_entry


def first_session(client, now) -> PlannedSession:
    monday = client.local_date(now) - timedelta(days=client.local_date(now).weekday())
    block = published_block(client, monday)
    return PlannedSession.objects.filter(week__block=block).order_by("on")[0]


def send(user, entry, url="sessions:sync", *args):
    return signed_in(user).post(
        reverse(url, args=args),
        entry,
        content_type="application/json",
        HTTP_ACCEPT="application/json",
    )


@pytest.fixture
def now():
    return timezone.now()


@pytest.fixture
def planned(cleo, now) -> PlannedSession:
    return first_session(cleo, now)


def test_a_set_is_kept_and_answered_with_a_receipt(cleo, planned, now):
    entry = set_entry(planned, now, rir=2, pain=3, pain_where="elbow, left")

    answer = send(cleo.user, entry)

    assert (answer.status_code, answer.json()) == (200, {"uid": entry["uid"], "revision": 1})
    row = LoggedSet.objects.get()
    assert (row.amount, row.rir, row.pain, row.pain_where) == (entry["amount"], 2, 3, "elbow, left")
    assert row.logged_session.planned_session == planned
    assert row.logged_session.plan[0]["uid"] == str(planned.uid)


def test_the_same_set_sent_twice_is_kept_once(cleo, planned, now):
    entry = set_entry(planned, now)

    answers = [send(cleo.user, entry) for _ in range(2)]

    assert [a.json() for a in answers] == [{"uid": entry["uid"], "revision": 1}] * 2
    assert LoggedSet.objects.count() == 1


def test_the_first_set_begins_the_planned_session(cleo, planned, now):
    record_entry(client=cleo, entry=set_entry(planned, now))

    planned.refresh_from_db()
    assert planned.started_at == now


def test_a_newer_revision_corrects_a_set_and_an_older_one_does_not(cleo, planned, now):
    entry = set_entry(planned, now, amount=7)
    record_entry(client=cleo, entry=entry)

    newer = record_entry(client=cleo, entry={**entry, "revision": 3, "amount": 5})
    late = record_entry(client=cleo, entry={**entry, "revision": 2, "amount": 9})

    assert LoggedSet.objects.get().amount == 5
    assert (newer.revision, late.revision) == (3, 3)


def test_a_set_taken_back_stays_in_the_rows_and_opens_the_session_again(cleo, planned, now):
    entry = set_entry(planned, now)
    record_entry(client=cleo, entry=entry)

    record_entry(client=cleo, entry={**entry, "revision": 2, "removed": True})

    planned.refresh_from_db()
    assert LoggedSet.objects.get().removed_at is not None
    assert planned.started_at is None


def test_a_session_is_finished_with_effort_and_word(cleo, planned, now):
    record_entry(client=cleo, entry=set_entry(planned, now))
    words = {"rpe": 7, "note": "Felt good.", "finished_at": now.isoformat()}

    record_entry(client=cleo, entry=session_entry(planned, now, **words))

    row = LoggedSession.objects.get()
    assert (str(row.rpe), row.note, row.finished_at) == ("7.0", "Felt good.", now)


def test_a_skipped_session_counts_as_skipped_and_not_as_done(cleo, planned, now):
    record_entry(client=cleo, entry=session_entry(planned, now, skipped_reason="ill"))

    [attendance] = attendance_of([cleo], planned.on, planned.on)[cleo.pk]
    assert (attendance.done, attendance.skipped_reason) == (False, "ill")


def test_a_skip_taken_back_leaves_the_session_open(cleo, planned, now):
    record_entry(client=cleo, entry=session_entry(planned, now, skipped_reason="ill"))

    record_entry(client=cleo, entry=session_entry(planned, now, revision=2))

    planned.refresh_from_db()
    [attendance] = attendance_of([cleo], planned.on, planned.on)[cleo.pk]
    assert (planned.started_at, attendance.done) == (None, False)


def test_a_set_of_another_phone_ends_a_skip(cleo, planned, now):
    record_entry(client=cleo, entry=session_entry(planned, now, skipped_reason="no time"))

    record_entry(client=cleo, entry=set_entry(planned, now))

    assert LoggedSession.objects.get().skipped_reason == ""


def test_a_session_with_sets_cannot_be_skipped(cleo, planned, now):
    record_entry(client=cleo, entry=set_entry(planned, now))

    with pytest.raises(EntryError, match="finish it instead"):
        record_entry(client=cleo, entry=session_entry(planned, now, skipped_reason="ill"))

    assert LoggedSession.objects.get().skipped_reason == ""


def test_body_weight_is_kept_for_its_day_and_reaches_the_session_of_that_day(cleo, planned, now):
    on = cleo.local_date(now)
    record_entry(client=cleo, entry=set_entry(planned, now))
    entry = {"kind": "weight", "uid": str(uuid4()), "revision": 1, "on": on.isoformat()}

    for kg in (66.4, 66.2):
        record_entry(client=cleo, entry={**entry, "kg": kg})

    assert float(BodyWeight.objects.get(client=cleo).kg) == 66.2
    assert str(LoggedSession.objects.get().body_weight_kg) == "66.20"


def test_the_day_of_a_session_is_the_clients_own(cleo, planned, now):
    cleo.time_zone = "Pacific/Auckland"
    cleo.save()
    # 23:30 in UTC is already the next day in Auckland, winter or summer.
    at = now.replace(hour=23, minute=30) - timedelta(days=1)

    record_entry(client=cleo, entry=set_entry(planned, at))

    assert LoggedSession.objects.get().on == at.date() + timedelta(days=1)


def test_a_missed_session_done_later_keeps_the_day_it_was_done(cleo, planned, now):
    at = now - timedelta(hours=1)

    record_entry(client=cleo, entry=set_entry(planned, at))

    assert LoggedSession.objects.get().on == cleo.local_date(at)


def test_a_session_that_the_plan_no_longer_holds_is_kept_as_it_was_done(cleo, planned, now):
    entry = set_entry(planned, now)
    planned.delete()

    record_entry(client=cleo, entry=entry)

    row = LoggedSession.objects.get()
    assert (row.planned_session, row.name, row.sets.count()) == (None, entry["session_name"], 1)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"amount": -1}, "Reps or seconds: Ensure this value is greater than or equal to 0."),
        ({"amount": 4000}, "Reps or seconds:"),
        ({"amount": 2.5}, "Reps or seconds: Enter a whole number."),
        ({"pain": 11}, "Pain:"),
        ({"rir": "much"}, "Reps in reserve:"),
        ({"load": 2000}, "Load:"),
        ({"load": float("nan")}, "Load:"),
        ({"number": 0}, "Set:"),
        ({"exercise": 10**40}, "Exercise:"),
        ({"exercise": 2**62}, "Exercise: it is no longer in the library"),
        ({"uid": "no id"}, "Uid:"),
        ({"session": {"a": 1}}, "session: a single value was expected."),
        ({"done_at": 5}, "Time:"),
        ({"note": "\ud800"}, "note: it holds a sign that cannot be kept"),
        ({"pain_where": "x" * 61}, "Where it hurts:"),
        ({"kind": "song"}, "Kind: an entry is a set, a session, a line, a weight or a word."),
    ],
)
def test_an_entry_that_does_not_fit_is_refused_with_its_field(cleo, planned, now, fields, words):
    with pytest.raises(EntryError) as refused:
        record_entry(client=cleo, entry=set_entry(planned, now, **fields))

    assert str(refused.value).startswith(words)
    assert not LoggedSession.objects.exists()


@pytest.mark.parametrize("days", [2, -400])
def test_a_moment_of_a_wrong_clock_is_refused_with_the_remedy(cleo, planned, now, days):
    entry = set_entry(planned, now + timedelta(days=days))

    answer = send(cleo.user, entry)

    assert answer.status_code == 422
    assert "Set the clock right" in answer.json()["error"]
    assert answer.json()["uid"] == entry["uid"]


def test_a_clock_that_is_hours_ahead_is_no_reason_to_refuse(cleo, planned, now):
    record_entry(client=cleo, entry=set_entry(planned, now + timedelta(hours=14)))

    assert LoggedSet.objects.count() == 1


def test_a_session_of_somebody_else_is_refused(cleo, drew, planned, now):
    mine = set_entry(planned, now)
    record_entry(client=cleo, entry=mine)
    theirs = first_session(drew, now)

    for entry in (mine, set_entry(theirs, now, session=mine["session"], planned_session=None)):
        answer = send(drew.user, {**entry, "client": drew.pk, "revision": 9, "amount": 1})
        assert answer.status_code == 422

    assert LoggedSet.objects.get().amount == mine["amount"]


def test_a_plan_of_somebody_else_cannot_be_begun(cleo, drew, planned, now):
    answer = send(drew.user, {**set_entry(planned, now), "client": drew.pk})

    planned.refresh_from_db()
    assert (answer.status_code, planned.started_at) == (422, None)
    assert not LoggedSession.objects.exists()


def test_an_exercise_of_another_coach_is_refused(cleo, ben, planned, now):
    row = planned.pairs.all()[0].prescriptions.all()[0].exercise
    row.pk, row.coach, row.ladder, row.rung = None, ben, None, None
    row.save()

    with pytest.raises(EntryError, match="no longer in the library"):
        record_entry(client=cleo, entry=set_entry(planned, now, exercise=row.pk))


def test_an_open_page_of_somebody_who_signed_out_does_not_write_for_the_next_one(cleo, drew, now):
    entry = {"kind": "weight", "uid": str(uuid4()), "revision": 1, "on": "2026-03-11", "kg": 70}

    answer = send(drew.user, {**entry, "client": cleo.pk})

    assert answer.status_code == 409
    assert not BodyWeight.objects.exists()


def test_a_coach_who_signed_in_beside_an_open_page_of_a_client_is_told_apart(ana, cleo, now):
    entry = {"kind": "weight", "uid": str(uuid4()), "revision": 1, "on": "2026-03-11", "kg": 70}

    answer = send(ana, {**entry, "client": cleo.pk})

    assert (answer.status_code, answer.json()["uid"]) == (409, None)
    assert not BodyWeight.objects.exists()


def test_a_phone_that_is_signed_out_is_told_so_in_its_own_words(client, cleo, planned, now):
    answer = client.post(
        reverse("sessions:sync"),
        set_entry(planned, now),
        content_type="application/json",
        HTTP_ACCEPT="application/json",
    )

    assert (answer.status_code, answer.json()) == (401, {"error": "Sign in again to go on."})


def test_a_page_of_another_site_cannot_write_for_a_client(cleo, planned, now):
    browser = Client(enforce_csrf_checks=True)
    browser.force_login(cleo.user)
    kind, entry = "application/json", set_entry(planned, now)
    token = browser.get(reverse("sessions:today")).cookies["csrftoken"].value

    without = browser.post(reverse("sessions:sync"), entry, content_type=kind)
    kept_without = LoggedSet.objects.count()
    own = browser.post(reverse("sessions:sync"), entry, content_type=kind, HTTP_X_CSRFTOKEN=token)

    assert (without.status_code, kept_without) == (403, 0)
    assert (own.status_code, LoggedSet.objects.count()) == (200, 1)


@pytest.mark.parametrize("body", ["", "{", "[1]", "7", '{"a": ' * 5000, "[" * 100_000])
def test_what_is_no_entry_is_refused_without_harm(cleo, body):
    answer = signed_in(cleo.user).post(
        reverse("sessions:sync"), body, content_type="application/json"
    )

    assert answer.status_code == 400


def test_a_coach_logs_for_an_own_client_only(ana, ben, cleo, planned, now):
    entry = set_entry(planned, now)

    outsider = send(ben, entry, "sessions:sync-for", cleo.pk)
    coach = send(ana, entry, "sessions:sync-for", cleo.pk)

    assert (outsider.status_code, coach.status_code) == (404, 200)
    assert LoggedSession.objects.get().client == cleo


def test_an_entry_that_was_kept_at_the_same_moment_is_found_on_the_second_look(
    cleo, planned, now, monkeypatch
):
    entry = set_entry(planned, now)
    real, calls = services.record_set, []

    def first_time_too_late(*, sender, data):
        calls.append(data["uid"])
        if len(calls) == 1:
            raise IntegrityError("another request was first")
        return real(sender=sender, data=data)

    monkeypatch.setitem(services._RECORDERS, "set", first_time_too_late)

    receipt = record_entry(client=cleo, entry=entry)

    assert (receipt.uid, len(calls)) == (entry["uid"], 2)


@pytest.mark.django_db(transaction=True)
def test_the_same_entry_arriving_eight_times_at_once_is_kept_once():
    load_shared()
    cleo = ClientFactory.create()
    now = timezone.now()
    entry = set_entry(first_session(cleo, now), now)
    gate, receipts = threading.Barrier(8), []

    def hand_in() -> None:
        gate.wait()
        receipts.append(record_entry(client=cleo, entry=entry))
        connection.close()

    threads = [threading.Thread(target=hand_in) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert {(r.uid, r.revision) for r in receipts} == {(entry["uid"], 1)}
    assert (len(receipts), LoggedSession.objects.count(), LoggedSet.objects.count()) == (8, 1, 1)


def test_handing_in_a_set_costs_the_same_whatever_is_logged(
    cleo, planned, now, django_assert_max_num_queries
):
    record_entry(client=cleo, entry=set_entry(planned, now))
    browser = signed_in(cleo.user)
    further = set_entry(planned, now, number=2)

    with django_assert_max_num_queries(14):
        answer = browser.post(reverse("sessions:sync"), further, content_type="application/json")

    assert answer.status_code == 200
