"""A client's joint limits, and what of a block loads them."""

from clients.services import add_joint_limit
from coaching.blocks.block_facts import block_facts
from coaching.blocks.editing.draft_services import draft_of
from coaching.blocks.limit_services import override_limit
from coaching.blocks.models import Prescription
from coaching.blocks.pages_block import BlockPage, block_page
from coaching.blocks.pages_panel_swap import swap_panel
from coaching.blocks.plan_rows import snapshot_of
from coaching.blocks.snapshots import lines_of
from coaching.library.queries import exercise_values

WRIST = "wrist bent back under load"
GRIP = "grip"
TEMPLATE = "beginner-full-body"
PART = {"HX-Request": "true"}


def facts_of(block, coach, day):
    return block_facts(block, coach=coach, today=day, draft=draft_of(block, day))


def page_of(block, coach, day) -> BlockPage:
    return block_page(facts_of(block, coach, day), number=None)


def swaps_for(row, coach, day):
    block = row.pair.planned_session.week.block
    return swap_panel(facts_of(block, coach, day), str(row.uid), 1).swaps


def avoid(client, stress, since):
    return add_joint_limit(client=client, stress=stress, action="avoid", since=since)


def regress(client, stress, since):
    return add_joint_limit(client=client, stress=stress, action="regress", since=since)


def loading(block, stress):
    """The coming prescriptions of a block that load something, first things first."""
    rows = Prescription.objects.filter(pair__planned_session__week__block=block)
    ordered = rows.order_by("pair__planned_session__on", "pair__position", "position")
    return [
        row
        for row in ordered.select_related("exercise", "pair__planned_session__week__block__client")
        if stress in row.exercise.joint_stresses
    ]


def sparing(block, stress):
    rows = Prescription.objects.filter(pair__planned_session__week__block=block)
    ordered = rows.order_by("pair__planned_session__on", "pair__position", "position")
    return next(
        row
        for row in ordered.select_related("exercise", "pair__planned_session__week__block__client")
        if stress not in row.exercise.joint_stresses
    )


def stresses_in(block, since):
    ids = {line["exercise"] for _, line in lines_of(snapshot_of(block), since=since)}
    return {s.value for one in exercise_values(ids).values() for s in one.joint_stresses}


def override(ana, cleo, exercise, day, why="Cleared by the physiotherapist."):
    return override_limit(
        client=cleo, exercise=exercise, name=exercise.name, why=why, days=[day], by=ana
    )
