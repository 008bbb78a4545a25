"""What the editor of one prescription shows: its values, and what may stand in its place."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from clients.models import Client, User
from clients.queries import equipment_of
from coaching.blocks.adaptation import replacements
from coaching.blocks.from_template import candidates_for
from coaching.blocks.limit_queries import joints_of
from coaching.blocks.models import Block, Prescription
from coaching.blocks.pages_limits import Swap, swap_of
from coaching.library.models import Exercise
from coaching.library.queries import exercise_value, exercises_by_key
from coaching.rules import plan
from coaching.rules.joint_limits import (
    CAUTION,
    Joints,
    LimitAction,
    limit_finding,
    offered,
    regressed_by,
)
from coaching.rules.loads import EquipmentItem, available_loads

MOST_SWAPS = 8


@dataclass(frozen=True)
class PrescriptionPage:
    """One prescription to edit."""

    prescription: Prescription
    name: str
    session: str
    week: int
    loads: tuple[float, ...]
    swaps: tuple[Swap, ...]
    avoids: tuple[str, ...]
    limits: tuple[str, ...]
    """What the exercise itself loads that the client avoids, regresses or watches."""
    caution: str = CAUTION

    @property
    def choices(self) -> list[tuple[int, str]]:
        """The swaps as a form offers them: row id, name, word and reason."""
        return [(swap.pk, f"{swap.name}: {swap.word}, {swap.reason}") for swap in self.swaps]

    @property
    def block(self) -> Block:
        """The block that the prescription belongs to."""
        return self.prescription.pair.planned_session.week.block


def prescription_page(coach: User, row: Prescription) -> PrescriptionPage:
    """The editor of one prescription; 4 queries, 5 for a client with joint limits."""
    session = row.pair.planned_session
    client = session.week.block.client
    rows = exercises_by_key(coach)
    equipment = equipment_of(client)
    joints = joints_of(client)
    limits = joints.on(session.on)
    asked = exercise_value(rows.get(row.exercise.key, row.exercise))
    loaded = [limit for limit in limits if limit.stress in asked.joint_stresses]
    return PrescriptionPage(
        prescription=row,
        name=row.exercise.name,
        session=session.name,
        week=session.week.number,
        loads=available_loads(asked, equipment),
        swaps=_swaps(asked, client, rows, equipment, joints, session.on),
        avoids=tuple(str(one) for one in limits if one.action is LimitAction.AVOID),
        limits=tuple(limit_finding(asked, one, joints.overrides).sentence for one in loaded),
    )


def _swaps(
    asked: plan.Exercise,
    client: Client,
    rows: Mapping[str, Exercise],
    equipment: Sequence[EquipmentItem],
    joints: Joints,
    on: date,
) -> tuple[Swap, ...]:
    """What may stand in: the rung above, then the replacements; no query.

    For an exercise that loads what must be regressed or avoided the rung above comes last, and
    so does one that loads what must be regressed.
    """
    kinds = frozenset(item.kind for item in equipment)
    limits, overrides = joints.on(on), joints.overrides
    suitable = candidates_for(client, rows.values())
    found = replacements(asked, suitable, limits, kinds, overrides)[:MOST_SWAPS]
    harder = tuple(
        one
        for one in offered(suitable, limits, kinds, overrides)
        if one.ladder and one.ladder == asked.ladder and one.rung == asked.rung + 1
    )
    back = any(regressed_by(one, limits) for one in (asked, *harder))
    back = back or bool(joints.blocking(asked, on))
    ordered = (*found, *harder) if back else (*harder, *found)
    return tuple(swap_of(asked, one, rows, joints, on) for one in ordered)
