"""What is known of a block and its client before anything of it is shown."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from clients.models import Client, User
from coaching.blocks.block_effects import BlockEffects, block_effects
from coaching.blocks.block_findings import ClientFacts
from coaching.blocks.editing.draft_queries import Draft, fixed_before
from coaching.blocks.last_block import last_block_of
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Block
from coaching.blocks.muscle_rows import LastBlock
from coaching.blocks.plan_figures import WeekFigures, figures_of_plans
from coaching.blocks.planned_loads import KnownLoads
from coaching.blocks.shelf import Shelf, shelf_of
from coaching.blocks.snapshots import Snapshot, lines_of, locked_in
from coaching.blocks.whole_block import WholeBlock
from coaching.library.queries import planned_exercises
from coaching.rules import plan
from coaching.rules.joint_limits import Joints


@dataclass(frozen=True)
class BlockFacts:
    """What is known of a block and its client before anything is shown of it."""

    block: Block
    coach: User
    today: date
    draft: Draft
    exercises: Mapping[int, plan.Exercise]
    joints: Joints
    last: LastBlock | None
    shelf: Shelf
    before: Snapshot | None = None
    """The plan before the edit that is just answered."""
    remedies_later: bool = False
    """Whether what settles the findings is left to a request of its own."""

    @property
    def client(self) -> Client:
        """Whose block it is."""
        return self.block.client

    @property
    def is_seen(self) -> bool:
        """Whether the client has the block on the phone."""
        return self.block.published_at is not None

    @property
    def past_before(self) -> date:
        """The day before which the plan stays: nothing that nobody has seen is past."""
        return fixed_before(self.block, self.today)

    @property
    def known(self) -> ClientFacts:
        """What the plan is judged by."""
        level = plan.Level(self.client.level)
        return ClientFacts(
            level,
            self.client.minutes,
            self.joints,
            self.today,
            self.draft.begun,
            locked_in(self.draft.snapshot),
            self._loads,
            self.shelf.kinds,
        )

    @property
    def _loads(self) -> KnownLoads:
        made = self.shelf.made(tuple(self.exercises.values()))
        last, logged = self.last, self.shelf.logged
        if last is None:
            return KnownLoads(made=made, logged=logged)
        return KnownLoads(last.loads, last.name, made, logged)


def block_facts(
    block: Block,
    *,
    coach: User,
    today: date,
    draft: Draft,
    before: Snapshot | None = None,
    exercises: Mapping[int, plan.Exercise] | None = None,
    joints: Joints | None = None,
    remedies_later: bool = False,
) -> BlockFacts:
    """What every part of the page needs; 2 queries, 1 more with joint limits, 2 for exercises.

    ``exercises`` and ``joints`` are what an edit has fetched already.
    """
    plans = (draft.snapshot, before) if before else (draft.snapshot,)
    used = {line["exercise"] for one in plans for _, line in lines_of(one)}
    known = exercises or {}
    if not used <= known.keys():
        known = {pk: one.value for pk, one in planned_exercises(used).items()}
    return BlockFacts(
        block=block,
        coach=coach,
        today=today,
        draft=draft,
        exercises=known,
        joints=joints or joints_of(block.client),
        last=last_block_of(block, anew=before is None),
        shelf=shelf_of(block, anew=before is None),
        before=before,
        remedies_later=remedies_later,
    )


def effects_of(facts: BlockFacts, chosen: int) -> tuple[WeekFigures, BlockEffects]:
    """The figures of the chosen week, and what the block does for this client.

    No query, 3 where an exercise is looked for to put in and the shelf was not read yet.
    """
    plans = (facts.draft.snapshot, facts.before) if facts.before else (facts.draft.snapshot,)
    weeks, *before = figures_of_plans(plans, facts.exercises)
    earlier = before[0] if before else ()
    known = facts.known
    effects = block_effects(
        weeks,
        known,
        chosen=chosen,
        before=earlier,
        last=facts.last,
        whole=None if facts.remedies_later else _whole(facts, weeks, known),
    )
    return weeks[chosen - 1], effects


def _whole(facts: BlockFacts, weeks: tuple[WeekFigures, ...], known: ClientFacts) -> WholeBlock:
    return WholeBlock(
        weeks, known, facts.draft.snapshot, facts.exercises, facts.is_seen, facts.shelf
    )
