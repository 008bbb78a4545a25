"""The coach's past Mondays: weeks seen, words said, targets decided."""

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta

from clients.intake_services import update_client
from clients.models import Client, User
from demo_fixtures.said import answer
from demo_fixtures.training import MovedTarget
from demo_fixtures.words import ANSWERS, NOTES, PRIVATE
from sessions.automatic_steps import step_up_by_itself
from sessions.models import Decision
from sessions.next_targets import Proposal
from sessions.queries import week_start
from sessions.review_services import (
    accept_proposals,
    evidence_data,
    mark_reviewed,
    proposal_data,
    review_of,
)
from sessions.week_reading import read_weeks

REVIEWED_WEEKS = 8
DECIDES_FOR = ("Amara Diallo", "Maren Tolsvik", "Casper Nyholm", "Bram de Wael")
"""The clients for whom every decision of the last weeks was kept."""

BY_THEMSELVES = ("Leila Karimov", "Yuki Tanabe")
"""For whom routine steps up go into the plan without the coach."""

ACCEPTED = ("Casper Nyholm", "Bram de Wael")
"""Whose newest targets are in the plan already, as a version that can be undone."""


def review_past_weeks(
    coach: User,
    clients: Sequence[Client],
    moved: Mapping[str, Sequence[MovedTarget]],
    rows: Mapping[str, int],
    today: date,
) -> None:
    """The coach has reviewed the weeks before the one that the review opens today."""
    monday = week_start(today - timedelta(days=1))
    for client in clients:
        if client.name in BY_THEMSELVES:
            update_client(client=client, steps_up_by_itself=True)
            step_up_by_itself(client=client, now=datetime.combine(today, time(12), UTC))
    for back in range(REVIEWED_WEEKS, 0, -1):
        week = monday - timedelta(weeks=back)
        at = datetime.combine(week + timedelta(days=7), time(7), UTC)
        for client in clients:
            mark_reviewed(
                client=client,
                week_starts_on=week,
                by=coach,
                note_to_client=NOTES.get((client.name, back), ""),
                private_note=PRIVATE.get((client.name, back), ""),
                at=at,
            )
            answer(client, week, ANSWERS.get((client.name, back), ""), at, is_read=back > 1)
    chosen = [one for one in clients if one.name in DECIDES_FOR]
    since = monday - timedelta(weeks=REVIEWED_WEEKS)
    for client in chosen:
        kept = [one for one in moved[client.name] if since <= one.week_starts_on < monday]
        _keep(coach, client, kept, rows)
    accepted = [one for one in chosen if one.name in ACCEPTED]
    newest = week_start(today) - timedelta(weeks=1)
    for reading in read_weeks(accepted, newest, today):
        if reading.steps and reading.first is None:
            accept_proposals(reading=reading, proposals=reading.steps, today=today, by=coach)


def _keep(
    coach: User, client: Client, moved: Sequence[MovedTarget], rows: Mapping[str, int]
) -> None:
    """Past decisions, without versions: what they changed has long been trained."""
    Decision.objects.bulk_create(
        Decision(
            review=review_of(client, one.week_starts_on),
            kind=one.target.step.value,
            exercise_id=rows[one.asked.exercise.key],
            by=coach,
            at=datetime.combine(one.week_starts_on + timedelta(days=7), time(7), UTC),
            evidence=evidence_data(one.target.evidence),
            proposal=proposal_data(_proposal(one, rows)),
        )
        for one in moved
        if one.changes
    )


def _proposal(one: MovedTarget, rows: Mapping[str, int]) -> Proposal:
    return Proposal(
        exercise_id=rows[one.asked.exercise.key],
        exercise=one.asked.exercise,
        part=one.asked.part,
        planned=(one.asked,),
        last=one.last,
        target=one.target,
        swap_to=None,
    )
