"""What of a client's plans needs equipment that is not there.

Told at intake and at publishing, and while the plan runs in the review, on the client's page and
in the roster.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from clients.models import Client, Equipment
from clients.queries import equipment_of
from coaching.blocks.editing.opening import opened
from coaching.blocks.models import Block, Prescription
from coaching.blocks.snapshots import Snapshot
from coaching.blocks.words import weeks_named
from coaching.library.queries import planned_exercises
from coaching.rules.equipment_missing import RULE, how_many_need, without
from coaching.rules.findings import Evidence, Finding, FindingKind
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
        return f"{self.without}: {self.how_many} in {self.where}"

    @property
    def without(self) -> str:
        """There are no dumbbells."""
        return without(self.kind)

    @property
    def how_many(self) -> str:
        """8 exercises need them."""
        return how_many_need(self.kind, len(self.names))

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


Kinds = Mapping[int, Collection[EquipmentKind]]


def kinds_of(clients: Iterable[int]) -> Kinds:
    """The kinds of equipment that each client has; 1 query."""
    found: dict[int, set[EquipmentKind]] = defaultdict(set)
    for client, kind in Equipment.objects.filter(client__in=clients).values_list("client", "kind"):
        found[client].add(EquipmentKind(kind))
    return found


def running_needs(
    clients: Iterable[int], kinds: Kinds, since: date
) -> dict[int, tuple[BlockNeeds, ...]]:
    """What published sessions from a day on need and is not there, by client; 1 query."""
    week = "pair__planned_session__week"
    rows = Prescription.objects.filter(
        pair__planned_session__on__gte=since,
        pair__planned_session__started_at__isnull=True,
        **{f"{week}__block__client__in": clients, f"{week}__block__published_at__isnull": False},
    ).exclude(exercise__equipment=[])
    fields = (f"{week}__block__client", f"{week}__block", f"{week}__block__number")
    what = (f"{week}__number", "exercise__name", "exercise__equipment")
    found: dict[tuple[int, int, int], _Found] = defaultdict(_Found)
    for client, pk, block, number, name, needs in (
        rows.order_by(*fields, *what[:2]).values_list(*fields, *what).distinct()
    ):
        for kind in map(EquipmentKind, needs):
            if kind not in kinds.get(client, ()):
                found[client, pk, block].add(kind, number, name)
    by_client: dict[int, tuple[BlockNeeds, ...]] = defaultdict(tuple)
    for (client, pk, block), one in found.items():
        by_client[client] += (BlockNeeds(pk, block, is_draft=False, needed=one.needed),)
    return by_client


def needs_findings(blocks: Iterable[BlockNeeds]) -> tuple[Finding, ...]:
    """One for each kind that a published block needs and the client lacks."""
    return tuple(
        Finding(
            kind=FindingKind.EQUIPMENT,
            sentence=f"{one.words} of block {block.number}.",
            evidence=tuple(Evidence("Needed for", name) for name in one.names),
            rule=RULE,
            source_key="common-practice",
            could_not_know="Whether the client can borrow it, or trains elsewhere.",
            size=float(len(one.names)),
            about=one.kind.value,
        )
        for block in blocks
        for one in block.needed
    )


class _Found:
    """What needs each kind, and when, while a plan is gone through."""

    def __init__(self) -> None:
        self._names: dict[EquipmentKind, dict[str, None]] = {}
        self._weeks: dict[EquipmentKind, dict[int, None]] = {}

    def add(self, kind: EquipmentKind, week: int, name: str) -> None:
        """An exercise of a week needs a kind."""
        self._names.setdefault(kind, {})[name] = None
        self._weeks.setdefault(kind, {})[week] = None

    @property
    def needed(self) -> tuple[Needed, ...]:
        """Kind by kind."""
        return tuple(Needed(k, tuple(self._names[k]), tuple(self._weeks[k])) for k in self._names)


def needed_in(
    plan: Snapshot,
    exercises: Mapping[int, Exercise],
    kinds: Collection[EquipmentKind],
    *,
    since: date,
    begun: Collection[str] = (),
) -> tuple[Needed, ...]:
    """What the sessions to come of a plan need and is not there, kind by kind; no query."""
    found = _Found()
    for number, row in _coming(plan, since, begun):
        for kind in missing_equipment(exercises[row], kinds):
            found.add(kind, number, exercises[row].name)
    return found.needed


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
