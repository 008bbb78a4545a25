"""What the editor of one prescription shows: its values, and what may stand in its place."""

from dataclasses import dataclass

from clients.models import User
from clients.queries import equipment_of, joint_limits_of
from coaching.blocks.adaptation import replacements, swap_reason
from coaching.blocks.from_template import candidates_for
from coaching.blocks.models import Block, Prescription
from coaching.library.queries import exercise_value, exercises_by_key
from coaching.rules.joint_limits import LimitAction, offered
from coaching.rules.loads import available_loads

MOST_SWAPS = 8


@dataclass(frozen=True)
class Swap:
    """One exercise that may stand in, with the reason."""

    pk: int
    name: str
    reason: str


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

    @property
    def choices(self) -> list[tuple[int, str]]:
        """The swaps as a form offers them: row id, name and reason."""
        return [(swap.pk, f"{swap.name}: {swap.reason}") for swap in self.swaps]

    @property
    def block(self) -> Block:
        """The block that the prescription belongs to."""
        return self.prescription.pair.planned_session.week.block


def prescription_page(coach: User, row: Prescription) -> PrescriptionPage:
    """The editor of one prescription; 5 queries."""
    session = row.pair.planned_session
    client = session.week.block.client
    rows = exercises_by_key(coach)
    equipment = equipment_of(client)
    limits = joint_limits_of(client, session.on)
    asked = exercise_value(rows.get(row.exercise.key, row.exercise))
    kinds = frozenset(item.kind for item in equipment)
    suitable = candidates_for(client, rows.values())
    found = replacements(asked, suitable, limits, kinds)
    harder = [
        one
        for one in offered(suitable, limits, kinds)
        if one.ladder and one.ladder == asked.ladder and one.rung == asked.rung + 1
    ]
    return PrescriptionPage(
        prescription=row,
        name=row.exercise.name,
        session=session.name,
        week=session.week.number,
        loads=available_loads(asked, equipment),
        swaps=(
            *(Swap(rows[one.key].pk, one.name, "one rung up on the same ladder") for one in harder),
            *(
                Swap(rows[one.key].pk, one.name, swap_reason(asked, one, limits))
                for one in found[:MOST_SWAPS]
            ),
        ),
        avoids=tuple(str(one) for one in limits if one.action is LimitAction.AVOID),
    )
