"""The review page: who needs the coach, why, what is proposed, and every act on it."""

import re
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from clients.account_services import choose_watchfulness
from coaching.blocks.models import PlannedSession
from coaching.blocks.services import TargetChange, change_targets
from coaching.blocks.snapshots import lines_of, snapshot_of
from coaching.rules.signals import deload_due
from sessions.models import Decision, LoggedSet, WeekReview
from sessions.pages_review import changes_of_roster, read_roster, review_list, review_week
from sessions.queries import week_start
from sessions.review_forms import read_targets
from sessions.roster_reading import forget_readings
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.sessions import log_session, log_week

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("now")]

PART = {"HX-Request": "true"}
TEMPLATE = "beginner-full-body"


def at(name, week, *args):
    return f"{reverse(f'sessions:{name}', args=args)}?week={week.isoformat()}"


def sent_targets(panel, **changed):
    """The form as the page shows it, with some fields changed."""
    data = {"week": panel.week.starts_on.isoformat(), "take": [row.key for row in panel.rows]}
    for row in panel.rows:
        data[f"targets-{row.key}"], data[f"rung-{row.key}"] = row.targets, row.rung
        data[f"planned-{row.key}"] = row.before
        if row.has_load:
            data[f"load-{row.key}"] = row.load
    return data | changed


def panel_of(coach, client, week):
    return coach.get(at("review-client", week, client.pk)).context["panel"]


def messages_of(answer):
    return " ".join(str(m) for m in answer.context["messages"])


# The list


def test_by_default_the_week_of_yesterday_is_reviewed(today):
    monday = week_start(today)

    assert review_week("", monday).starts_on == monday - timedelta(days=7)
    assert review_week("", monday + timedelta(days=1)).starts_on == monday


def test_any_day_stands_for_its_week_and_none_to_come_is_offered(today):
    week = review_week((today - timedelta(days=9)).isoformat(), today)

    assert week.starts_on == week_start(today) - timedelta(days=7)
    assert week.following == week_start(today)
    assert review_week("", today).following is None


@pytest.mark.parametrize("week", ["soon", "2026-13-01", "2099-01-05", "9999-12-31"])
def test_a_week_that_cannot_be_reviewed_does_not_exist(coach, week):
    assert coach.get(reverse("sessions:review"), {"week": week}).status_code == 404


def test_who_needs_the_coach_comes_first_with_the_numbers(coach, ana, trained, last_week):
    missing = ClientFactory.create(coach=ana, name="Bo Lind")
    published_block(missing, last_week, TEMPLATE)

    page = coach.get(at("review", last_week)).context["list"]

    assert [i.name for i in page.first] == ["Bo Lind"]
    assert page.first[0].signal == "3 of 3 sessions missed"
    assert [(i.name, i.done) for i in page.routine] == [(trained.name, "3 of 3 done")]
    assert re.match(r"\d+ step up", page.routine[0].words.proposal)


def test_pain_is_said_in_the_list_and_in_the_panel_with_its_number(coach, trained, last_week):
    LoggedSet.objects.filter(number=1).update(pain=7, pain_where="left wrist")

    text = coach.get(at("review", last_week)).content.decode()

    assert "Pain 7 of 10" in text
    assert "(left wrist)" in text
    assert "licensed practitioner" in text


def test_a_finding_shows_rule_source_and_what_it_could_not_know(coach, cleo, last_week):
    published_block(cleo, last_week, TEMPLATE)

    text = coach.get(at("review-client", last_week, cleo.pk)).content.decode()

    assert "2 or more planned sessions missed in 7 days" in text
    assert "no published source" in text
    assert "Could not know: Why, unless the client wrote it." in text


def test_missed_sessions_stand_with_their_reasons(coach, cleo, last_week):
    block = published_block(cleo, last_week, TEMPLATE)
    first = block.weeks.get(number=1).planned_sessions.order_by("on")[0]
    log_session(cleo, first, skipped_reason="travelling")

    panel = panel_of(coach, cleo, last_week)

    assert next((a.name, a.skipped_reason) for a in panel.done.not_done) == (
        first.name,
        "travelling",
    )
    assert len(panel.done.not_done) == 3


def test_a_past_week_is_read_only(coach, cleo, last_week):
    earlier = last_week - timedelta(days=21)
    published_block(cleo, earlier, TEMPLATE)
    log_week(cleo, earlier)

    panel = panel_of(coach, cleo, earlier)

    assert panel.rows == ()
    assert len(panel.done.sessions) == 3


def test_a_roster_without_clients_says_what_to_do(coach):
    answer = coach.get(reverse("sessions:review"))

    assert "Nothing to review" in answer.content.decode()
    assert reverse("blocks:roster") in answer.content.decode()


@pytest.mark.parametrize("clients", [1, 10])
def test_the_list_costs_the_same_queries_for_any_roster(
    ana, clients, last_week, today, django_assert_num_queries
):
    for _ in range(clients):
        client = ClientFactory.create(coach=ana)
        published_block(client, last_week, TEMPLATE)
        log_session(client, client.blocks.get().weeks.all()[0].planned_sessions.all()[0])

    with django_assert_num_queries(32):
        listed = review_list(read_roster(ana, review_week(last_week.isoformat(), today)))

    assert listed.total == clients


def test_the_page_costs_the_same_queries_for_any_roster(coach, ana, trained, last_week):
    def count():
        forget_readings()
        with CaptureQueriesContext(connection) as found:
            coach.get(at("review", last_week))
        return len(found)

    count()  # the week that the coach is at is written down once
    one = count()
    for _ in range(6):
        client = ClientFactory.create(coach=ana)
        published_block(client, last_week, TEMPLATE)
        log_week(client, last_week)

    assert count() == one


# The panel


def test_the_panel_is_a_part_to_htmx_and_a_page_otherwise(coach, trained, last_week):
    url = at("review-client", last_week, trained.pk)

    part, page = coach.get(url, headers=PART), coach.get(url)

    assert part.content.decode().lstrip().startswith("<article")
    assert "<html" in page.content.decode()
    assert "HX-Request" in page.headers["Vary"]


def test_sets_below_their_target_are_marked(coach, cleo, last_week):
    published_block(cleo, last_week, TEMPLATE)
    log_week(cleo, last_week, drop=1)

    panel = panel_of(coach, cleo, last_week)
    session, pair = panel.done.focus

    assert session.short_sets == sum(len(line.sets) for p in session.pairs for line in p.lines)
    assert pair.left.side == "push"
    assert pair.right.side == "pull"
    assert pair.left.done_total == pair.left.asked_total - len(pair.left.sets)


def test_volume_and_balance_are_as_done_beside_as_planned(coach, trained, last_week):
    LoggedSet.objects.filter(exercise__pattern="pull").delete()

    volume = panel_of(coach, trained, last_week).volume
    sides = {s.label: s.value_text for row in volume.rows for s in (row.left, row.right) if s}

    assert re.match(r"\d+(\.5)? of \d+", sides["lats"])
    assert re.match(r"push \d+ sets · pull 0 sets \(planned (\d+) and \d+\)", volume.balance)


def test_the_small_line_of_an_exercise_is_in_per_cent_of_usual(coach, cleo, last_week):
    published_block(cleo, last_week - timedelta(days=14), TEMPLATE)
    for weeks in (2, 1, 0):
        log_week(cleo, last_week - timedelta(weeks=weeks))

    panel = panel_of(coach, cleo, last_week)
    labels = [row.spark.label for row in panel.rows]

    assert labels
    assert all(97 <= int(label.split()[-4]) <= 103 for label in labels)


def test_words_of_the_client_and_pain_are_shown(coach, cleo, last_week):
    block = published_block(cleo, last_week, TEMPLATE)
    session = block.weeks.get(number=1).planned_sessions.order_by("on")[0]
    logged = log_session(cleo, session, note="Slept badly <b>")
    logged.sets.filter(number=1).update(pain=3, pain_where="elbow")

    text = coach.get(at("review-client", last_week, cleo.pk)).content.decode()

    assert "Slept badly &lt;b&gt;" in text
    assert "3 of 10" in text
    assert "elbow" in text


def test_asking_puts_the_question_into_the_note(coach, cleo, last_week):
    published_block(cleo, last_week, TEMPLATE)

    answer = coach.get(at("review-client", last_week, cleo.pk) + "&ask=1")

    assert "What got in the way of training" in answer.context["form"]["note_to_client"].value()
    assert WeekReview.objects.count() == 0


# Acts on one client


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
        ("eight", "are no targets"),
        ("", "Sets: 0"),
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


# All routine clients at once


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


# Who may


@pytest.mark.parametrize("name", ["accept-targets", "hold-week", "close-week", "reopen-week"])
def test_a_coach_cannot_act_on_another_coachs_client(ben, trained, last_week, name):
    url = reverse(f"sessions:{name}", args=[trained.pk])

    answer = signed_in(ben).post(url, {"week": last_week.isoformat()})

    assert answer.status_code == 404
    assert not WeekReview.objects.exists()


def test_a_coach_cannot_undo_another_coachs_decision(coach, ben, trained, last_week):
    panel = panel_of(coach, trained, last_week)
    coach.post(reverse("sessions:accept-targets", args=[trained.pk]), sent_targets(panel))

    data = {"decision": Decision.objects.all()[0].pk, "week": last_week.isoformat()}
    answer = signed_in(ben).post(reverse("sessions:undo-decisions"), data)

    assert answer.status_code == 404
    assert not Decision.objects.filter(undone_at__isnull=False).exists()


def test_a_client_meets_no_review(cleo, trained, last_week):
    coach = signed_in(cleo.user)

    assert coach.get(reverse("sessions:review")).status_code == 404
    assert coach.get(at("review-client", last_week, cleo.pk)).status_code == 404


@pytest.mark.parametrize(
    ("text", "targets"), [("8-7-7", (8, 7, 7)), ("3x8", (8, 8, 8)), (" 8, 7 ,6 ", (8, 7, 6))]
)
def test_targets_are_read_as_coaches_write_them(text, targets):
    assert read_targets(text) == targets


def test_an_overreaching_client_leads_to_how_watchful_the_review_is(ana, cleo, coach, today):
    choose_watchfulness(coach=ana, false_alarms_a_year=2)
    monday = week_start(today)
    for weeks_ago in (8, 3):
        published_block(cleo, monday - timedelta(weeks=weeks_ago), TEMPLATE)
    for planned in PlannedSession.objects.filter(week__block__client=cleo, on__lt=today):
        fell = planned.on >= monday - timedelta(days=10)
        log_session(cleo, planned, drop=2 if fell else 0, rpe=9 if fell else 7)

    text = coach.get(at("review-client", monday, cleo.pk)).text

    assert '<a href="/settings/">How watchful?</a> About two false alarms' in text


def test_a_client_who_trained_to_plan_asks_nothing_about_watchfulness(coach, trained, last_week):
    text = coach.get(at("review-client", last_week, trained.pk)).text

    assert "Numbers, rule and source" in text or "The week went to plan" in text
    assert "/settings/" not in text.partition('class="review-findings"')[2]
