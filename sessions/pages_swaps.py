"""What a client may do instead of a planned exercise, or besides the plan, and with which load."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from clients.models import Client
from clients.queries import equipment_of
from coaching.blocks.adaptation import swap_reason
from coaching.blocks.from_template import candidates_for, known_of
from coaching.blocks.limit_queries import joints_of
from coaching.library.models import Exercise
from coaching.library.queries import exercise_value, exercises_by_key
from coaching.rules import plan
from coaching.rules.joint_limits import Joints, offered
from coaching.rules.load_to_choose import needs_load
from coaching.rules.loads import EquipmentItem, available_loads, next_load_down
from coaching.rules.stand_in import stand_ins
from sessions.queries_phone import LastTime, exercise_rows, last_times

MOST_SWAPS = 4


class Choice:
    """One client's library, joints and equipment, asked line by line.

    Made with 4 queries, 5 for a client with joint limits; 2 more where a log or plan names an
    exercise that is no longer in use.
    """

    def __init__(self, client: Client, joints: Joints, on: date, named: Iterable[int]) -> None:
        library = exercises_by_key(client.coach)
        self.on, self.joints, self.equipment = on, joints, equipment_of(client)
        self.rows: dict[int, Exercise] = {row.pk: row for row in library.values()}
        missing = set(named) - set(self.rows)
        self.rows |= exercise_rows(missing) if missing else {}
        self._in_use = library
        self._candidates = candidates_for(client, library.values())
        self._known = known_of(client, library.values())
        self._values: dict[int, plan.Exercise] = {}
        self._found: dict[int, list[int]] = {}
        self.last: Mapping[int, LastTime] = {}

    def value(self, pk: int) -> plan.Exercise:
        """The rules' value of an exercise; no query."""
        if pk not in self._values:
            self._values[pk] = exercise_value(self.rows[pk])
        return self._values[pk]

    def instead_of(self, pk: int, besides: Iterable[int] = ()) -> list[int]:
        """What the coach's rules allow in place of an exercise, best first; no query.

        What stands ``besides`` in the plan already is no replacement.
        """
        if pk not in self._found:
            kinds = frozenset(item.kind for item in self.equipment)
            limits, overrides = self.joints.on(self.on), self.joints.overrides
            found = stand_ins(
                self.value(pk), self._candidates, limits, kinds, overrides, self._known
            )
            own = (self._in_use[one.key].pk for one in found)
            self._found[pk] = [one for one in own if one not in set(besides)][:MOST_SWAPS]
        return self._found[pk]

    def swaps(self, pk: int, done_instead: Sequence[int]) -> list[dict[str, Any]]:
        """What may stand in, what was done instead first; no query."""
        kept = list(dict.fromkeys([*done_instead, *self.instead_of(pk)]))
        asked, limits = self.value(pk), self.joints.on(self.on)
        return [
            self.offer(one, swap_reason(asked, self.value(one), limits, self.joints.overrides))
            for one in kept[: max(MOST_SWAPS, len(set(done_instead)))]
        ]

    def offered(self) -> list[int]:
        """Every exercise that equipment, joints and level allow, by name; no query."""
        kinds = frozenset(item.kind for item in self.equipment)
        allowed = offered(self._candidates, self.joints.on(self.on), kinds, self.joints.overrides)
        rows = (self._in_use[one.key] for one in allowed)
        return [row.pk for row in sorted(rows, key=lambda row: row.name.lower())]

    def offer(self, pk: int, why: str) -> dict[str, Any]:
        """One exercise with the load to begin with; no query."""
        loads = available_loads(self.value(pk), self.equipment)
        load = load_to_begin(self.value(pk), loads, self.last.get(pk))
        return {**exercise_data(self.rows[pk], self.value(pk), self.equipment, load), "why": why}


def load_to_begin(exercise: plan.Exercise, loads: Sequence[float], last: LastTime | None) -> float:
    """The load [kg] of the first set: the one last used, or the nearest easier; else the easiest.

    What a client can do with one exercise says too little of another to begin any heavier.
    """
    if last is None or not last.loads:
        return loads[0] if loads else 0.0
    used = last.loads[0]
    if used in loads or not loads:
        return used
    assisted = exercise.load_kind is plan.LoadKind.ASSISTED
    easier = next_load_down(used, loads, assisted=assisted)
    return loads[0] if easier is None else easier


def exercise_data(
    row: Exercise, value: plan.Exercise, equipment: Sequence[EquipmentItem], load: float
) -> dict[str, Any]:
    """One exercise as the phone's scripts know it; no query."""
    loads = sorted({load, *available_loads(value, equipment)})
    takes_load = value.load_kind is not plan.LoadKind.NONE and (
        load > 0
        or len(loads) > 1
        or value.load_kind is not plan.LoadKind.ADDED
        or needs_load(value)
    )
    return {
        "exercise": row.pk,
        "name": row.name,
        "side": value.pattern.value,
        "measure": value.measure.value,
        "each_side": value.sides == 2,
        "load": load,
        "loads": loads if takes_load else [],
        "load_kind": value.load_kind.value,
        "takes_load": takes_load,
        "needs_load": needs_load(value),
    }


def exercises_to_add(client: Client, today: date) -> list[dict[str, Any]]:
    """What a client may add to a session, by name, with the day it was last done; 6 queries."""
    choice = Choice(client, joints_of(client), today, ())
    allowed = choice.offered()
    choice.last = last_times(client, allowed, None, today)
    days = {pk: last.on.isoformat() for pk, last in choice.last.items()}
    return [{**choice.offer(pk, ""), "last": days.get(pk)} for pk in allowed]
