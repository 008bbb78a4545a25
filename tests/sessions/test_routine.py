"""All routine clients at once: previewed, accepted, taken back."""

import re

import pytest
from django.urls import reverse

from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import change_targets
from coaching.blocks.target_changes import TargetChange
from sessions.models import Decision, LoggedSet, WeekReview
from sessions.pages_review import changes_of_roster, read_roster, review_week
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.sessions import log_week
from tests.sessions.reviewing import PART, TEMPLATE, at, messages_of

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]


@pytest.fixture
def three(ana, last_week):
    clients = [ClientFactory.create(coach=ana, name=name) for name in ("Abe", "Bea", "Cem")]
    for client in clients:
        published_block(client, last_week, TEMPLATE)
        log_week(client, last_week)
    return clients


def shown_changes(coach, last_week):
    return coach.get(at("next-targets", last_week)).context["changes"]


def accept_shown(coach, last_week, changes, **headers):
    data = {
        "week": last_week.isoformat(),
        "client": [f"{c.client_id}:{c.seal}" for c in changes],
    }
    return coach.post(reverse("sessions:accept-routine"), data, follow=True, **headers)


def test_the_preview_says_what_changes_for_whom_and_changes_nothing(coach, three, last_week):
    changes = shown_changes(coach, last_week)

    assert [c.name for c in changes] == ["Abe", "Bea", "Cem"]
    assert all(c.changing for c in changes)
    assert all(line.before != line.after or line.rung for c in changes for line in c.changing)
    assert Decision.objects.count() == 0


def test_those_ticked_are_accepted_and_reviewed_and_the_others_left(coach, three, last_week):
    changes = shown_changes(coach, last_week)

    accept_shown(coach, last_week, changes[:2])

    reviewed = set(WeekReview.objects.values_list("client__name", flat=True))
    changed = [c.blocks.get().versions.count() for c in three]
    assert reviewed == {"Abe", "Bea"}
    assert changed == [2, 2, 1]


def test_what_changed_since_the_preview_is_left_and_named(coach, three, last_week):
    changes = shown_changes(coach, last_week)
    LoggedSet.objects.filter(logged_session__client=three[0]).update(amount=1)

    answer = accept_shown(coach, last_week, changes)

    assert "1 changed since you looked" in messages_of(answer)
    assert three[0].blocks.get().versions.count() == 1
    assert three[1].blocks.get().versions.count() == 2


@pytest.mark.parametrize("headers", [{}, {"headers": PART}], ids=["plain post", "htmx"])
def test_one_undo_takes_all_back_and_reopens(coach, three, last_week, headers):
    before = [snapshot_of(c.blocks.get()) for c in three]
    answer = accept_shown(coach, last_week, shown_changes(coach, last_week), **headers)
    ids = re.findall(r'name="decision" value="(\d+)"', answer.content.decode())

    closed = re.findall(r'name="closed" value="(\d+)"', answer.content.decode())

    data = {"decision": ids, "week": last_week.isoformat(), "closed": closed}
    coach.post(reverse("sessions:undo-decisions"), data, **headers)

    assert [snapshot_of(c.blocks.get()) for c in three] == before
    assert not WeekReview.objects.filter(reviewed_at__isnull=False).exists()


def test_an_undo_that_one_plan_refuses_takes_the_others_back(coach, ana, three, last_week, today):
    before = [snapshot_of(c.blocks.get()) for c in three]
    accept_shown(coach, last_week, shown_changes(coach, last_week))
    changed_since = Decision.objects.filter(review__client=three[0], version__isnull=False)[0]
    assert changed_since.exercise_id is not None
    change_targets(
        block=three[0].blocks.get(),
        changes=[
            TargetChange(changed_since.exercise_id, changed_since.proposal["part"], (3, 3, 3), 0)
        ],
        today=today,
        by=ana,
        what="Less",
        why="Asked for",
    )
    ids = [one.pk for one in Decision.objects.all()]

    closed = [c.pk for c in three]
    data = {"decision": ids, "week": last_week.isoformat(), "closed": closed}
    answer = coach.post(reverse("sessions:undo-decisions"), data, follow=True)

    assert three[0].name in messages_of(answer)
    after = [snapshot_of(c.blocks.get()) for c in three]
    assert after[1:] == before[1:]
    reopened = WeekReview.objects.filter(reviewed_at=None)
    assert set(reopened.values_list("client__name", flat=True)) == {"Bea", "Cem"}


def test_a_week_of_an_archived_client_can_still_be_closed(coach, trained, last_week, now):
    trained.archived_at = now
    trained.save()
    url = reverse("sessions:close-week", args=[trained.pk])

    coach.post(url, {"week": last_week.isoformat(), "note_to_client": "Good bye"})

    assert WeekReview.objects.get(client=trained).note_to_client == "Good bye"


def test_a_client_who_needs_the_coach_is_not_in_the_preview(ana, three, last_week, today):
    LoggedSet.objects.filter(logged_session__client=three[0]).update(pain=8)

    roster = read_roster(ana, review_week(last_week.isoformat(), today))

    assert [c.name for c in changes_of_roster(roster)] == ["Bea", "Cem"]


def test_who_answered_is_not_ticked_until_it_is_read(coach, three, last_week, monkeypatch):
    abe = three[0]
    monkeypatch.setattr("sessions.pages_review.unread_answers", lambda _clients: {abe.pk: 1})

    answer = coach.get(at("next-targets", last_week))

    assert [(c.name, c.answers) for c in answer.context["changes"]] == [
        ("Abe", 1),
        ("Bea", 0),
        ("Cem", 0),
    ]
    ticks = re.findall(r'name="client"\s+value="(\d+):\w+"\s*(checked)?', answer.content.decode())
    assert {pk: bool(checked) for pk, checked in ticks} == {
        str(one.pk): one is not abe for one in three
    }
    assert "Answered you: read it first" in answer.content.decode()
