"""The one place where a snapshot becomes rows, leaving the past alone."""

from collections.abc import Mapping, Sequence, Set
from datetime import date

from django.db import transaction
from django.db.models import Max

from coaching.blocks.models import Block, Pair, PlannedSession, Prescription, Week
from coaching.blocks.queries import with_plan
from coaching.blocks.snapshots import PairData, SessionData, Snapshot, WeekData, session_data


@transaction.atomic
def write_snapshot(*, block: Block, snapshot: Snapshot, today: date) -> None:
    """Make the rows say what the snapshot says, from today on.

    Sessions before today and sessions begun are left as they are, whatever the
    snapshot says of them: past weeks never change under a new plan.
    """
    rows = list(with_plan(PlannedSession.objects.filter(week__block=block)))
    kept = {str(r.uid) for r in rows if r.on < today or r.started_at is not None}
    kept |= {str(r.uid) for r in rows if _as_wanted(r, snapshot)}
    asked = {week["starts_on"]: _to_write(week, kept, today) for week in snapshot["weeks"]}
    stale = {str(r.uid): r for r in rows if str(r.uid) not in kept}
    wanted = {data["uid"] for sessions in asked.values() for data in sessions}
    gone = [row.pk for uid, row in stale.items() if uid not in wanted]
    PlannedSession.objects.filter(pk__in=gone).delete()
    Pair.objects.filter(planned_session__in=stale.values()).delete()
    weeks = _weeks_for(block, snapshot, [row.pk for row in stale.values()])
    for starts_on, sessions in asked.items():
        _write_sessions(weeks[starts_on], sessions, stale)
    for week in snapshot["weeks"]:
        _order_days(weeks[week["starts_on"]], week["sessions"])
    _number_weeks(block, wanted=set(weeks))


def _to_write(week: WeekData, kept: Set[str], today: date) -> list[SessionData]:
    """The sessions of a snapshot's week that do not stand yet; what is past is not made anew."""
    return [
        data
        for data in week["sessions"]
        if data["uid"] not in kept and date.fromisoformat(data["on"]) >= today
    ]


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


def _weeks_for(block: Block, snapshot: Snapshot, stale: Sequence[int]) -> dict[str, Week]:
    """The rows of the snapshot's weeks by first day, made where they are missing.

    A week changes its kind only if nothing but ``stale`` sessions stands in it.
    """
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
        elif week.kind != data["kind"] and not week.planned_sessions.exclude(pk__in=stale):
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


def _write_sessions(
    week: Week, sessions: Sequence[SessionData], have: Mapping[str, PlannedSession]
) -> None:
    """Write sessions with their pairs and prescriptions; 5 queries in all.

    A session that is there already keeps its row: a log without a set may stand on it.
    """
    if not sessions:
        return
    taken = week.planned_sessions.aggregate(top=Max("position"))["top"] or 0
    rows = [_placed(have.get(data["uid"]), data, week) for data in sessions]
    for place, row in enumerate(rows, start=1):
        row.position = row.position or taken + place
    PlannedSession.objects.bulk_create(row for row in rows if str(row.uid) not in have)
    PlannedSession.objects.bulk_update(
        [row for row in rows if str(row.uid) in have], ["week", "name", "on", "position", "locked"]
    )
    _create_pairs(rows, sessions)


def _order_days(week: Week, sessions: Sequence[SessionData]) -> None:
    """Sessions of one day in the order of the snapshot; no query where no day holds two."""
    if len({data["on"] for data in sessions}) == len(sessions):
        return
    place = {data["uid"]: index for index, data in enumerate(sessions)}
    rows = list(week.planned_sessions.order_by("on", "position"))
    ordered = sorted(rows, key=lambda row: (row.on, place.get(str(row.uid), -1)))
    if ordered == rows:
        return
    # Places beyond those taken, as no two may ever be the same.
    first = max(row.position for row in rows) + 1
    for position, row in enumerate(ordered, start=first):
        row.position = position
    PlannedSession.objects.bulk_update(ordered, ["position"])


def _placed(row: PlannedSession | None, data: SessionData, week: Week) -> PlannedSession:
    """A session as the plan wants it; one that is moved or new has no place in its week yet."""
    if row is None:
        row = PlannedSession(uid=data["uid"])
    on = date.fromisoformat(data["on"])
    if (row.week_id, row.on) != (week.pk, on):
        row.position = 0
    row.week, row.name, row.on = week, data["name"], on
    row.locked = data.get("locked", False)
    return row


def _pair(session: PlannedSession, place: int, data: PairData) -> Pair:
    return Pair(
        planned_session=session,
        position=place,
        letter=data["letter"],
        part=data["part"],
        locked=data.get("locked", False),
    )


def _create_pairs(rows: Sequence[PlannedSession], sessions: Sequence[SessionData]) -> None:
    pairs = [
        (_pair(row, place, pair), pair)
        for row, data in zip(rows, sessions, strict=True)
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
