"""The one place where a snapshot becomes rows, leaving the past alone."""

from collections.abc import Sequence
from datetime import date

from django.db import transaction
from django.db.models import Max

from coaching.blocks.models import Block, Pair, PlannedSession, Prescription, Week
from coaching.blocks.queries import with_plan
from coaching.blocks.snapshots import SessionData, Snapshot, session_data


@transaction.atomic
def write_snapshot(*, block: Block, snapshot: Snapshot, today: date) -> None:
    """Make the rows say what the snapshot says, from today on.

    Sessions before today and sessions begun are left as they are, whatever the
    snapshot says of them: past weeks never change under a new plan.
    """
    rows = list(with_plan(PlannedSession.objects.filter(week__block=block)))
    kept = {str(r.uid) for r in rows if r.on < today or r.started_at is not None}
    unchanged = {str(r.uid) for r in rows if _as_wanted(r, snapshot)} - kept
    stale = [r.pk for r in rows if str(r.uid) not in kept | unchanged]
    PlannedSession.objects.filter(pk__in=stale).delete()
    weeks = _weeks_for(block, snapshot)
    for data in snapshot["weeks"]:
        week = weeks[data["starts_on"]]
        missing = [s for s in data["sessions"] if s["uid"] not in kept | unchanged]
        if any(date.fromisoformat(s["on"]) < today for s in missing):
            missing = [s for s in missing if date.fromisoformat(s["on"]) >= today]
        _create_sessions(week, missing)
    _number_weeks(block, wanted=set(weeks))


def _as_wanted(row: PlannedSession, snapshot: Snapshot) -> bool:
    """Whether a row already stands as the snapshot wants it, in the same week."""
    data = session_data(row)
    starts_on = row.week.starts_on.isoformat()
    return any(
        week["starts_on"] == starts_on
        and week["kind"] == row.week.kind
        and data in week["sessions"]
        for week in snapshot["weeks"]
    )


def _weeks_for(block: Block, snapshot: Snapshot) -> dict[str, Week]:
    """The rows of the snapshot's weeks by first day, made where they are missing."""
    have = {w.starts_on.isoformat(): w for w in Week.objects.filter(block=block)}
    for index, data in enumerate(snapshot["weeks"], start=1):
        week = have.get(data["starts_on"])
        if week is None:
            have[data["starts_on"]] = Week.objects.create(
                block=block,
                number=index,
                starts_on=date.fromisoformat(data["starts_on"]),
                kind=data["kind"],
            )
        elif week.kind != data["kind"] and not week.planned_sessions.exists():
            week.kind = data["kind"]
            week.save(update_fields=["kind"])
    wanted = {data["starts_on"] for data in snapshot["weeks"]}
    return {starts_on: week for starts_on, week in have.items() if starts_on in wanted}


def _number_weeks(block: Block, *, wanted: set[str]) -> None:
    """Drop weeks that nothing stands in any more and number the rest by date."""
    number = 0
    for week in Week.objects.filter(block=block).order_by("starts_on"):
        if week.starts_on.isoformat() not in wanted and not week.planned_sessions.exists():
            week.delete()
            continue
        number += 1
        if week.number != number:
            week.number = number
            week.save(update_fields=["number"])


def _create_sessions(week: Week, sessions: Sequence[SessionData]) -> None:
    """Write sessions with their pairs and prescriptions; 3 inserts in all."""
    if not sessions:
        return
    taken = week.planned_sessions.aggregate(top=Max("position"))["top"] or 0
    made = PlannedSession.objects.bulk_create(
        PlannedSession(
            uid=data["uid"], week=week, name=data["name"], on=data["on"], position=taken + place
        )
        for place, data in enumerate(sessions, start=1)
    )
    pairs = [
        (Pair(planned_session=row, position=place, letter=pair["letter"], part=pair["part"]), pair)
        for row, data in zip(made, sessions, strict=True)
        for place, pair in enumerate(data["pairs"], start=1)
    ]
    Pair.objects.bulk_create(row for row, _ in pairs)
    Prescription.objects.bulk_create(
        Prescription(
            uid=line["uid"],
            pair=row,
            position=place,
            exercise_id=line["exercise"],
            targets=line["targets"],
            load_kg=line["load_kg"],
            tempo=line["tempo"],
            rest_s=line["rest_s"],
            rir=line["rir"],
        )
        for row, pair in pairs
        for place, line in enumerate(pair["lines"], start=1)
    )
