"""Writes of blocks: each is one transaction, one version, and can be undone."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any
from uuid import uuid4

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from clients.models import Client, User
from coaching.blocks.errors import BlockError
from coaching.blocks.models import (
    Block,
    BlockTemplate,
    BlockVersion,
    PlannedSession,
    Prescription,
    Week,
)
from coaching.blocks.queries import week_value
from coaching.blocks.shared_templates import as_plan, read_shared_templates
from coaching.blocks.snapshot_writer import write_snapshot
from coaching.blocks.snapshots import (
    Line,
    PairData,
    SessionData,
    Snapshot,
    WeekData,
    light_week_data,
    snapshot_of,
    split_week,
    with_light_week,
    with_lines_changed,
    with_one_line,
)
from coaching.library.models import Exercise
from coaching.library.queries import exercises_by_key
from coaching.rules.deload import light_week
from coaching.rules.plan import PlannedWeek, Tempo, WeekKind

MOST_SETS = 12
MOST_WEEKS = 8


@transaction.atomic
def load_shared_templates() -> int:
    """Bring the shared templates up to date; returns how many there are."""
    templates = read_shared_templates()
    for template in templates:
        BlockTemplate.objects.update_or_create(
            coach=None,
            key=template.key,
            defaults={
                "name": template.name,
                "level": template.level.value,
                "description": template.description,
                "minutes": template.minutes,
                "plan": as_plan(template),
            },
        )
    return len(templates)


@transaction.atomic
def create_block(*, client: Client, name: str, snapshot: Snapshot) -> Block:
    """A draft block for a client, numbered after the last one, with the plan as given."""
    if not 1 <= len(snapshot["weeks"]) <= MOST_WEEKS:
        message = f"A block holds 1 to {MOST_WEEKS} weeks, not {len(snapshot['weeks'])}."
        raise BlockError(message)
    starts_on = date.fromisoformat(snapshot["weeks"][0]["starts_on"])
    number = (client.blocks.aggregate(top=Max("number"))["top"] or 0) + 1
    block = Block.objects.create(client=client, number=number, name=name, starts_on=starts_on)
    write_snapshot(block=block, snapshot=snapshot, today=starts_on)
    return block


@transaction.atomic
def create_block_from_template(
    *, client: Client, template: BlockTemplate, starts_on: date, by: User
) -> Block:
    """A draft block for a client, copied from a template, its deload weeks made light."""
    exercises = exercises_by_key(by)
    weeks: list[WeekData] = []
    for index, kind in enumerate(template.plan["weeks"]):
        first_day = starts_on + timedelta(days=7 * index)
        weeks.append(_week_from_template(template.plan["sessions"], kind, first_day, exercises))
    block = create_block(client=client, name=template.name, snapshot={"weeks": weeks})
    _lighten_deload_weeks(block, today=starts_on)
    return block


def _week_from_template(
    sessions: Sequence[Mapping[str, Any]],
    kind: str,
    starts_on: date,
    exercises: Mapping[str, Exercise],
) -> WeekData:
    def line(data: Mapping[str, Any]) -> Line:
        exercise = exercises.get(data["exercise"])
        if exercise is None:
            message = f"The template asks for “{data['exercise']}”, which is not in your library."
            raise BlockError(message)
        return {
            "uid": str(uuid4()),
            "exercise": exercise.pk,
            "name": exercise.name,
            "targets": list(data["targets"]),
            "load_kg": float(data["load"]),
            "tempo": data["tempo"],
            "rest_s": data["rest"],
            "rir": data["rir"],
        }

    return {
        "starts_on": starts_on.isoformat(),
        "kind": kind,
        "sessions": [
            {
                "uid": str(uuid4()),
                "name": session["name"],
                "on": (starts_on + timedelta(days=session["day"])).isoformat(),
                "pairs": [
                    {
                        "letter": pair["letter"],
                        "part": pair["part"],
                        "lines": [line(data) for data in pair["lines"]],
                    }
                    for pair in session["pairs"]
                ],
            }
            for session in sessions
        ],
    }


def _lighten_deload_weeks(block: Block, *, today: date) -> None:
    """Give each deload week the light version of the build week before it."""
    snapshot = snapshot_of(block)
    rows = list(Week.objects.filter(block=block).order_by("number"))
    for index, row in enumerate(rows):
        if row.kind != WeekKind.DELOAD or index == 0:
            continue
        usual = week_value(rows[index - 1])
        made = light_week(usual, starts_on=row.starts_on)
        snapshot["weeks"][index] = light_week_data(snapshot["weeks"][index - 1], made.week)
    write_snapshot(block=block, snapshot=snapshot, today=today)


@transaction.atomic
def publish_block(*, block: Block, by: User, why: str = "") -> BlockVersion:
    """Let the client see the block; from now on every change is a version."""
    if block.published_at is not None:
        message = "This block is already published."
        raise BlockError(message)
    block.published_at = timezone.now()
    block.save(update_fields=["published_at"])
    return _keep_version(block, by=by, what="Published", why=why)


def _keep_version(
    block: Block, *, by: User | None, what: str, why: str, undoes: BlockVersion | None = None
) -> BlockVersion:
    top = block.versions.aggregate(top=Max("number"))["top"] or 0
    return BlockVersion.objects.create(
        block=block,
        number=top + 1,
        by=by,
        what=what,
        why=why,
        snapshot=snapshot_of(block),
        undoes=undoes,
    )


@transaction.atomic
def change_block(
    *, block: Block, snapshot: Snapshot, today: date, by: User | None, what: str, why: str = ""
) -> BlockVersion | None:
    """Put a new plan in place and keep it as a version; a draft keeps none."""
    if len(snapshot["weeks"]) > MOST_WEEKS:
        message = f"A block holds at most {MOST_WEEKS} weeks; end it and start the next one."
        raise BlockError(message)
    write_snapshot(block=block, snapshot=snapshot, today=today)
    if block.published_at is None:
        return None
    return _keep_version(block, by=by, what=what, why=why)


@dataclass(frozen=True, slots=True)
class TargetChange:
    """New targets for one exercise in one part of all coming sessions of a block.

    ``swap_to`` names another exercise's row when the rung or the exercise changes.
    """

    exercise_id: int
    part: str
    targets: tuple[int, ...]
    load_kg: float
    swap_to: int | None = None


@transaction.atomic
def change_targets(
    *,
    block: Block,
    changes: Sequence[TargetChange],
    today: date,
    by: User | None,
    what: str,
    why: str = "",
) -> BlockVersion | None:
    """Set the next targets of exercises from today on; sessions begun stay as they are."""
    by_place = {(change.exercise_id, change.part): change for change in changes}
    swaps = Exercise.objects.filter(pk__in=[c.swap_to for c in changes if c.swap_to])
    names = dict(swaps.values_list("pk", "name"))

    def change_for(pair: PairData, line: Line) -> TargetChange | None:
        return by_place.get((line["exercise"], pair["part"]))

    def changed(pair: PairData, line: Line) -> Line:
        change = by_place[line["exercise"], pair["part"]]
        result: Line = {**line, "targets": list(change.targets), "load_kg": change.load_kg}
        if change.swap_to is not None:
            result["exercise"] = change.swap_to
            result["name"] = names[change.swap_to]
        return result

    snapshot = with_lines_changed(
        snapshot_of(block),
        lambda _session, pair, line: change_for(pair, line) is not None,
        changed,
        since=today,
    )
    return change_block(block=block, snapshot=snapshot, today=today, by=by, what=what, why=why)


@transaction.atomic
def change_prescription(
    *,
    prescription: Prescription,
    fields: Mapping[str, Any],
    onward: bool,
    today: date,
    by: User,
    why: str = "",
) -> BlockVersion | None:
    """Change one prescription, in its week only or in all coming weeks alike.

    ``fields`` may hold targets, load_kg, tempo, rest_s, rir and exercise (row id).
    """
    session = prescription.pair.planned_session
    if session.on < today or session.started_at is not None:
        message = "This session is past or already begun; change a coming one."
        raise BlockError(message)
    check_prescription(fields)
    block = session.week.block
    uid, exercise, name = str(prescription.uid), prescription.exercise_id, session.name

    def wanted(data: SessionData, _pair: PairData, line: Line) -> bool:
        same_place = data["name"] == name and line["exercise"] == exercise
        return line["uid"] == uid or (onward and same_place)

    def changed(_pair: PairData, line: Line) -> Line:
        return {**line, **fields}  # type: ignore[typeddict-item]

    before = snapshot_of(block)
    snapshot = with_lines_changed(before, wanted, changed, since=session.on)
    if snapshot == before:
        # The week is a light one, which a change "from here on" leaves alone.
        snapshot = with_one_line(before, uid, changed)
    what = f"{prescription.exercise.name}, {session.name}"
    return change_block(block=block, snapshot=snapshot, today=today, by=by, what=what, why=why)


def check_prescription(fields: Mapping[str, Any]) -> None:
    """Refuse values that no session can hold, naming the field and the remedy."""
    targets = fields.get("targets")
    if targets is not None and not 1 <= len(targets) <= MOST_SETS:
        message = f"Sets: {len(targets)} is not between 1 and {MOST_SETS}."
        raise BlockError(message)
    if targets is not None and not all(1 <= t <= 600 for t in targets):
        message = "Targets: each set needs a number from 1 to 600."
        raise BlockError(message)
    if "tempo" in fields:
        try:
            Tempo.parse(fields["tempo"])
        except ValueError as error:
            raise BlockError(str(error)) from error


@transaction.atomic
def insert_light_week(
    *,
    block: Block,
    usual: Week,
    light: PlannedWeek,
    today: date,
    by: User,
    why: str = "",
    replaces: bool = False,
) -> BlockVersion | None:
    """Put a light week into the block from its first day on; later weeks move on.

    Raises BlockError when the light week would start in the past or would push
    aside a session that is already begun.
    """
    if light.starts_on < today:
        message = "A light week can start today at the earliest."
        raise BlockError(message)
    before = snapshot_of(block)
    start = light.starts_on
    begun = PlannedSession.objects.filter(
        week__block=block, on__gte=start, started_at__isnull=False
    ).first()
    if begun is not None:
        message = f"{begun.name} on {begun.on:%-d %b} is already begun; start the light week later."
        raise BlockError(message)
    usual_data = next(w for w in before["weeks"] if w["starts_on"] == usual.starts_on.isoformat())
    data = light_week_data(usual_data, light)
    snapshot = with_light_week(split_week(before, start), data, replaces=replaces)
    what = f"Light week from {start:%-d %b}"
    return change_block(block=block, snapshot=snapshot, today=today, by=by, what=what, why=why)


@transaction.atomic
def undo_version(*, version: BlockVersion, today: date, by: User) -> BlockVersion:
    """Go back to the plan before a version; what was trained meanwhile stays."""
    block = version.block
    newest = block.versions.order_by("-number").first()
    if newest is None or newest.pk != version.pk:
        message = "Only the newest change can be undone; undo the later ones first."
        raise BlockError(message)
    previous = _before(version)
    if previous is None:
        message = "This is the first version; there is nothing to go back to."
        raise BlockError(message)
    write_snapshot(block=block, snapshot=previous.snapshot, today=today)
    return _keep_version(block, by=by, what=f"Undid: {version.what}", why="", undoes=version)


def _before(version: BlockVersion) -> BlockVersion | None:
    """The version to go back to: undoing an undo goes back to what it had undone."""
    if version.undoes is not None:
        return version.undoes
    return version.block.versions.filter(number__lt=version.number).order_by("-number").first()
