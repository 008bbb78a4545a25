"""What of a client's plans needs equipment that is not there: told at intake and at publishing."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from clients.models import Client
from clients.queries import equipment_of
from coaching.blocks.editing.opening import opened
from coaching.blocks.models import Block
from coaching.blocks.snapshots import Snapshot
from coaching.blocks.words import weeks_named
from coaching.library.queries import planned_exercises
from coaching.rules.equipment_missing import how_many_need, without
from coaching.rules.loads import missing_equipment
from coaching.rules.plan import EquipmentKind, Exercise


@dataclass(frozen=True, slots=True)
class Needed:
    """One kind that is not there: what needs it by name, and in which weeks to come."""

    kind: EquipmentKind
    names: tuple[str, ...]
    weeks: tuple[int, ...]

    @property
    def words(self) -> str:
        """There are no dumbbells: 8 exercises need them in weeks 4 to 6."""
        return f"{without(self.kind)}: {how_many_need(self.kind, len(self.names))} in {self.where}"

    @property
    def where(self) -> str:
        """The weeks in words."""
        return weeks_named(self.weeks)


@dataclass(frozen=True, slots=True)
class BlockNeeds:
    """What one block of a client needs and is not there; ``week`` is the first such week."""

    pk: int
    number: int
    is_draft: bool
    needed: tuple[Needed, ...]

    @property
    def week(self) -> int:
        """Where to look first."""
        return min(one.weeks[0] for one in self.needed)


def needed_in(
    plan: Snapshot,
    exercises: Mapping[int, Exercise],
    kinds: Collection[EquipmentKind],
    *,
    since: date,
    begun: Collection[str] = (),
) -> tuple[Needed, ...]:
    """What the sessions to come of a plan need and is not there, kind by kind; no query."""
    names: dict[EquipmentKind, dict[str, None]] = {}
    weeks: dict[EquipmentKind, dict[int, None]] = {}
    for number, row in _coming(plan, since, begun):
        for kind in missing_equipment(exercises[row], kinds):
            names.setdefault(kind, {})[exercises[row].name] = None
            weeks.setdefault(kind, {})[number] = None
    return tuple(Needed(kind, tuple(names[kind]), tuple(weeks[kind])) for kind in names)


def blocks_that_need(client: Client) -> tuple[BlockNeeds, ...]:
    """The blocks to come, running or in writing, that need what the client has not.

    3 queries, and those of opening each block; 1 for a client without any.
    """
    today = client.local_date(timezone.now())
    to_come = Block.objects.filter(client=client, weeks__planned_sessions__on__gte=today).distinct()
    plans = [(block, opened(block, today)) for block in to_come]
    rows = {row for _, now in plans for _, row in _coming(now.plan, today, now.begun)}
    if not rows:
        return ()
    values = {pk: one.value for pk, one in planned_exercises(rows).items()}
    kinds = [item.kind for item in equipment_of(client)]
    found = (
        (block, needed_in(now.plan, values, kinds, since=today, begun=now.begun))
        for block, now in plans
    )
    return tuple(
        BlockNeeds(block.pk, block.number, block.published_at is None, needed)
        for block, needed in found
        if needed
    )


def _coming(plan: Snapshot, since: date, begun: Collection[str]) -> Iterator[tuple[int, int]]:
    """Week and exercise of each line that is still to be done."""
    for number, week in enumerate(plan["weeks"], 1):
        for session in week["sessions"]:
            if session["on"] >= since.isoformat() and session["uid"] not in begun:
                for pair in session["pairs"]:
                    yield from ((number, line["exercise"]) for line in pair["lines"])
