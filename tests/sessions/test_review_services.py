"""Decisions change coming sessions only, once, with their evidence, and can be taken back."""

from datetime import UTC, datetime

import pytest

from coaching.blocks.models import PlannedSession, Prescription
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshots import lines_of
from coaching.rules.sources import SOURCES
from sessions.errors import ReviewError
from sessions.models import Decision, WeekReview
from sessions.next_targets import with_targets
from sessions.review_services import (
    accept_proposals,
    accept_routine,
    keep_targets,
    mark_reviewed,
    reopen_review,
    undo_decision,
)
from sessions.week_reading import read_weeks
from tests.factories.blocks import published_block
from tests.factories.clients import ClientFactory
from tests.factories.sessions import log_week

pytestmark = pytest.mark.django_db


@pytest.fixture
def block(cleo, last_week):
    found = published_block(cleo, last_week, "beginner-full-body")
    log_week(cleo, last_week)
    return found


@pytest.fixture
def reading(cleo, block, last_week, today):
    return read_weeks([cleo], last_week, today)[0]


def accept(reading, today, ana):
    return accept_proposals(reading=reading, proposals=reading.steps, today=today, by=ana)


def targets_by_day(block):
    return {
        (s["on"], ln["uid"]): (ln["targets"], ln["load_kg"])
        for s, ln in lines_of(snapshot_of(block))
    }


def test_accepting_changes_coming_sessions_only(reading, block, today, ana):
    before = targets_by_day(block)

    accept(reading, today, ana)

    after = targets_by_day(block)
    past = {key for key in before if key[0] < today.isoformat()}
    assert past
    assert {key: after[key] for key in past} == {key: before[key] for key in past}
    assert after != before


def test_the_coming_sessions_ask_what_was_proposed(reading, block, today, ana):
    proposal = next(p for p in reading.steps if p.swap_to is None)

    accept(reading, today, ana)

    rows = Prescription.objects.filter(
        exercise=proposal.exercise_id,
        pair__part=proposal.part,
        pair__planned_session__on__gte=today,
        pair__planned_session__week__kind="build",
    )
    assert {tuple(row.targets) for row in rows} == {proposal.target.targets}
    assert {float(row.load_kg) for row in rows} == {proposal.target.load}


def test_accepting_makes_one_version_and_a_decision_for_each_exercise(reading, block, today, ana):
    made = accept(reading, today, ana)

    assert block.versions.count() == 2
    assert {d.version.number for d in made} == {2}
    assert sorted(d.exercise_id for d in made) == sorted(p.exercise_id for p in reading.steps)


def test_a_decision_keeps_the_evidence_and_the_rule_as_they_stood(reading, today, ana):
    made = accept(reading, today, ana)[0]

    assert next(e["label"] for e in made.evidence) == "Asked"
    assert made.proposal["rule"]
    assert made.proposal["source"] in SOURCES
    assert (made.by, made.review.client) == (ana, reading.client)


def test_what_is_accepted_is_no_proposal_any_more(reading, cleo, last_week, today, ana):
    accept(reading, today, ana)

    again = read_weeks([cleo], last_week, today)[0]
    kept = {p.exercise_id for p in reading.steps if p.swap_to is None}

    assert {p.exercise_id for p in again.steps} & kept == set()


def test_undo_restores_the_plan_and_marks_every_decision_of_the_act(reading, block, today, ana):
    before = targets_by_day(block)
    made = accept_proposals(reading=reading, proposals=reading.proposals, today=today, by=ana)

    undo_decision(decision=made[0], today=today, by=ana)

    assert targets_by_day(block) == before
    assert Decision.objects.filter(undone_at=None).count() == 0
    assert block.versions.count() == 3


def test_a_decision_is_taken_back_once(reading, today, ana):
    made = accept(reading, today, ana)[0]
    undo_decision(decision=made, today=today, by=ana)
    made.refresh_from_db()

    with pytest.raises(ReviewError, match="already taken back"):
        undo_decision(decision=made, today=today, by=ana)


def test_targets_as_the_coach_changed_them_are_planned_and_marked(reading, block, today, ana):
    proposal = with_targets(next(p for p in reading.proposals if not p.to), (4, 3, 2), 0.0)

    made = accept_proposals(reading=reading, proposals=[proposal], today=today, by=ana)[0]

    assert made.proposal["changed_by_coach"] is True
    assert [4, 3, 2] in [ln["targets"] for _, ln in lines_of(snapshot_of(block), since=today)]


def test_holding_keeps_the_plan_and_says_so(reading, block, ana):
    before = snapshot_of(block)

    made = keep_targets(reading=reading, proposals=reading.proposals, by=ana)

    assert snapshot_of(block) == before
    assert block.versions.count() == 1
    assert {d.kind for d in made} == {"hold"}
    assert len(made) == len(reading.proposals) > 0


def test_nothing_can_be_accepted_when_no_session_is_to_come(reading, cleo, today, ana):
    PlannedSession.objects.filter(on__gte=today).delete()
    late = read_weeks([cleo], reading.week_starts_on, today)[0]

    with pytest.raises(ReviewError, match="publish a block first"):
        accept_proposals(reading=late, proposals=reading.steps, today=today, by=ana)


def test_routine_clients_are_accepted_and_closed_together(ana, last_week, today):
    roster = [ClientFactory.create(coach=ana) for _ in range(3)]
    for client in roster:
        published_block(client, last_week, "beginner-full-body")
        log_week(client, last_week)
    readings = read_weeks(roster, last_week, today)
    now = datetime.combine(today, datetime.min.time(), tzinfo=UTC)

    made = accept_routine(accepted=[(r, r.proposals) for r in readings], now=now, by=ana)

    assert len(made) == sum(len(r.proposals) for r in readings)
    assert WeekReview.objects.filter(reviewed_at__isnull=False).count() == 3


def test_a_review_keeps_a_note_that_is_left_out(cleo, last_week, ana):
    mark_reviewed(client=cleo, week_starts_on=last_week, by=ana, note_to_client=" Well done. ")

    again = mark_reviewed(client=cleo, week_starts_on=last_week, by=ana, private_note="knee?")

    assert (again.note_to_client, again.private_note) == ("Well done.", "knee?")


def test_a_reopened_review_keeps_notes_and_decisions(reading, cleo, last_week, today, ana):
    accept(reading, today, ana)
    review = mark_reviewed(client=cleo, week_starts_on=last_week, by=ana, note_to_client="Hi")

    reopen_review(review=review)

    review.refresh_from_db()
    assert (review.reviewed_at, review.note_to_client) == (None, "Hi")
    assert review.decisions.count() == len(reading.steps)
