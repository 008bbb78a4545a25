"""What a coach does with one client in the review, and takes back."""

import pytest
from django.urls import reverse

from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshots import lines_of
from coaching.rules.signals import deload_due
from sessions.models import Decision, WeekReview
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.sessions import log_week
from tests.sessions.reviewing import PART, TEMPLATE, at, messages_of, panel_of, sent_targets

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]


@pytest.mark.parametrize("headers", [{}, PART], ids=["plain post", "htmx"])
def test_accepting_changes_the_coming_sessions_and_offers_undo(
    coach, trained, last_week, today, headers
):
    panel = panel_of(coach, trained, last_week)
    before = {ln["uid"]: ln["targets"] for _, ln in lines_of(snapshot_of(trained.blocks.get()))}

    url = reverse("sessions:accept-targets", args=[trained.pk])
    answer = coach.post(url, sent_targets(panel), headers=headers, follow=True)

    after = {
        ln["uid"]: ln["targets"]
        for _, ln in lines_of(snapshot_of(trained.blocks.get()), since=today)
    }
    assert after != {uid: before[uid] for uid in after if uid in before}
    assert answer.status_code == 200
    assert reverse("sessions:undo-decisions") in answer.content.decode()
    assert Decision.objects.count() == len(panel.rows)


def test_a_target_changed_set_by_set_is_planned(coach, trained, last_week, today):
    panel = panel_of(coach, trained, last_week)
    row = next(r for r in panel.rows if not r.rung)
    data = sent_targets(panel, take=[row.key], **{f"targets-{row.key}": "9 8 7"})

    coach.post(reverse("sessions:accept-targets", args=[trained.pk]), data)

    coming = [ln["targets"] for _, ln in lines_of(snapshot_of(trained.blocks.get()), since=today)]
    assert [9, 8, 7] in coming
    assert Decision.objects.get().proposal["changed_by_coach"] is True


def test_accepting_nothing_says_so_and_decides_nothing(coach, trained, last_week):
    url = reverse("sessions:accept-targets", args=[trained.pk])

    answer = coach.post(url, {"week": last_week.isoformat()}, follow=True)

    assert "Nothing was ticked" in messages_of(answer)
    assert Decision.objects.count() == 0


def test_where_a_light_week_comes_first_no_target_is_ticked(coach, cleo, last_week, monkeypatch):
    published_block(cleo, last_week, TEMPLATE)
    log_week(cleo, last_week)
    fall = deload_due(6)
    monkeypatch.setattr("sessions.week_reading.read_signals", lambda *_args, **_kw: (fall,))

    panel = panel_of(coach, cleo, last_week)

    assert panel.wants_light_week
    assert panel.rows
    assert not any(row.chosen for row in panel.rows)
    assert "40 % of the usual reps" in panel.proposal


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ("eight", "is not targets"),
        ("", "is not targets"),
        ("0-0", "from 1 to 600"),
        ("99x5", "Sets: 99"),
    ],
)
@pytest.mark.parametrize("headers", [{}, PART], ids=["plain post", "htmx"])
def test_targets_that_cannot_be_planned_are_refused_beside_their_exercise(
    coach, trained, last_week, wrong, said, headers
):
    panel = panel_of(coach, trained, last_week)
    row = panel.rows[0]
    data = sent_targets(panel, **{f"targets-{row.key}": wrong})

    url = reverse("sessions:accept-targets", args=[trained.pk])
    answer = coach.post(url, data, headers=headers)

    shown = answer.context["panel"].rows[0]
    assert answer.status_code == 422
    assert said in shown.error
    assert Decision.objects.count() == 0


def test_a_rung_that_is_no_longer_proposed_is_not_accepted(coach, trained, last_week):
    panel = panel_of(coach, trained, last_week)
    row = panel.rows[0]
    data = sent_targets(panel, **{f"rung-{row.key}": "Front lever"})

    answer = coach.post(reverse("sessions:accept-targets", args=[trained.pk]), data)

    assert "look again" in answer.context["panel"].rows[0].error
    assert trained.blocks.get().versions.count() == 1


@pytest.mark.parametrize("headers", [{}, PART], ids=["plain post", "htmx"])
def test_holding_is_a_decision_that_changes_nothing(coach, trained, last_week, headers):
    url = reverse("sessions:hold-week", args=[trained.pk])
    coach.post(url, {"week": last_week.isoformat()}, headers=headers)

    assert set(Decision.objects.values_list("kind", flat=True)) == {"hold"}
    assert trained.blocks.get().versions.count() == 1
    assert panel_of(coach, trained, last_week).rows == ()


@pytest.mark.parametrize("headers", [{}, PART], ids=["plain post", "htmx"])
def test_undo_takes_the_act_back(coach, trained, last_week, headers):
    panel = panel_of(coach, trained, last_week)
    before = snapshot_of(trained.blocks.get())
    coach.post(reverse("sessions:accept-targets", args=[trained.pk]), sent_targets(panel))
    line = panel_of(coach, trained, last_week).decisions[0]

    data = {"decision": line.decision_id, "week": last_week.isoformat()}
    answer = coach.post(reverse("sessions:undo-decisions"), data, headers=headers, follow=True)

    assert snapshot_of(trained.blocks.get()) == before
    assert "Undone" in answer.content.decode()
    assert panel_of(coach, trained, last_week).decisions[0].undone


@pytest.mark.parametrize("headers", [{}, PART], ids=["plain post", "htmx"])
def test_a_closed_week_goes_on_to_the_next_client(coach, ana, trained, last_week, headers):
    other = ClientFactory.create(coach=ana, name="Zoe Marsh")
    published_block(other, last_week, TEMPLATE)
    data = {"week": last_week.isoformat(), "note_to_client": "Well done.", "private_note": ""}

    url = reverse("sessions:close-week", args=[trained.pk])
    answer = coach.post(url, data, headers=headers)

    review = WeekReview.objects.get(client=trained)
    where = answer.headers.get("HX-Push-Url") or answer.headers["Location"]
    assert (review.note_to_client, review.by) == ("Well done.", ana)
    assert review.reviewed_at is not None
    assert where == at("review-client", last_week, other.pk)


def test_the_last_client_closed_leaves_everyone_reviewed(coach, trained, last_week):
    url = reverse("sessions:close-week", args=[trained.pk])

    answer = coach.post(url, {"week": last_week.isoformat()}, follow=True)

    assert "All reviewed" in answer.content.decode()
    assert [i.name for i in answer.context["list"].reviewed] == [trained.name]


def test_a_note_that_is_too_long_is_refused_and_kept(coach, trained, last_week):
    data = {"week": last_week.isoformat(), "note_to_client": "x" * 2001}

    url = reverse("sessions:close-week", args=[trained.pk])
    answer = coach.post(url, data, headers=PART)

    assert answer.status_code == 422
    assert "x" * 2001 in answer.content.decode()
    assert not WeekReview.objects.exists()


@pytest.mark.parametrize("headers", [{}, PART], ids=["plain post", "htmx"])
def test_a_reviewed_week_can_be_put_back_on_the_list(coach, trained, last_week, headers):
    data = {"week": last_week.isoformat()}
    coach.post(reverse("sessions:close-week", args=[trained.pk]), data)

    coach.post(reverse("sessions:reopen-week", args=[trained.pk]), data, headers=headers)

    page = coach.get(at("review", last_week)).context["list"]
    assert [i.name for i in page.routine] == [trained.name]
    assert page.reviewed == ()
