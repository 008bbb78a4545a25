"""Writes of blocks: each is one transaction, one version, and can be undone."""

from collections.abc import Mapping, Sequence
from datetime import date

from django.db import transaction
from django.db.models import Max

from clients.models import Client, User
from coaching.blocks.adaptation import adapted
from coaching.blocks.adaptation_values import Adaptation, ClientMeans, LineChange, change_data
from coaching.blocks.client_means import made_for, means_of
from coaching.blocks.editing.values import MOST_WEEKS
from coaching.blocks.errors import BlockError
from coaching.blocks.from_template import LEVELS, snapshot_from_template
from coaching.blocks.limit_guard import refuse_avoided
from coaching.blocks.models import (
    Block,
    BlockTemplate,
    BlockVersion,
    PlannedSession,
    Week,
)
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.queries import week_value
from coaching.blocks.shared_templates import as_plan, from_plan, read_shared_templates
from coaching.blocks.snapshot_writer import write_snapshot
from coaching.blocks.snapshots import (
    Snapshot,
    light_week_data,
    with_light_week,
)
from coaching.blocks.target_changes import Named, StepBacks, TargetChange, with_targets
from coaching.blocks.undoing import without
from coaching.library.models import Exercise
from coaching.library.queries import exercise_value, exercises_by_key
from coaching.rules import plan
from coaching.rules.deload import light_week
from coaching.rules.plan import PlannedWeek, WeekKind

NO_STEP_BACKS = StepBacks()


@transaction.atomic
def load_shared_templates() -> int:
    """Bring the shared templates up to date; returns how many there are.

    A shared template that is no longer shipped goes; blocks made from it stay.
    """
    templates = read_shared_templates()
    gone = BlockTemplate.objects.filter(coach=None)
    gone.exclude(key__in=[template.key for template in templates]).delete()
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
    *, client: Client, template: BlockTemplate, starts_on: date, by: User, adapt: bool = False
) -> Block:
    """A draft block for a client, copied from a template; light weeks not written are made light.

    With ``adapt`` it is made to fit the client's equipment, joints, loads and minutes, and
    each change is kept with the block.
    """
    rows = exercises_by_key(by)
    made = from_plan(template.plan)
    changes: tuple[LineChange, ...] = ()
    if adapt:
        library = {key: exercise_value(row) for key, row in rows.items()}
        fitting = template_fit(template, library, means_of(client, rows.values(), starts_on))
        made, changes = fitting.plan, fitting.changes
    if made.is_empty:
        message = "Nothing of this template fits this client; choose another."
        raise BlockError(message)
    snapshot = snapshot_from_template(made, rows, starts_on)
    block = create_block(client=client, name=template.name, snapshot=snapshot)
    block.changes_from_template = [change_data(change) for change in changes]
    block.save(update_fields=["changes_from_template"])
    if not made.written:
        _lighten_deload_weeks(block, today=starts_on)
    return block


def template_fit(
    template: BlockTemplate, library: Mapping[str, plan.Exercise], means: ClientMeans
) -> Adaptation:
    """A template as one client would get it; a coach's own holds what another client had earned."""
    above = LEVELS.index(template.level) > means.level
    theirs = made_for(means, template.level) if template.coach_id or above else means
    return adapted(from_plan(template.plan), library, theirs)


def _lighten_deload_weeks(block: Block, *, today: date) -> None:
    """Give each deload week the light version of the usual week before it."""
    snapshot = snapshot_of(block)
    usual_weeks = list(snapshot["weeks"])
    rows = list(Week.objects.filter(block=block).order_by("number"))
    for index, row in enumerate(rows):
        if row.kind != WeekKind.DELOAD or index == 0:
            continue
        usual = week_value(rows[index - 1])
        made = light_week(usual, starts_on=row.starts_on)
        snapshot["weeks"][index] = light_week_data(usual_weeks[index - 1], made.week)
    write_snapshot(block=block, snapshot=snapshot, today=today)


def hold_block(block: Block) -> None:
    """Let nobody else write a block until this transaction ends, before its plan is read; 1 query.

    Whoever held it until now may have published it: the block says so afterwards.
    """
    block.published_at = Block.objects.select_for_update().get(pk=block.pk).published_at


@transaction.atomic
def discard_draft(*, block: Block) -> None:
    """Throw a draft away; a published block stays."""
    hold_block(block)
    if block.published_at is not None:
        message = "A published block cannot be discarded; change it or undo its changes."
        raise BlockError(message)
    block.delete()


def keep_version(
    block: Block, *, by: User | None, what: str, why: str, undoes: BlockVersion | None = None
) -> BlockVersion:
    """Keep how the block stands in its rows now as its newest version."""
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
) -> BlockVersion:
    """Put a new plan in place and keep it as a version.

    The first change of a draft keeps the draft as it was made too, so that it can be undone.
    Raises BlockError when the plan is too long or brings in what the client must avoid.
    """
    check_length(snapshot)
    refuse_avoided(block=block, snapshot=snapshot, today=today)
    if not block.versions.exists():
        keep_version(block, by=by, what="Draft as it was made", why="")
    write_snapshot(block=block, snapshot=snapshot, today=today)
    return keep_version(block, by=by, what=what, why=why)


def check_length(snapshot: Snapshot) -> None:
    """Refuse a plan with more weeks than a block holds."""
    if len(snapshot["weeks"]) > MOST_WEEKS:
        message = f"A block holds at most {MOST_WEEKS} weeks; end it and start the next one."
        raise BlockError(message)


@transaction.atomic
def change_targets(
    *,
    block: Block,
    changes: Sequence[TargetChange],
    today: date,
    by: User | None,
    what: str,
    why: str = "",
    since: date | None = None,
) -> BlockVersion:
    """Set the next targets of exercises from today on, or from a later day; sessions begun stay."""
    hold_block(block)
    snapshot = with_targets(snapshot_of(block), changes, since or today, named_in(changes))
    return change_block(block=block, snapshot=snapshot, today=today, by=by, what=what, why=why)


def named_in(changes: Sequence[TargetChange]) -> dict[int, Named]:
    """The exercises that changes name, by row id; 1 query."""
    named = {pk for c in changes for pk in (c.exercise_id, c.swap_to) if pk}
    rows = Exercise.objects.filter(pk__in=named).values_list("pk", "name", "load_kind")
    return {pk: Named(name, load_kind) for pk, name, load_kind in rows}


@transaction.atomic
def insert_light_week(  # noqa: PLR0913 - each is a separate choice of the coach
    *,
    block: Block,
    usual: Week,
    light: PlannedWeek,
    today: date,
    by: User,
    why: str = "",
    days: int = 7,
    replaces: bool = False,
    backs: StepBacks = NO_STEP_BACKS,
) -> BlockVersion:
    """Put a light week into the block from its first day on; later weeks move on.

    Raises BlockError when the light week would start in the past, would push aside a
    session that is already begun, or would push the block into the next one.
    """
    hold_block(block)
    snapshot = plan_with_light_week(
        snapshot_of(block), usual, light, days=days, replaces=replaces, backs=backs
    )
    check_light_week(block=block, snapshot=snapshot, starts_on=light.starts_on, today=today)
    what = f"Light week from {light.starts_on:%-d %b}"
    return change_block(block=block, snapshot=snapshot, today=today, by=by, what=what, why=why)


def check_light_week(*, block: Block, snapshot: Snapshot, starts_on: date, today: date) -> None:
    """Refuse a light week that the block cannot take, naming why and the remedy; 3 to 7 queries."""
    if starts_on < today:
        message = "A light week can start today at the earliest."
        raise BlockError(message)
    begun = (
        PlannedSession.objects.filter(
            week__block=block, on__gte=starts_on, started_at__isnull=False
        )
        .order_by("on", "position")
        .first()
    )
    if begun is not None:
        message = f"{begun.name} on {begun.on:%-d %b} is already begun; start the light week later."
        raise BlockError(message)
    meets = next_block_met(block, snapshot, since=starts_on)
    if meets is not None:
        message = (
            f"The rest of this block would run into block {meets.number}, which starts on "
            f"{meets.starts_on:%-d %b}. Let the light week take the place of the coming week, "
            "or start that block later."
        )
        raise BlockError(message)
    check_length(snapshot)
    refuse_avoided(block=block, snapshot=snapshot, today=today)


def plan_with_light_week(
    before: Snapshot,
    usual: Week,
    light: PlannedWeek,
    *,
    days: int = 7,
    replaces: bool = False,
    backs: StepBacks = NO_STEP_BACKS,
) -> Snapshot:
    """What the block would say with that light week in it; nothing is written.

    No query without step backs, 1 with them.
    """
    starts_on = usual.starts_on.isoformat()
    named = named_in(backs.changes) if backs.changes else {}
    eased = with_targets(before, backs.changes, date.min, named)
    usual_data = next(week for week in eased["weeks"] if week["starts_on"] == starts_on)
    data = light_week_data(usual_data, light)
    after = with_light_week(before, data, days=days, replaces=replaces)
    if backs.carried_from is None:
        return after
    return with_targets(after, backs.changes, backs.carried_from, named)


def next_block_met(block: Block, snapshot: Snapshot, *, since: date) -> Block | None:
    """A later published block of the client that a plan would run into; 1 query."""
    last = max((s["on"] for week in snapshot["weeks"] for s in week["sessions"]), default="")
    if last < since.isoformat():
        return None
    later = Block.objects.filter(client=block.client_id, published_at__isnull=False)
    met = later.filter(number__gt=block.number, starts_on__range=(since, last))
    return met.order_by("number").first()


@transaction.atomic
def undo_version(*, version: BlockVersion, today: date, by: User) -> BlockVersion:
    """Take a change back; what was trained meanwhile stays, and so do later changes of other things.

    Raises BlockError when there is nothing to go back to, when a later change touches the same,
    or when the older plan would bring back what the client must avoid by now.
    """
    block = version.block
    hold_block(block)
    previous = _before(version)
    if previous is None:
        message = "This is the first version; there is nothing to go back to."
        raise BlockError(message)
    if previous.snapshot == version.snapshot:
        message = f"“{version.what}” changed nothing in the plan; there is nothing to undo."
        raise BlockError(message)
    snapshot = without(version, previous)
    refuse_avoided(block=block, snapshot=snapshot, today=today)
    write_snapshot(block=block, snapshot=snapshot, today=today)
    return keep_version(block, by=by, what=f"Undid: {version.what}", why="", undoes=version)


def _before(version: BlockVersion) -> BlockVersion | None:
    """The version to go back to: undoing an undo goes back to what it had undone."""
    if version.undoes is not None:
        return version.undoes
    return version.block.versions.filter(number__lt=version.number).order_by("-number").first()
