"""What a client's joints allow: which exercises are left out, regressed or watched.

A joint limit is what the client told and the coach wrote down; it is no diagnosis.
Pain that is sharp, rising, above 5 of 10 or still there next morning, and a joint that
locks or gives way, belong to a licensed practitioner.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from enum import StrEnum

from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.loads import can_do
from coaching.rules.plan import EquipmentKind, Exercise, JointStress, PlannedSession

RULE = (
    "An exercise that loads what the client must avoid is left out, unless the coach overrides it "
    "by name; what must be regressed is done on an easier rung; what must be watched is asked about."
)
CAUTION = (
    "A joint limit is no diagnosis. Pain that is sharp, rising, above 5 of 10 or still there next "
    "morning, numbness, or a joint that locks or gives way: stop, and refer to a licensed "
    "practitioner."
)


class LimitAction(StrEnum):
    """What a coach does about a joint limit, strictest first."""

    AVOID = "avoid"
    REGRESS = "regress"
    WATCH = "watch"


@dataclass(frozen=True)
class JointLimit:
    """One loading that a client avoids, regresses or watches; ``side`` is empty for both."""

    stress: JointStress
    action: LimitAction
    side: str = ""
    note: str = ""

    def __str__(self) -> str:
        """Say it in words: shoulder overhead (left)."""
        return f"{self.stress} ({self.side})" if self.side else str(self.stress)


def blocked_by(exercise: Exercise, limits: Iterable[JointLimit]) -> tuple[JointLimit, ...]:
    """The limits that forbid an exercise: those to avoid that it loads, in the order given."""
    return tuple(one for one in limits if one.action is LimitAction.AVOID and _loads(exercise, one))


def offered(
    exercises: Iterable[Exercise],
    limits: Collection[JointLimit],
    equipment_kinds: Collection[EquipmentKind],
) -> tuple[Exercise, ...]:
    """The exercises a client may be offered: joints allow them and the equipment is there."""
    return tuple(
        one for one in exercises if can_do(one, equipment_kinds) and not blocked_by(one, limits)
    )


def instead_of(
    exercise: Exercise,
    candidates: Iterable[Exercise],
    limits: Collection[JointLimit],
    equipment_kinds: Collection[EquipmentKind],
) -> tuple[Exercise, ...]:
    """What to do in place of an exercise, best first.

    Easier rungs of its ladder come first, the nearest rung before the others; then
    exercises of the same pattern and plane, those that load nothing to be regressed or
    watched before others, then by how alike they are to coordinate. Harder rungs of the
    same ladder are no replacement. The same answer whatever order the candidates come in.
    """
    ranked = sorted(
        {
            (_rank(exercise, one, limits), one.key): one
            for one in offered(candidates, limits, equipment_kinds)
            if one.key != exercise.key and _comparable(exercise, one)
        }.items(),
        key=lambda entry: entry[0],
    )
    return tuple(one for _, one in ranked)


def findings_for(session: PlannedSession, limits: Collection[JointLimit]) -> tuple[Finding, ...]:
    """What a session loads that the client must avoid, regress or watch, strictest first."""
    order = list(LimitAction)
    found = [
        (order.index(limit.action), _finding(prescription.exercise, limit))
        for prescription in session.prescriptions
        for limit in limits
        if _loads(prescription.exercise, limit)
    ]
    return tuple(finding for _, finding in sorted(found, key=lambda entry: entry[0]))


def _loads(exercise: Exercise, limit: JointLimit) -> bool:
    return limit.stress in exercise.joint_stresses


def _easier_rung(exercise: Exercise, other: Exercise) -> bool:
    return bool(exercise.ladder) and other.ladder == exercise.ladder and other.rung < exercise.rung


def _comparable(exercise: Exercise, other: Exercise) -> bool:
    if exercise.ladder and other.ladder == exercise.ladder:
        return other.rung < exercise.rung
    return (other.pattern, other.plane) == (exercise.pattern, exercise.plane)


def _rank(
    exercise: Exercise, other: Exercise, limits: Collection[JointLimit]
) -> tuple[int, int, int]:
    if _easier_rung(exercise, other):
        return (0, 0, exercise.rung - other.rung)
    loaded = sum(_loads(other, limit) for limit in limits)
    return (1, loaded, abs(other.complexity - exercise.complexity))


_WHAT_TO_DO = {
    LimitAction.AVOID: "which this client avoids: swap it, or override the limit by name.",
    LimitAction.REGRESS: "which this client regresses: plan an easier rung.",
    LimitAction.WATCH: "which this client watches: ask how it felt.",
}


def _finding(exercise: Exercise, limit: JointLimit) -> Finding:
    note = (Evidence("Note", limit.note),) if limit.note else ()
    return Finding(
        kind=FindingKind.JOINT_LIMIT,
        sentence=f"{exercise.name} loads {limit}, {_WHAT_TO_DO[limit.action]}",
        evidence=(
            Evidence("Loads", str(limit.stress)),
            Evidence("Joint limit", f"{limit.action} {limit}"),
            *note,
        ),
        rule=f"{RULE} {CAUTION}",
        source_key="common-practice",
        exercise=exercise.key,
        could_not_know="How the joint is today; only the client can say.",
        question=f"How did {limit} feel during {exercise.name}, and how was it next morning?",
    )
