"""Words of a client: kept once, answered, seen and read."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from sessions.errors import EntryError
from sessions.models import Correction, WeekReview, Word
from sessions.review_services import accept_routine, mark_reviewed, reopen_review
from sessions.services import record_entry
from sessions.word_queries import unread_answers
from sessions.word_services import (
    client_has_seen,
    coach_has_read,
    write_to_client,
)
from tests.conftest import signed_in
from tests.sessions.words.wording import keep, said

# The entry


def test_an_answer_is_kept_once_however_often_it_arrives(cleo, note):
    entry = said(note.week_starts_on)

    receipts = [keep(cleo, entry) for _ in range(3)]

    word = Word.objects.get()
    assert {(one.uid, one.revision, one.now) for one in receipts} == {(entry["uid"], 1, None)}
    assert (word.text, word.answers, word.from_client) == ("Six hours, mostly.", note, True)
    assert word.by == cleo.user


def test_a_better_wording_takes_the_place_and_the_former_one_is_kept(cleo, note):
    entry = said(note.week_starts_on)
    keep(cleo, entry)
    coach_has_read(client=cleo, until=timezone.now())

    keep(cleo, {**entry, "revision": 2, "edit": str(uuid4()), "text": "Five hours."})

    word, before = Word.objects.get(), Correction.objects.get()
    assert (word.text, word.revision, word.read_at) == ("Five hours.", 2, None)
    assert (before.kind, before.values["text"]) == ("word", "Six hours, mostly.")


def test_what_another_phone_said_earlier_does_not_stand_but_is_kept(cleo, note):
    entry = said(note.week_starts_on)
    keep(cleo, {**entry, "revision": 3})

    receipt = keep(cleo, {**entry, "revision": 2, "edit": str(uuid4()), "text": "Earlier."})

    assert (receipt.revision, receipt.now["text"]) == (3, "Six hours, mostly.")
    assert Word.objects.get().text == "Six hours, mostly."
    assert (Correction.objects.get().values["text"], Correction.objects.get().was_late) == (
        "Earlier.",
        True,
    )


def test_an_answer_is_taken_back_by_sending_it_empty(cleo, note):
    entry = said(note.week_starts_on)
    keep(cleo, entry)

    keep(cleo, {**entry, "revision": 2, "edit": str(uuid4()), "text": "", "removed": True})

    assert Word.objects.get().removed_at is not None
    assert unread_answers([cleo]) == {}


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"text": " "}, "Your word: write something, or take it back."),
        ({"text": "x" * 2001}, "Your word: Ensure this value has at most 2000 characters"),
        ({"week": "soon"}, "Week: Enter a valid date."),
        ({"done_at": "2001-01-01T00:00:00Z"}, "Time: the phone's clock said"),
    ],
)
def test_what_cannot_be_kept_is_refused_with_the_remedy(cleo, note, change, told):
    with pytest.raises(EntryError, match=told):
        keep(cleo, said(note.week_starts_on) | change)

    assert not Word.objects.exists()


def test_a_coach_does_not_answer_in_the_clients_name(ana, cleo, note):
    with pytest.raises(EntryError, match="only the client answers here"):
        record_entry(client=cleo, entry=said(note.week_starts_on), by=ana)


def test_nobody_changes_the_word_of_somebody_else(ana, cleo, drew, note):
    entry = said(note.week_starts_on)
    keep(cleo, entry)
    mine = write_to_client(client=drew, text="Hello", by=ana)

    for stolen in (entry["uid"], str(mine.uid)):
        with pytest.raises(EntryError, match="belongs to somebody else"):
            keep(drew, said(uid=stolen, revision=2))

    assert sorted(Word.objects.values_list("text", flat=True)) == ["Hello", "Six hours, mostly."]


def test_a_word_of_three_weeks_ago_is_no_longer_changed(cleo, note):
    entry = said(note.week_starts_on)
    keep(cleo, entry)
    Word.objects.update(said_at=timezone.now() - timedelta(days=15))

    with pytest.raises(EntryError, match="more than 14 days old"):
        keep(cleo, {**entry, "revision": 2, "edit": str(uuid4())})


def test_the_phone_gets_a_receipt_for_a_word(cleo, note):
    entry = said(note.week_starts_on, client=cleo.pk)

    answer = signed_in(cleo.user).post(
        reverse("sessions:sync"), entry, content_type="application/json"
    )

    assert (answer.status_code, answer.json()) == (200, {"uid": entry["uid"], "revision": 1})


# Seen and read


def test_a_note_is_seen_when_it_was_on_the_screen_and_another_wording_is_new(ana, cleo, note):
    seen = {"until": timezone.now().isoformat(), "week": note.week_starts_on.isoformat()}

    answer = signed_in(cleo.user).post(reverse("sessions:words-seen"), seen)

    note.refresh_from_db()
    assert (answer.status_code, note.note_read_at is not None) == (204, True)
    again = mark_reviewed(
        client=cleo, week_starts_on=note.week_starts_on, by=ana, note_to_client="And your knee?"
    )
    assert (again.note_read_at, again.note_sent_at) == (None, again.reviewed_at)


def test_closing_the_week_again_with_the_same_note_sends_nothing_anew(ana, cleo, note):
    client_has_seen(client=cleo, until=timezone.now(), week=note.week_starts_on)
    reopen_review(review=WeekReview.objects.get())

    again = mark_reviewed(
        client=cleo,
        week_starts_on=note.week_starts_on,
        by=ana,
        note_to_client="How do you sleep?",
    )

    assert again.note_read_at is not None
    assert again.note_sent_at == note.note_sent_at


def test_what_was_written_after_the_page_was_made_is_not_seen_by_it(ana, cleo, note):
    until = timezone.now()
    later = write_to_client(client=cleo, text="One more thing.", by=ana)

    signed_in(cleo.user).post(
        reverse("sessions:words-seen"), {"until": until.isoformat(), "week": ""}
    )

    later.refresh_from_db()
    assert later.read_at is None


def test_who_answers_a_note_has_seen_it(cleo, note):
    keep(cleo, said(note.week_starts_on))

    note.refresh_from_db()
    assert note.note_read_at is not None


@pytest.mark.parametrize("until", ["", "yesterday", "9999-12-31T23:59:59+00:00x"])
def test_a_moment_that_is_none_is_refused(cleo, until):
    answer = signed_in(cleo.user).post(reverse("sessions:words-seen"), {"until": until})

    assert answer.status_code == 400


def test_unread_words_are_counted_by_client_and_not_after_they_were_read(ana, cleo, drew, note):
    keep(cleo, said(note.week_starts_on))
    keep(cleo, said())
    write_to_client(client=drew, text="Hello", by=ana)

    assert unread_answers([cleo, drew]) == {cleo.pk: 2}

    coach_has_read(client=cleo, until=timezone.now())
    assert unread_answers([cleo, drew]) == {}


def test_closing_the_week_reads_what_the_page_showed_and_nothing_later(ana, cleo, note):
    keep(cleo, said(note.week_starts_on))
    shown = timezone.now()
    keep(cleo, said(text="It just hurts now."))
    url = reverse("sessions:close-week", args=[cleo.pk])

    signed_in(ana).post(
        url, {"week": note.week_starts_on.isoformat(), "read_until": shown.isoformat()}
    )

    assert [word.text for word in Word.objects.filter(read_at=None)] == ["It just hurts now."]


def test_accepting_all_routine_reads_nothing_for_the_coach(ana, cleo, note):
    keep(cleo, said(note.week_starts_on))

    accept_routine(accepted=[], now=timezone.now(), by=ana)

    assert unread_answers([cleo]) == {cleo.pk: 1}
