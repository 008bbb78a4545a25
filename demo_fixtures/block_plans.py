"""Which blocks an invented client went through: two in a row alike, then a change."""

from collections.abc import Mapping
from dataclasses import dataclass

from coaching.blocks.shared_templates import SharedTemplate
from coaching.rules import plan
from demo_fixtures.people import (
    FLOOR_ONLY,
    FULL_BODY,
    RINGS,
    SHORT,
    UPPER_LOWER,
    WEIGHTS,
    DemoClient,
    Story,
)

BEFORE = {
    WEIGHTS: (WEIGHTS, UPPER_LOWER, WEIGHTS),
    UPPER_LOWER: (UPPER_LOWER, FULL_BODY, UPPER_LOWER),
    RINGS: (RINGS, FULL_BODY, RINGS),
    FLOOR_ONLY: (FLOOR_ONLY, FLOOR_ONLY, FLOOR_ONLY),
}
"""The template of the present pair of blocks, of the pair before it and of the one before that."""


@dataclass(frozen=True)
class BlockPlan:
    """One block: the template it was copied from and the kinds of its weeks."""

    template: SharedTemplate
    kinds: tuple[plan.WeekKind, ...]


def block_plans(
    person: DemoClient, templates: Mapping[str, SharedTemplate]
) -> tuple[int, list[BlockPlan]]:
    """How many weeks ago the first block began, and the blocks, the oldest first.

    Full blocks are counted back from the one that the present week belongs to.
    """
    usual = templates[person.template].week_kinds
    now = len(usual) if person.story is Story.LIGHT_NOW else person.week_now
    last = usual
    if person.story is Story.BLOCK_ENDS:
        last = tuple(kind for kind in usual if kind is plan.WeekKind.BUILD)
        now = len(last)
    now = min(now, person.weeks + 1, len(last))
    blocks = [BlockPlan(templates[person.template], last)]
    left = person.weeks - (now - 1)
    while len((before := _before(person, len(blocks), templates)).kinds) <= left:
        blocks.insert(0, before)
        left -= len(before.kinds)
    return person.weeks - left, blocks


def _before(
    person: DemoClient, blocks_ago: int, templates: Mapping[str, SharedTemplate]
) -> BlockPlan:
    chain = BEFORE.get(person.template) or _before_full_body(person)
    template = templates[chain[min(blocks_ago // 2, len(chain) - 1)]]
    return BlockPlan(template, template.week_kinds)


def _before_full_body(person: DemoClient) -> tuple[str, ...]:
    if person.level == "intermediate":
        return (FULL_BODY, RINGS, FULL_BODY)
    first = SHORT if plan.EquipmentKind.DUMBBELLS in person.equipment else FLOOR_ONLY
    return (FULL_BODY, first, first)
