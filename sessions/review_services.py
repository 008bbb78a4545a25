"""Writes of the review: decisions that change the plan, with their evidence kept."""

from collections.abc import Sequence
from dataclasses import asdict, replace
from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils import timezone

from clients.models import Client, User
from coaching.blocks.errors import BlockError
from coaching.blocks.limit_services import put_in_place
from coaching.blocks.models import Block, BlockVersion
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import (
    change_targets,
    undo_version,
)
from coaching.blocks.snapshots import Snapshot
from coaching.blocks.target_changes import TargetChange, light_weeks_following
from coaching.library.models import Exercise
from coaching.rules.findings import Evidence
from coaching.rules.progression import Step
from sessions.errors import ReviewError
from sessions.models import Decision, DecisionKind, WeekReview
from sessions.next_targets import Proposal, as_it_is
from sessions.week_reading import WeekReading
from sessions.week_record import week_record
from sessions.word_services import coach_has_read, say_to_client


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
    read_until: datetime | None = None,
    at: datetime | None = None,
    reading: WeekReading | None = None,
) -> WeekReview:
    """The coach has seen this week; a note left out stays as it was.

    ``read_until`` is up to when the page showed the client's words; without it none count as read.
    Of a ``reading`` what it found and proposed is kept, once.
    """
    row = review_of(client, week_starts_on)
    row.by = by
    row.reviewed_at = at or timezone.now()
    if reading is not None and not row.proposed:
        row.proposed = week_record(reading)
    if note_to_client is not None:
        say_to_client(row, note_to_client.strip())
    if private_note is not None:
        row.private_note = private_note.strip()
    row.save()
    if read_until is not None:
        coach_has_read(client=client, until=read_until)
    return row


@transaction.atomic
def reopen_review(*, review: WeekReview) -> WeekReview:
    """Put a week back among those to review; notes and decisions stay."""
    review.reviewed_at = None
    review.save(update_fields=["reviewed_at"])
    return review


@transaction.atomic
def accept_proposals(
    *,
    reading: WeekReading,
    proposals: Sequence[Proposal],
    today: date,
    by: User | None,
    since: date | None = None,
    automatic: bool = False,
) -> list[Decision]:
    """Put next targets into the coming sessions: one version, one decision each.

    They hold from today on, or from a later day. Proposals that change nothing are kept as
    decisions too, without a version. ``automatic`` ones are made by nobody.
    Raises ReviewError when the client has no published block, or when a rung to change to
    loads what the client must avoid.
    """
    block = _block(reading)
    changing = [p for p in proposals if p.changes_plan]
    version, before = None, snapshot_of(block) if changing else None
    if changing:
        days = (today, since or today)
        version = _next_targets(block, changing, reading, days, by)
    made = Decision(
        review=review_of(reading.client, reading.week_starts_on),
        by=by,
        at=timezone.now(),
        automatic=automatic,
        version=version,
    )
    return Decision.objects.bulk_create(decisions_like(made, proposals, before))


def decisions_like(
    made: Decision, proposals: Sequence[Proposal], before: Snapshot | None
) -> list[Decision]:
    """One decision for each proposal of an act, not written yet; ``before`` is the plan until then."""
    return [
        Decision(
            review=made.review,
            kind=decision_kind(p),
            exercise_id=p.exercise_id,
            course=p.course,
            by=made.by,
            at=made.at,
            automatic=made.automatic,
            evidence=evidence_data(p.target.evidence),
            proposal=proposal_data(p) | _light_data(p, before, made.version),
            version=made.version if p.changes_plan else None,
        )
        for p in proposals
    ]


def _next_targets(
    block: Block,
    changing: Sequence[Proposal],
    reading: WeekReading,
    days: tuple[date, date],
    by: User | None,
) -> BlockVersion:
    today, since = days
    try:
        return change_targets(
            block=block,
            changes=[change_of(p) for p in changing],
            today=today,
            since=since,
            by=by,
            what="Next targets: " + ", ".join(p.name for p in changing)[:170],
            why=f"Review of the week from {reading.week_starts_on:%-d %b}",
        )
    except BlockError as error:
        raise ReviewError(str(error)) from error


def _block(reading: WeekReading) -> Block:
    """The block that the proposals are about, locked so that two decisions cannot cross."""
    mine = Block.objects.select_for_update().filter(client=reading.client)
    block = mine.filter(pk=reading.plans_block or 0).first()
    if block is None:
        message = f"{reading.client.name} has no session to come; publish a block first."
        raise ReviewError(message)
    return block


def change_of(proposal: Proposal) -> TargetChange:
    """What a proposal changes in the plan."""
    return TargetChange(
        exercise_id=proposal.exercise_id,
        part=proposal.part.value,
        targets=proposal.target.targets,
        load_kg=proposal.target.load,
        swap_to=proposal.swap_to,
        tempo=proposal.tempo,
        # Light weeks never ask for more than usual ones; a step up is not theirs.
        light_too=proposal.target.step is not Step.STEP_UP,
        lines=proposal.lines,
        own_sets=not proposal.changes_sets,
    )


def _light_data(
    proposal: Proposal, before: Snapshot | None, version: BlockVersion | None
) -> dict[str, list[int]]:
    """In which light weeks an exercise followed, by their numbers."""
    if before is None or version is None:
        return {}
    found = light_weeks_following(before, version.snapshot, change_of(proposal))
    return {"light_weeks": list(found)} if found else {}


def decision_kind(proposal: Proposal) -> DecisionKind:
    """What a proposal is called once it is decided."""
    return DecisionKind.LEAVE if proposal.left else DecisionKind(proposal.target.step.value)


@transaction.atomic
def replace_limited(
    *,
    block: Block,
    exercise: Exercise,
    to: Exercise | None,
    week_starts_on: date,
    today: date,
    by: User,
) -> Decision:
    """Put another exercise, or nothing, where one loads a joint limit; kept as a decision.

    Raises ReviewError when the block cannot take it.
    """
    try:
        put_in = put_in_place(block=block, exercise=exercise, to=to, today=today, by=by)
    except BlockError as error:
        raise ReviewError(str(error)) from error
    return Decision.objects.create(
        review=review_of(block.client, week_starts_on),
        kind=DecisionKind.SWAP,
        exercise=exercise,
        by=by,
        evidence=evidence_data([Evidence("Why", put_in.version.why)]),
        proposal={
            "exercise": exercise.name,
            "what": put_in.version.what,
            "locked": list(put_in.locked),
        },
        version=put_in.version,
    )


@transaction.atomic
def keep_targets(
    *, reading: WeekReading, proposals: Sequence[Proposal], by: User, left: bool = False
) -> list[Decision]:
    """Keep what the coming sessions ask of exercises; nothing in the plan changes.

    ``left`` says that the coach leaves them without a view of what was proposed. A week without
    a proposal that is left is kept as one decision about no exercise.
    """
    review, now = review_of(reading.client, reading.week_starts_on), timezone.now()
    kept = [replace(as_it_is(p), keeps=True, left=left) for p in proposals]
    made = [
        Decision(
            review=review,
            kind=decision_kind(p),
            exercise_id=p.exercise_id,
            course=p.course,
            by=by,
            at=now,
            evidence=evidence_data(p.target.evidence),
            proposal=proposal_data(p),
        )
        for p in kept
    ]
    if left and not made:
        made = [_left_week(review, reading, now, by)]
    return Decision.objects.bulk_create(made)


def _left_week(review: WeekReview, reading: WeekReading, now: datetime, by: User) -> Decision:
    said = reading.first.sentence if reading.first else ""
    facts = [item for f in reading.urgent for item in evidence_data(f.evidence)]
    proposal = {"what": "Left as it is", "sentence": said}
    kind = DecisionKind.LEAVE
    return Decision(review=review, kind=kind, by=by, at=now, evidence=facts, proposal=proposal)


@transaction.atomic
def leave_and_close(
    *, reading: WeekReading, proposals: Sequence[Proposal], by: User, **notes: Any
) -> list[Decision]:
    """Leave what was proposed as it is and close the week with its notes: both or none."""
    start = reading.week_starts_on
    review = mark_reviewed(
        client=reading.client, week_starts_on=start, by=by, reading=reading, **notes
    )
    made = keep_targets(reading=reading, proposals=proposals, by=by, left=True)
    for one in made:
        one.review = review
    return made


@transaction.atomic
def accept_routine(
    *, accepted: Sequence[tuple[WeekReading, Sequence[Proposal]]], now: datetime, by: User
) -> list[Decision]:
    """Accept the next targets of several clients and close their weeks: all or none."""
    made: list[Decision] = []
    for reading, proposals in accepted:
        if proposals:
            today = reading.client.local_date(now)
            made += accept_proposals(reading=reading, proposals=proposals, today=today, by=by)
        mark_reviewed(
            client=reading.client, week_starts_on=reading.week_starts_on, by=by, reading=reading
        )
    return made


def evidence_data(evidence: Sequence[Evidence]) -> list[dict[str, str]]:
    """Evidence as it is kept with a decision."""
    return [asdict(item) for item in evidence]


def proposal_data(proposal: Proposal) -> dict[str, Any]:
    """A proposal as it is kept with a decision, beside what the log asked for."""
    target, log_asked = proposal.target, proposal.proposed or proposal.target
    return {
        "exercise": proposal.exercise.name,
        "to": proposal.rung,
        "part": proposal.part.value,
        "when": proposal.when,
        "lines": sorted(proposal.lines or ()),
        "step": target.step.value,
        "before": list(proposal.planned[0].targets),
        "before_load": proposal.planned[0].load,
        "targets": list(target.targets),
        "load": target.load,
        "sentence": target.sentence,
        "rule": target.rule,
        "source": target.source_key,
        "changed_by_coach": proposal.edited or log_asked != target,
        "proposed": {
            "step": log_asked.step.value,
            "exercise": log_asked.exercise_key,
            "targets": list(log_asked.targets),
            "load": log_asked.load,
            "sentence": log_asked.sentence,
        },
        "last_on": proposal.last.on.isoformat() if proposal.last else "",
    }


@transaction.atomic
def undo_decision(*, decision: Decision, today: date, by: User) -> None:
    """Take back a decision and the others of the same act.

    Raises ReviewError when it is taken back already, or when the plan changed after it.
    """
    if decision.undone_at is not None:
        message = "This decision is already taken back."
        raise ReviewError(message)
    together = Decision.objects.filter(
        review=decision.review_id, at=decision.at, undone_at=None
    ).select_related("version__block")
    for version in {one.version for one in together if one.version}:
        _undo(version, today=today, by=by)
    together.update(undone_at=timezone.now())


def _undo(version: BlockVersion, *, today: date, by: User) -> None:
    try:
        undo_version(version=version, today=today, by=by)
    except BlockError as error:
        raise ReviewError(str(error)) from error
