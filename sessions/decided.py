"""What stands decided about a client's exercises in the review of a week."""

from collections.abc import Iterable, Mapping
from datetime import date

from clients.models import Client
from sessions.models import Decision
from sessions.next_targets import Proposal

Kept = Mapping[int, str]
"""By exercise the day of the training that was decided on; empty when for the whole week."""


def kept_of(decisions: Iterable[Decision]) -> Kept:
    """What stands; a step that the tool took by itself holds until the exercise is trained again."""
    kept: dict[int, str] = {}
    for one in decisions:
        if one.undone_at is not None or one.exercise_id is None:
            continue
        until = one.proposal.get("last_on", "") if one.automatic else ""
        before = kept.get(one.exercise_id, until)
        kept[one.exercise_id] = max(before, until) if before and until else ""
    return kept


def is_open(proposal: Proposal, kept: Kept) -> bool:
    """Whether nothing stands decided about what was trained last."""
    until = kept.get(proposal.exercise_id)
    if until is None:
        return True
    return bool(until) and proposal.last is not None and proposal.last.on.isoformat() > until


def decisions_of(client: Client, week_starts_on: date) -> list[Decision]:
    """What was decided about a client's week, taken back or not; 1 query."""
    rows = Decision.objects.filter(review__client=client, review__week_starts_on=week_starts_on)
    return list(rows)
