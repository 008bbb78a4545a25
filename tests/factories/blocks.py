"""Blocks for tests, made by the services from a shared template."""

from datetime import date, timedelta
from uuid import uuid4

from django.utils import timezone

from clients.models import Client, Equipment
from coaching.blocks.editing.draft_services import publish_changes
from coaching.blocks.models import Block, BlockTemplate
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.services import create_block, create_block_from_template
from coaching.blocks.snapshots import Snapshot, WeekData, lines_of
from coaching.library.models import Exercise

_plans: dict[str, Snapshot] = {}


def published_block(client: Client, starts_on: date, template: str = "") -> Block:
    """A published block for a client, copied from a shared template; what it needs is there."""
    block = block_made(client, starts_on, template)
    _write_down_what_is_needed(block)
    # It was published when it began, before anything of it was past.
    today = min(starts_on, client.local_date(timezone.now()))
    publish_changes(block=block, by=client.coach, today=today)
    return block


def _write_down_what_is_needed(block: Block) -> None:
    used = {line["exercise"] for _, line in lines_of(snapshot_of(block))}
    lists = Exercise.objects.filter(pk__in=used).values_list("equipment", flat=True)
    there = set(block.client.equipment.values_list("kind", flat=True))
    missing = {kind for kinds in lists for kind in kinds} - there
    Equipment.objects.bulk_create(
        Equipment(client=block.client, kind=kind) for kind in sorted(missing)
    )


def block_made(client: Client, starts_on: date, template: str = "") -> Block:
    """The same as a draft.

    The first of a template is made from it; those after it are the same plan on other days,
    as searching the light week anew each time would take most of the time of the tests.
    """
    templates = BlockTemplate.objects.filter(coach=None)
    chosen = templates.get(key=template) if template else templates.order_by("key")[0]
    written = repr(chosen.plan)
    if written in _plans:
        plan = _on_other_days(_plans[written], starts_on)
        block = create_block(client=client, name=chosen.name, snapshot=plan)
    else:
        block = create_block_from_template(
            client=client, template=chosen, starts_on=starts_on, by=client.coach
        )
        _plans[written] = snapshot_of(block)
    return block


def _on_other_days(plan: Snapshot, starts_on: date) -> Snapshot:
    """The plan again, of rows of its own; exercises may have been loaded anew since."""
    later = starts_on - date.fromisoformat(plan["weeks"][0]["starts_on"])
    names = {line["name"] for _, line in lines_of(plan)}
    shared = Exercise.objects.filter(coach=None, name__in=names)
    rows = dict(shared.values_list("name", "pk"))
    return {"weeks": [_week(week, later, rows) for week in plan["weeks"]]}


def _week(week: WeekData, later: timedelta, rows: dict[str, int]) -> WeekData:
    return {
        **week,
        "starts_on": _day(week["starts_on"], later),
        "sessions": [
            {
                **session,
                "uid": str(uuid4()),
                "on": _day(session["on"], later),
                "pairs": [
                    {
                        **pair,
                        "lines": [
                            {**line, "uid": str(uuid4()), "exercise": rows[line["name"]]}
                            for line in pair["lines"]
                        ],
                    }
                    for pair in session["pairs"]
                ],
            }
            for session in week["sessions"]
        ],
    }


def _day(on: str, later: timedelta) -> str:
    return (date.fromisoformat(on) + later).isoformat()
