"""The list of the review: in named parts, each client with what calls the coach and why."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from coaching.rules.care import CAUTION
from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.review_order import NEEDS_COACH, ORDER
from sessions import week_reading
from sessions.list_words import list_words, why_words
from sessions.models import LoggedSession
from sessions.pages_review import read_roster, review_list, review_week
from sessions.week_reading import read_weeks
from sessions.word_models import Word
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.sessions import log_week

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]

TEMPLATE = "beginner-full-body"


def found(kind, **changes):
    usual = {
        "sentence": "Said with numbers.",
        "evidence": (Evidence("Number", "7"), Evidence("Number", "8")),
        "rule": "A rule.",
        "source_key": "house",
    }
    return Finding(kind=kind, **(usual | changes))


def page_of(ana, week):
    return signed_in(ana).get(f"{reverse('sessions:review')}?week={week.isoformat()}")


def test_each_part_of_the_order_has_its_heading_and_its_clients(ana, trained, last_week, today):
    LoggedSession.objects.filter(client=trained).update(note="left hand went numb")
    missing = ClientFactory.create(coach=ana, name="Bo Lind")
    published_block(missing, last_week, TEMPLATE)

    listed = review_list(read_roster(ana, review_week(last_week.isoformat(), today)))

    assert [(g.part.name, [i.name for i in g.items]) for g in listed.groups] == [
        ("May hurt", [trained.name]),
        ("Missed sessions", ["Bo Lind"]),
    ]


def test_the_order_is_told_part_by_part(ana, trained, last_week):
    LoggedSession.objects.filter(client=trained).update(note="left hand went numb")

    text = page_of(ana, last_week).content.decode()

    assert "How this list is ordered" in text
    places = [text.index(f"<strong>{part.name}.</strong>") for part in ORDER]
    assert places == sorted(places)


def test_a_line_says_where_done_signal_why_proposal_and_what_else(
    ana, trained, last_week, monkeypatch
):
    findings = (
        found(FindingKind.OVERREACHING, sentence="All fell by 8 %.", probability=0.93),
        found(FindingKind.PACING),
        found(FindingKind.PACING),
    )
    monkeypatch.setattr(week_reading, "read_signals", lambda *_, **__: findings)

    [item] = page_of(ana, last_week).context["list"].first

    assert (item.where, item.done) == ("block 1, week 1", "3 of 3 done")
    assert (item.words.signal, item.words.likely) == ("Overreaching", "95 % likely")
    assert item.words.why == "All fell by 8 %."
    assert item.words.proposal.startswith("Light week from Mon ")
    assert item.words.also == ("pacing × 2",)


@pytest.mark.parametrize("kind", NEEDS_COACH)
def test_every_kind_has_a_signal_a_why_and_a_proposal(trained, last_week, today, monkeypatch, kind):
    finding = found(kind, sentence="Effort rose: 7, 8. loads it", since=last_week)
    monkeypatch.setattr(week_reading, "read_signals", lambda *_, **__: (finding,))

    words = list_words(read_weeks([trained], last_week, today)[0], today)

    assert words.signal
    assert words.why
    assert words.proposal


def test_why_leaves_the_caution_to_the_panel_and_quotes_a_note():
    pain = found(FindingKind.PAIN, sentence=f"Pain 7 of 10 on Row, Monday 3 Nov. {CAUTION}")
    note = found(
        FindingKind.RED_FLAG,
        sentence="A note on Row of Monday 3 Nov speaks of numbness or tingling. Stop.",
        evidence=(Evidence("Note", "“hand numb”"),),
        since=date(2025, 11, 3),
    )

    assert why_words(pain) == "Pain 7 of 10 on Row, Monday 3 Nov."
    assert why_words(note) == "“hand numb”, a note on Row of Monday 3 Nov."


def test_warning_words_in_a_note_come_with_their_caution(ana, trained, last_week):
    LoggedSession.objects.filter(client=trained).update(note="Chest pain on the last set")

    text = page_of(ana, last_week).content.decode()

    assert "Warning words" in text
    assert "“Chest pain on the last set”" in text
    assert "local emergency number" in text


def answer(client, text, at):
    return Word.objects.create(client=client, from_client=True, text=text, said_at=at)


def test_warning_words_in_an_answer_come_first_of_all(ana, trained, last_week, today, now):
    answer(trained, "My chest felt really tight on Sunday", now - timedelta(days=1))

    [item] = page_of(ana, last_week).context["list"].first

    assert item.part is ORDER[0]
    assert item.words.signal == "Warning words"
    assert "“My chest felt really tight on Sunday”, a message of" in item.words.why


def test_who_answered_comes_first_among_those_to_plan(ana, trained, last_week, now):
    other = ClientFactory.create(coach=ana, name="Abe Lund")
    published_block(other, last_week, TEMPLATE)
    log_week(other, last_week)
    answer(trained, "Fine, thank you", now - timedelta(hours=1))

    answered = page_of(ana, last_week)

    assert [i.name for i in answered.context["list"].routine] == [trained.name, "Abe Lund"]
    assert "answered you" in answered.content.decode()
