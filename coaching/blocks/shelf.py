"""What may be put into a client's plan: exercises of their level, equipment and joints."""

from collections.abc import Collection, Sequence
from functools import cached_property
from typing import NamedTuple

from clients.models import Client
from clients.queries import equipment_of
from coaching.blocks.logged_loads import logged_loads
from coaching.blocks.models import Block
from coaching.blocks.planned_loads import LoggedLoad
from coaching.library.models import Exercise
from coaching.library.queries import known_exercises
from coaching.rules.joint_limits import JointLimit, LimitOverride, offered
from coaching.rules.loads import EquipmentItem, available_loads, loads_made
from coaching.rules.plan import EquipmentKind, Level
from coaching.rules.plan import Exercise as Value
from coaching.rules.stand_in import Known, stand_ins

_LEVELS = [level.value for level in Level]
_KEPT = 100
_OF_LIBRARY = frozenset({"_library", "rows", "by_key", "values", "known", "by_row", "logged"})
"""What is read of the library and the log: it stays where the equipment changes."""
_Told = tuple[frozenset[str], frozenset[tuple[str, tuple[float, ...]]]]
_opened: dict[int, "Shelf"] = {}
"""By the block that is edited: what there was when its page was opened."""


class Shelved(NamedTuple):
    """An exercise that may be put in: its row, its value and how it is usually done."""

    pk: int
    value: Value
    tempo: str


class Shelf:
    """The exercises that suit a client, read when they are first asked for; 3 queries."""

    def __init__(self, client: Client, equipment: tuple[EquipmentItem, ...] | None = None) -> None:
        self._client = client
        self._made: dict[str, tuple[float, ...]] = {}
        self._told: _Told = (frozenset(), frozenset())
        if equipment is not None:
            self.equipment = equipment

    def with_equipment(self, equipment: tuple[EquipmentItem, ...]) -> "Shelf":
        """The same library for other equipment; itself where it is the same."""
        if self.equipment == equipment:
            return self
        other = Shelf(self._client, equipment)
        other.__dict__ |= {name: self.__dict__[name] for name in _OF_LIBRARY & vars(self).keys()}
        return other

    @cached_property
    def _library(self) -> list[tuple[int, str, str]]:
        """Row, key and level of all that the coach has, the shared ones first."""
        rows = Exercise.objects.of_coach(self._client.coach).in_use()
        found = rows.values_list("pk", "key", "level", "coach_id")
        shared_first = sorted(found, key=lambda one: (one[3] is not None, one[0]))
        return [(pk, key, level) for pk, key, level, _ in shared_first]

    @cached_property
    def rows(self) -> dict[str, int]:
        """The row of each exercise by key, a coach's own before the shared one."""
        return {key: pk for pk, key, _ in self._library}

    @cached_property
    def by_key(self) -> dict[str, Shelved]:
        """All that suit the client's level, by key."""
        highest = _LEVELS.index(self._client.level)
        own = set(self.rows.values())
        wanted = [
            pk for pk, _, level in self._library if pk in own and _LEVELS.index(level) <= highest
        ]
        known = known_exercises(Exercise.objects.filter(pk__in=wanted))
        return {known[pk].value.key: Shelved(pk, known[pk].value, known[pk].tempo) for pk in wanted}

    @cached_property
    def values(self) -> tuple[Value, ...]:
        """The same as the rules see them."""
        return tuple(one.value for one in self.by_key.values())

    @cached_property
    def known(self) -> Known:
        """For which level each exercise is, beside the client's own."""
        own = set(self.rows.values())
        levels = {key: _LEVELS.index(level) for pk, key, level in self._library if pk in own}
        return Known((), levels, _LEVELS.index(self._client.level))

    @cached_property
    def by_row(self) -> dict[int, Shelved]:
        """The same by row, as acts name them."""
        return {one.pk: one for one in self.by_key.values()}

    @cached_property
    def equipment(self) -> tuple[EquipmentItem, ...]:
        """What the client can train with."""
        return tuple(equipment_of(self._client))

    @cached_property
    def kinds(self) -> frozenset[EquipmentKind]:
        """The kinds of it."""
        return frozenset(item.kind for item in self.equipment)

    @cached_property
    def logged(self) -> frozenset[LoggedLoad]:
        """The hardest loads that the client has logged of late; 1 query."""
        return logged_loads(self._client)

    def loads_of(self, one: Shelved) -> tuple[float, ...]:
        """What the equipment makes for an exercise [kg], easiest first."""
        return available_loads(one.value, self.equipment)

    def made(self, exercises: Collection[Value]) -> frozenset[tuple[str, tuple[float, ...]]]:
        """The loads that the client's equipment makes for exercises, by key [kg].

        None where the equipment itself is missing: that is told for itself.
        """
        for one in exercises:
            if one.key not in self._made:
                self._made[one.key] = loads_made(one, self.equipment)
        keys, told = frozenset(one.key for one in exercises), self._told
        if told[0] != keys:
            # Put down at once: another thread has other exercises.
            told = self._told = keys, frozenset((key, self._made[key]) for key in keys)
        return told[1]

    def instead_of(
        self,
        asked: Value,
        limits: Sequence[JointLimit],
        overrides: Sequence[LimitOverride],
    ) -> list[Shelved]:
        """What may be done instead, best first, as the panel of swaps ranks it."""
        found = stand_ins(asked, self.values, limits, self.kinds, overrides, self.known)
        return [self.by_key[one.key] for one in found]

    def offered(
        self, limits: Sequence[JointLimit], overrides: Sequence[LimitOverride]
    ) -> list[Shelved]:
        """Everything that joints and equipment allow."""
        found = offered(self.values, limits, self.kinds, overrides)
        return [self.by_key[one.key] for one in found]


def shelf_of(block: Block, *, anew: bool = True) -> Shelf:
    """What may be put into a block; 1 query, for the equipment as it is now.

    Not ``anew``, the library is that of when the block's page was opened. What is missing or cannot
    be made is told at every edit, so equipment is none of what is kept.
    """
    equipment = equipment_of(block.client)
    kept = None if anew else _opened.get(block.pk)
    if kept is None and len(_opened) >= _KEPT:
        _opened.clear()
    found = kept.with_equipment(equipment) if kept else Shelf(block.client, equipment)
    _opened[block.pk] = found
    return found
