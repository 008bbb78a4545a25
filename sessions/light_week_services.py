"""Writes of a light week: into the plan, with why it was decided."""

from collections.abc import Sequence
from dataclasses import asdict
from datetime import date
from typing import Any

from django.db import transaction

from clients.models import Client, User
from coaching.blocks.errors import BlockError
from coaching.blocks.models import Block, Week
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import insert_light_week
from coaching.blocks.target_changes import StepBacks
from coaching.rules.deload import DeloadProposal
from coaching.rules.findings import Finding
from sessions.errors import ReviewError
from sessions.models import Decision
from sessions.next_targets import Proposal
from sessions.queries_deload import light_days, live_light_week
from sessions.review_services import change_of, decisions_like, evidence_data, review_of


@transaction.atomic
def apply_light_week(  # noqa: PLR0913 - each is a separate choice of the coach
    *,
    client: Client,
    usual: Week,
    proposal: DeloadProposal,
    findings: Sequence[Finding],
    week_starts_on: date,
    today: date,
    by: User,
    replaces: bool,
    days: int = 7,
    steps_back: Sequence[Proposal] = (),
    carried_from: date | None = None,
) -> Decision:
    """Put a light week into the client's block and keep why it was decided.

    What steps back does so in the light week, and from a day on after it where that is given: one
    version, and decisions of one act.
    Raises ReviewError when one is in the plan already, or when the block cannot take it.
    """
    Block.objects.select_for_update().get(pk=usual.block_id)
    _refuse_a_second(client, today)
    before = snapshot_of(usual.block)
    reason = findings[0].sentence if findings else "Chosen by the coach"
    try:
        version = insert_light_week(
            block=usual.block,
            usual=usual,
            light=proposal.week,
            today=today,
            by=by,
            why=reason[:500],
            days=days,
            replaces=replaces,
            backs=StepBacks(tuple(change_of(p) for p in steps_back), carried_from),
        )
    except BlockError as error:
        raise ReviewError(str(error)) from error
    made = Decision.objects.create(
        review=review_of(client, week_starts_on),
        kind="deload",
        by=by,
        evidence=[item for f in findings for item in evidence_data(f.evidence)],
        proposal=light_week_proposal_data(proposal, reason) | {"days": days, "replaces": replaces},
        version=version,
    )
    if carried_from is not None:
        Decision.objects.bulk_create(decisions_like(made, steps_back, before))
    return made


def _refuse_a_second(client: Client, today: date) -> None:
    there = live_light_week(client, today)
    if there is not None:
        message = (
            f"A light week from {light_days(there)[0]:%-d %b} is already in the plan; "
            "undo it before you put in another."
        )
        raise ReviewError(message)


def light_week_proposal_data(proposal: DeloadProposal, reason: str) -> dict[str, Any]:
    """A light week as it is kept with a decision."""
    return {
        "starts_on": proposal.week.starts_on.isoformat(),
        "wanted": proposal.wanted,
        "share": proposal.share,
        "sentence": reason,
        "rule": proposal.rule,
        "source": proposal.source_key,
        "changes": [asdict(change) for change in proposal.changes],
        "unmet": list(proposal.unmet),
    }
