"""Writes of the review: decisions that change the plan, with their evidence kept."""

from collections.abc import Sequence
from dataclasses import asdict
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils import timezone

from clients.models import Client, User
from coaching.blocks.errors import BlockError
from coaching.blocks.models import Block, BlockVersion, Week
from coaching.blocks.services import (
    TargetChange,
    change_targets,
    insert_light_week,
    undo_version,
)
from coaching.rules.deload import DeloadProposal
from coaching.rules.findings import Evidence, Finding
from sessions.errors import ReviewError
from sessions.models import Decision, WeekReview
from sessions.week_reading import Proposal, WeekReading


def review_of(client: Client, week_starts_on: date) -> WeekReview:
    """The review of a client's week, begun when there is none yet."""
    row, _ = WeekReview.objects.get_or_create(client=client, week_starts_on=week_starts_on)
    return row


@transaction.atomic
def mark_reviewed(
    *,
    client: Client,
    week_starts_on: date,
    by: User,
    note_to_client: str | None = None,
    private_note: str | None = None,
    at: datetime | None = None,
) -> WeekReview:
    """The coach has seen this week; a note left out stays as it was."""
    row = review_of(client, week_starts_on)
    row.by = by
    row.reviewed_at = at or timezone.now()
    if note_to_client is not None:
        row.note_to_client = note_to_client.strip()
    if private_note is not None:
        row.private_note = private_note.strip()
    row.save()
    return row


@transaction.atomic
def reopen_review(*, review: WeekReview) -> WeekReview:
    """Put a week back among those to review; notes and decisions stay."""
    review.reviewed_at = None
    review.save(update_fields=["reviewed_at"])
    return review


@transaction.atomic
def accept_proposals(
    *, reading: WeekReading, proposals: Sequence[Proposal], today: date, by: User
) -> list[Decision]:
    """Put next targets into the coming sessions: one version, one decision an exercise.

    Proposals that change nothing are kept as decisions too, without a version.
    Raises ReviewError when the client has no published block.
    """
    block = _block(reading)
    changing = [p for p in proposals if p.changes_plan]
    version = None
    if changing:
        version = change_targets(
            block=block,
            changes=[_change(p) for p in changing],
            today=today,
            by=by,
            what="Next targets: " + ", ".join(p.exercise.name for p in changing)[:170],
            why=f"Review of the week from {reading.week_starts_on:%-d %b}",
        )
    review = review_of(reading.client, reading.week_starts_on)
    return Decision.objects.bulk_create(
        Decision(
            review=review,
            kind=p.target.step.value,
            exercise_id=p.exercise_id,
            by=by,
            evidence=evidence_data(p.target.evidence),
            proposal=proposal_data(p),
            version=version if p in changing else None,
        )
        for p in proposals
    )


def _block(reading: WeekReading) -> Block:
    """The block that the proposals are about, locked so that two decisions cannot cross."""
    block = Block.objects.select_for_update().filter(pk=reading.plans_block).first()
    if block is None:
        message = f"{reading.client.name} has no session to come; publish a block first."
        raise ReviewError(message)
    return block


def _change(proposal: Proposal) -> TargetChange:
    return TargetChange(
        exercise_id=proposal.exercise_id,
        part=proposal.part.value,
        targets=proposal.target.targets,
        load_kg=proposal.target.load,
        swap_to=proposal.swap_to,
    )


def evidence_data(evidence: Sequence[Evidence]) -> list[dict[str, str]]:
    """Evidence as it is kept with a decision."""
    return [asdict(item) for item in evidence]


def proposal_data(proposal: Proposal) -> dict[str, Any]:
    """A proposal as it is kept with a decision."""
    target = proposal.target
    return {
        "exercise": proposal.exercise.name,
        "part": proposal.part.value,
        "step": target.step.value,
        "before": list(proposal.planned[0].targets),
        "before_load": proposal.planned[0].load,
        "targets": list(target.targets),
        "load": target.load,
        "sentence": target.sentence,
        "rule": target.rule,
        "source": target.source_key,
        "changed_by_coach": proposal.edited,
    }


@transaction.atomic
def apply_light_week(
    *,
    client: Client,
    usual: Week,
    proposal: DeloadProposal,
    findings: Sequence[Finding],
    week_starts_on: date,
    today: date,
    by: User,
    replaces: bool,
) -> Decision:
    """Put a light week into the client's block and keep why it was decided."""
    reason = findings[0].sentence if findings else "Chosen by the coach"
    try:
        version = insert_light_week(
            block=usual.block,
            usual=usual,
            light=proposal.week,
            today=today,
            by=by,
            why=reason[:500],
            replaces=replaces,
        )
    except BlockError as error:
        raise ReviewError(str(error)) from error
    return Decision.objects.create(
        review=review_of(client, week_starts_on),
        kind="deload",
        by=by,
        evidence=[item for f in findings for item in evidence_data(f.evidence)],
        proposal={
            "starts_on": proposal.week.starts_on.isoformat(),
            "share": proposal.share,
            "sentence": reason,
            "rule": proposal.rule,
            "source": proposal.source_key,
            "changes": [asdict(change) for change in proposal.changes],
        },
        version=version,
    )


@transaction.atomic
def undo_decision(*, decision: Decision, today: date, by: User) -> None:
    """Take back a decision and the others that changed the plan together with it."""
    if decision.undone_at is not None:
        message = "This decision is already taken back."
        raise ReviewError(message)
    now = timezone.now()
    if decision.version is None:
        decision.undone_at = now
        decision.save(update_fields=["undone_at"])
        return
    _undo(decision.version, today=today, by=by)
    Decision.objects.filter(version=decision.version, undone_at=None).update(undone_at=now)


def _undo(version: BlockVersion, *, today: date, by: User) -> None:
    try:
        undo_version(version=version, today=today, by=by)
    except BlockError as error:
        raise ReviewError(str(error)) from error
