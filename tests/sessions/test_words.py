"""Words between coach and client: kept once, answered, seen, and the private ones kept apart."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from coaching.library.models import Exercise
from sessions.errors import EntryError
from sessions.models import Correction, Decision, PrivateNote, WeekReview, Word
from sessions.pages_words import words_page
from sessions.queries import week_start
from sessions.review_services import accept_routine, mark_reviewed, reopen_review
from sessions.services import record_entry
from sessions.word_queries import unread_answers
from sessions.word_services import (
    client_has_seen,
    coach_has_read,
    keep_private_note,
    write_to_client,
)
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_week


@pytest.fixture
def last_week(cleo):
    return week_start(cleo.local_date(timezone.now())) - timedelta(days=7)


@pytest.fixture
def note(ana, cleo, last_week) -> WeekReview:
    """What Ana wrote when she closed last week."""
    return mark_reviewed(
        client=cleo, week_starts_on=last_week, by=ana, note_to_client="How do you sleep?"
    )


def said(week=None, **fields):
    """A word as a phone sends it."""
    return {
        "kind": "word",
        "uid": str(uuid4()),
        "revision": 1,
        "edit": str(uuid4()),
        "week": week.isoformat() if week else None,
        "text": "Six hours, mostly.",
        "removed": False,
        "done_at": timezone.now().isoformat(),
        **fields,
    }


def keep(client, entry):
    return record_entry(client=client, entry=entry, by=client.user)


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


# Pages


def today_of(client):
    return signed_in(client.user).get(reverse("sessions:today"))


def test_today_shows_the_note_and_hands_its_answer_to_the_phone(cleo, note):
    entry = said(note.week_starts_on)
    before = today_of(cleo).context["page"].words
    keep(cleo, entry)

    page = today_of(cleo).context["page"]

    assert (before.note, before.is_new, before.answer) == ("How do you sleep?", True, None)
    assert page.data["word"]["text"] == "Six hours, mostly."
    assert (page.data["word"]["uid"], page.words.is_new) == (entry["uid"], False)


def test_today_shows_a_word_of_the_coach_until_it_was_seen(ana, cleo):
    write_to_client(client=cleo, text="Bring your belt.", by=ana)
    assert "Bring your belt." in today_of(cleo).content.decode()

    client_has_seen(client=cleo, until=timezone.now(), week=None)

    assert "Bring your belt." not in today_of(cleo).content.decode()


def test_the_coach_who_opens_today_sees_the_note_and_marks_nothing(ana, cleo, note):
    page = signed_in(ana).get(reverse("sessions:today-for", args=[cleo.pk])).content.decode()

    assert "How do you sleep?" in page
    assert "data-new" not in page
    assert "Send the answer" not in page


def test_the_panel_shows_what_was_answered_until_it_is_read(ana, cleo, note):
    published_block(cleo, note.week_starts_on)
    log_week(cleo, note.week_starts_on)
    keep(cleo, said(note.week_starts_on, text="Fingers went numb."))
    url = reverse("sessions:review-client", args=[cleo.pk])
    asked = f"{url}?week={note.week_starts_on}"
    coach = signed_in(ana)

    waiting = coach.get(asked).context["panel"].words.waiting

    assert [line.texts for line in waiting] == [("Fingers went numb.",)]
    assert "numbness" in waiting[0].caution
    coach.post(
        reverse("sessions:words-read", args=[cleo.pk]), {"until": timezone.now().isoformat()}
    )
    assert coach.get(asked).context["panel"].words.waiting == ()


def test_no_page_of_a_client_holds_a_private_note(ana, cleo, note):
    block = published_block(cleo, note.week_starts_on)
    log_week(cleo, note.week_starts_on)
    mark_reviewed(
        client=cleo, week_starts_on=note.week_starts_on, by=ana, private_note="Ask about XYZZY."
    )
    PrivateNote.objects.create(client=cleo, by=ana, text="XYZZY again.")
    done = block.weeks.all()[0].planned_sessions.all()[0]
    client = signed_in(cleo.user)
    pages = [
        reverse(f"sessions:{name}")
        for name in ("today", "unplanned", "today-exercises", "my-log", "words", "today-offline")
    ]
    pages += [
        f"{reverse('sessions:today')}?session={done.uid}",
        f"{reverse('sessions:words')}?before=2999-01-01",
    ]

    answers = {url: client.get(url) for url in pages}

    assert {url: answer.status_code for url, answer in answers.items()} == dict.fromkeys(pages, 200)
    assert [url for url, answer in answers.items() if "XYZZY" in answer.content.decode()] == []
    own = signed_in(ana).get(reverse("sessions:words-with", args=[cleo.pk])).content.decode()
    assert own.count("XYZZY") == 2


# The thread


def thread(user, client):
    name, args = ("words-with", [client.pk]) if user.is_coach else ("words", [])
    return signed_in(user).get(reverse(f"sessions:{name}", args=args)).context["page"]


def lines_of(page):
    return [(line.voice.value, line.texts) for day in page.days for line in day.lines]


def test_the_thread_tells_in_order_what_was_said_logged_and_decided(ana, cleo, note, last_week):
    block = published_block(cleo, last_week)
    logged = log_week(cleo, last_week, note="Grip went first.")[0]
    decided = Decision.objects.create(
        review=note,
        kind="step up",
        exercise=Exercise.objects.get(key="push-up"),
        by=ana,
        version=block.versions.get(),
        proposal={
            "exercise": "Push-up",
            "before": [7],
            "before_load": 0,
            "targets": [8],
            "load": 0,
        },
    )
    keep_private_note(client=cleo, text="Ask about sleep.", by=ana)
    write_to_client(client=cleo, text="Bring your belt.", by=ana)
    keep(cleo, said(note.week_starts_on))

    told = lines_of(thread(ana, cleo))

    said_now = [line for line in told if line != ("client", ("Grip went first.",))]
    assert said_now == [
        ("client", ("Six hours, mostly.",)),
        ("coach", ("Bring your belt.",)),
        ("private", ("Ask about sleep.",)),
        ("decided", ("Push-up: step up, 7 → 8",)),
        ("coach", ("How do you sleep?",)),
    ]
    assert ("client", ("Grip went first.",)) in told
    own = [line for line in told if line[0] != "private"]
    assert lines_of(thread(cleo.user, cleo)) == own
    decided.version = None
    decided.save()
    assert [line for line in lines_of(thread(cleo.user, cleo)) if line[0] == "decided"] == []
    assert logged.note == "Grip went first."


def test_an_older_stretch_is_a_page_further(ana, cleo, note):
    old = write_to_client(
        client=cleo, text="Long ago.", by=ana, at=timezone.now() - timedelta(weeks=10)
    )
    newest = thread(ana, cleo)
    url = reverse("sessions:words-with", args=[cleo.pk])

    earlier = signed_in(ana).get(f"{url}?before={newest.earlier}").context["page"]

    assert "Long ago." not in str(lines_of(newest))
    assert lines_of(earlier) == [("coach", (old.text,))]
    assert (newest.is_newest, earlier.is_newest, earlier.earlier) == (True, False, None)


@pytest.mark.parametrize("span", [{"weeks": -10}, {"days": 3}])
def test_what_is_marked_as_read_was_shown_whatever_the_phones_clock_said(ana, cleo, note, span):
    keep(cleo, said(text="My knee gives way."))
    Word.objects.update(said_at=timezone.now() + timedelta(**span))
    newest = thread(ana, cleo)
    assert ("client", ("My knee gives way.",)) in lines_of(newest)
    assert newest.has_new
    days = [day.on for day in newest.days]
    assert days == sorted(days, reverse=True)

    signed_in(ana).post(
        reverse("sessions:words-read", args=[cleo.pk]), {"until": newest.until.isoformat()}
    )

    assert unread_answers([cleo]) == {}
    assert not thread(ana, cleo).has_new


def test_a_client_is_shown_an_old_word_of_the_coach_before_it_counts_as_seen(ana, cleo):
    write_to_client(client=cleo, text="Long ago.", by=ana, at=timezone.now() - timedelta(weeks=10))

    page = thread(cleo.user, cleo)

    assert (lines_of(page), page.has_new) == ([("coach", ("Long ago.",))], True)


def test_a_wording_that_came_after_the_page_is_not_marked_as_read_from_it(ana, cleo, note):
    entry = said(note.week_starts_on)
    keep(cleo, entry)
    shown = thread(ana, cleo).until
    keep(cleo, {**entry, "revision": 2, "edit": str(uuid4()), "text": "It just hurts now."})

    signed_in(ana).post(
        reverse("sessions:words-read", args=[cleo.pk]), {"until": shown.isoformat()}
    )

    assert unread_answers([cleo]) == {cleo.pk: 1}


def decided_line(user, client):
    page = thread(user, client)
    return next(ln for day in page.days for ln in day.lines if ln.voice.value == "decided")


@pytest.mark.parametrize(
    ("is_coach", "automatic", "told"),
    [
        (True, False, ("Ana", "decided", "Push-up: step up, 7 → 8, as you changed it")),
        (False, False, ("Ana", "changed in the plan", "Push-up: step up, 7 → 8")),
        (False, True, ("The plan", "stepped up by itself", "Push-up: step up, 7 → 8")),
    ],
)
def test_a_decision_is_told_to_who_reads_it_and_signed_by_who_made_it(
    ana, cleo, note, last_week, is_coach, automatic, told
):
    said_of_it = {"before": [7], "before_load": 0, "targets": [8], "load": 0}
    Decision.objects.create(
        review=note,
        kind="step up",
        exercise=Exercise.objects.get(key="push-up"),
        by=None if automatic else ana,
        automatic=automatic,
        version=published_block(cleo, last_week).versions.get(),
        proposal={"exercise": "Push-up", "changed_by_coach": not automatic, **said_of_it},
    )

    line = decided_line(ana if is_coach else cleo.user, cleo)

    assert (line.who.split()[0] if not automatic else line.who, line.what, line.texts[0]) == told


def test_the_thread_costs_the_same_however_much_was_said(
    ana, cleo, note, django_assert_max_num_queries
):
    for _ in range(10):
        keep(cleo, said(note.week_starts_on))
        write_to_client(client=cleo, text="Yes.", by=ana)
        keep_private_note(client=cleo, text="Hm.", by=ana)
    urls = {"today_url": "", "log_url": "", "sync_url": ""}

    with django_assert_max_num_queries(11):
        page = words_page(cleo, ana, timezone.now(), urls, None)

    assert len(lines_of(page)) == 31


def test_a_coach_writes_takes_back_and_puts_back(ana, cleo):
    coach = signed_in(ana)
    page = reverse("sessions:words-with", args=[cleo.pk])

    sent = coach.post(reverse("sessions:send-word", args=[cleo.pk]), {"word-text": " Rest well. "})
    word = Word.objects.get()
    assert (sent.headers["Location"], word.text, word.by, word.from_client) == (
        page,
        "Rest well.",
        ana,
        False,
    )
    assert "Rest well." in today_of(cleo).content.decode()

    back = reverse("sessions:take-back-word", args=[word.uid])
    coach.post(back)
    assert "Rest well." not in today_of(cleo).content.decode()
    assert thread(ana, cleo).days[0].lines[0].state == "taken back"
    assert thread(cleo.user, cleo).days == ()
    coach.post(back, {"put_back": "1"})
    assert "Rest well." in today_of(cleo).content.decode()


def test_a_private_note_is_kept_and_can_be_taken_back(ana, cleo):
    coach = signed_in(ana)

    coach.post(reverse("sessions:add-private-note", args=[cleo.pk]), {"private-text": "New job."})
    note = PrivateNote.objects.get()
    assert lines_of(thread(ana, cleo)) == [("private", ("New job.",))]
    coach.post(reverse("sessions:take-back-private-note", args=[note.pk]))

    note.refresh_from_db()
    assert (note.text, note.by, note.removed_at is not None) == ("New job.", ana, True)


@pytest.mark.parametrize(
    ("name", "field"), [("send-word", "word-text"), ("add-private-note", "private-text")]
)
def test_what_is_empty_or_too_long_is_refused_and_stays_in_its_field(ana, cleo, name, field):
    url = reverse(f"sessions:{name}", args=[cleo.pk])

    empty = signed_in(ana).post(url, {field: "  "})
    long = signed_in(ana).post(url, {field: "x" * 2001})

    assert (empty.status_code, long.status_code) == (422, 422)
    assert "This field is required." in empty.content.decode()
    assert "x" * 2001 in long.content.decode()
    assert not Word.objects.exists()
    assert not PrivateNote.objects.exists()


def test_a_coach_takes_back_no_word_of_a_client(ana, cleo, note):
    keep(cleo, said(note.week_starts_on))

    answer = signed_in(ana).post(reverse("sessions:take-back-word", args=[Word.objects.get().uid]))

    assert (answer.status_code, Word.objects.get().removed_at) == (404, None)


def test_a_day_that_is_none_meets_no_page(ana, cleo):
    url = reverse("sessions:words-with", args=[cleo.pk])

    assert signed_in(ana).get(f"{url}?before=soon").status_code == 404
