"""Routine steps up by themselves: only where allowed, only when nothing needs the coach, once."""

from datetime import UTC, datetime, timedelta

import pytest
from django.urls import reverse

from clients.intake_services import update_client
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshots import lines_of
from coaching.rules.progression import Step
from sessions import automatic_steps
from sessions.automatic_steps import step_up_by_itself
from sessions.models import Decision, LoggedSet
from sessions.pages_review import ReviewWeek, changes_of_roster, read_roster, review_list
from sessions.review_services import accept_proposals, mark_reviewed, undo_decision
from sessions.week_reading import read_weeks
from tests.conftest import signed_in
from tests.factories.blocks import published_block
from tests.factories.phone import session_entry, set_entry
from tests.factories.sessions import log_session, log_week

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def now(monkeypatch, today):
    """A Wednesday noon, with nothing looked at yet."""
    at = datetime.combine(today, datetime.min.time(), tzinfo=UTC) + timedelta(hours=12)
    monkeypatch.setattr("django.utils.timezone.now", lambda: at)
    monkeypatch.setattr(automatic_steps, "_CAUGHT_UP", {})
    return at


@pytest.fixture
def block(cleo, last_week):
    update_client(client=cleo, steps_up_by_itself=True)
    found = published_block(cleo, last_week, "beginner-full-body")
    log_week(cleo, last_week)
    return found


def coming(block, today):
    return {ln["uid"]: ln["targets"] for _, ln in lines_of(snapshot_of(block), since=today)}


def test_without_the_coachs_leave_nothing_steps_up(cleo, block, now):
    update_client(client=cleo, steps_up_by_itself=False)

    assert step_up_by_itself(client=cleo, now=now) == []
    assert Decision.objects.count() == 0


def test_the_switch_is_off_until_the_coach_sets_it(cleo):
    assert cleo.steps_up_by_itself is False


def test_a_week_as_planned_steps_up_with_its_evidence(cleo, block, now, today):
    before = coming(block, today)

    made = step_up_by_itself(client=cleo, now=now)

    assert made
    assert all(one.automatic and one.by is None and one.evidence for one in made)
    assert {one.kind for one in made} == {Step.STEP_UP.value}
    assert not any(one.proposal["to"] for one in made)
    assert coming(block, today) != before
    assert len({one.version_id for one in made}) == 1


def test_the_same_training_steps_up_once(cleo, block, now, today):
    step_up_by_itself(client=cleo, now=now)
    after = coming(block, today)

    assert step_up_by_itself(client=cleo, now=now) == []
    assert coming(block, today) == after


def test_what_was_taken_back_is_not_taken_again(cleo, ana, block, now, today):
    before = coming(block, today)
    made = step_up_by_itself(client=cleo, now=now)

    undo_decision(decision=made[0], today=today, by=ana)

    assert step_up_by_itself(client=cleo, now=now) == []
    assert coming(block, today) == before


def test_pain_stops_every_step_by_itself(cleo, block, now):
    LoggedSet.objects.filter(pk=LoggedSet.objects.earliest("done_at").pk).update(pain=6)

    assert step_up_by_itself(client=cleo, now=now) == []


def test_a_week_that_the_coach_closed_is_left_alone(cleo, ana, block, now, last_week):
    mark_reviewed(client=cleo, week_starts_on=last_week, by=ana)

    assert step_up_by_itself(client=cleo, now=now) == []


def test_what_the_coach_decided_stands(cleo, ana, block, now, last_week):
    signed_in(ana).post(
        reverse("sessions:hold-week", args=[cleo.pk]), {"week": last_week.isoformat()}
    )

    assert step_up_by_itself(client=cleo, now=now) == []


def finish(cleo, planned, now):
    """The phone says that the session is done."""
    entry = session_entry(planned, now, finished_at=now.isoformat())
    return signed_in(cleo.user).post(
        reverse("sessions:sync"), entry, content_type="application/json"
    )


def test_finishing_a_session_steps_up_for_the_next(cleo, block, now, last_week):
    planned = block.weeks.get(number=2).planned_sessions.order_by("on")[0]
    log_session(cleo, planned)

    answer = finish(cleo, planned, now)

    assert answer.status_code == 200
    assert Decision.objects.filter(automatic=True).exists()


def test_a_step_that_fails_never_refuses_what_the_phone_sent(cleo, block, now, monkeypatch, caplog):
    def fails(**_how):
        raise RuntimeError

    monkeypatch.setattr(automatic_steps, "accept_proposals", fails)
    planned = block.weeks.get(number=2).planned_sessions.order_by("on")[0]
    log_session(cleo, planned)

    answer = finish(cleo, planned, now)

    assert answer.status_code == 200
    assert answer.json()["revision"] >= 1
    assert "were not taken" in caplog.text
    assert Decision.objects.count() == 0


def test_the_first_entry_of_a_day_takes_what_last_week_left(cleo, block, now, last_week):
    planned = block.weeks.get(number=2).planned_sessions.order_by("on")[1]
    url = reverse("sessions:sync")
    phone = signed_in(cleo.user)

    phone.post(url, set_entry(planned, now), content_type="application/json")

    made = Decision.objects.filter(automatic=True)
    assert {one.review.week_starts_on for one in made} == {last_week}


def test_the_review_shows_what_stepped_up_by_itself(cleo, ana, block, now, last_week, today):
    made = step_up_by_itself(client=cleo, now=now)

    roster = read_roster(ana, ReviewWeek(last_week, today))
    changes = changes_of_roster(roster)[0]
    panel = signed_in(ana).get(
        reverse("sessions:review-client", args=[cleo.pk]), {"week": last_week.isoformat()}
    )

    assert len(changes.by_itself) == len(made)
    assert not {one.proposal["exercise"] for one in made} & {line.name for line in changes.lines}
    assert review_list(roster).routine[0].by_itself == len(made)
    assert "stepped up by itself" in panel.content.decode()


def test_trained_again_the_exercise_is_open_again(cleo, ana, block, now, last_week, today):
    step_up_by_itself(client=cleo, now=now, weeks=(1,))
    planned = block.weeks.get(number=2).planned_sessions.order_by("on")[0]
    log_session(cleo, planned, drop=1)

    panel = (
        signed_in(ana)
        .get(reverse("sessions:review-client", args=[cleo.pk]), {"week": last_week.isoformat()})
        .context["panel"]
    )

    trained = {p.exercise.name for pair in planned.pairs.all() for p in pair.prescriptions.all()}
    assert trained & {row.name for row in panel.rows}


def test_pain_of_this_week_stops_the_steps_of_the_last_one_too(cleo, block, now):
    planned = block.weeks.get(number=2).planned_sessions.order_by("on")[0]
    logged = log_session(cleo, planned)
    logged.sets.update(pain=8)

    assert step_up_by_itself(client=cleo, now=now, weeks=(1,)) == []


def test_what_the_coach_accepted_and_took_back_is_not_taken(
    cleo, ana, block, now, last_week, today
):
    (reading,) = read_weeks([cleo], last_week, today)
    made = accept_proposals(reading=reading, proposals=reading.steps, today=today, by=ana)
    undo_decision(decision=made[0], today=today, by=ana)

    assert step_up_by_itself(client=cleo, now=now, weeks=(1,)) == []


def test_a_held_exercise_is_not_stepped_up_in_the_week_after(cleo, ana, block, now, last_week):
    signed_in(ana).post(
        reverse("sessions:hold-week", args=[cleo.pk]), {"week": last_week.isoformat()}
    )
    log_session(cleo, block.weeks.get(number=2).planned_sessions.order_by("on")[0])

    assert step_up_by_itself(client=cleo, now=now) == []
