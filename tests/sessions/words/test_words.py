"""The pages of words between coach and client, and the private ones kept apart."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from coaching.library.models import Exercise
from sessions.models import Decision, PrivateNote, Word
from sessions.pages_words import words_page
from sessions.review_services import mark_reviewed
from sessions.word_queries import unread_answers
from sessions.word_services import (
    client_has_seen,
    keep_private_note,
    write_to_client,
)
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.sessions import log_week
from tests.sessions.words.wording import keep, said

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
