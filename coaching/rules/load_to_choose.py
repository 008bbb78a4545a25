"""A load that nobody has chosen yet: told before the client meets it as 0 kg."""

from collections.abc import Iterable, Iterator

from coaching.rules.findings import Evidence, Finding, FindingKind, listed
from coaching.rules.plan import EquipmentKind, Exercise, LoadKind, PlannedSession, Prescription

RULE = (
    "What is lifted, held or pulled against, or helps, has a load: 0 kg is none, so somebody is to "
    "choose it, with the client at the first set if need be. Body weight alone, or with a load that "
    "may be added, may stand at 0; so may a band, whose strength is seldom known in kilograms."
)

_NEED_LOAD: frozenset[str] = frozenset({LoadKind.EXTERNAL, LoadKind.ASSISTED})
_WEIGHTS: frozenset[str] = frozenset(
    {
        EquipmentKind.DUMBBELLS,
        EquipmentKind.KETTLEBELLS,
        EquipmentKind.BARBELL,
        EquipmentKind.BELT,
        EquipmentKind.VEST,
    }
)


def needs_load(exercise: Exercise) -> bool:
    """Whether an exercise is not itself without a load.

    What moves the body needs one where a weight is among what it cannot be done without: a
    goblet squat is a squat with a weight held before the chest, whereas a dip is one with or
    without a belt.
    """
    return load_is_needed(exercise.load_kind, exercise.equipment)


def load_is_needed(load_kind: str, equipment: Iterable[str]) -> bool:
    """The same by how an exercise takes a load and what it cannot be done without.

    >>> load_is_needed("added", ["dumbbells"]), load_is_needed("added", ["dip bars"])
    (True, False)
    """
    if load_kind == LoadKind.ADDED:
        return not _WEIGHTS.isdisjoint(equipment)
    return load_kind in _NEED_LOAD


def is_to_choose(exercise: Exercise, load: float) -> bool:
    """Whether a load [kg] is still to be chosen: an exercise that needs one has none.

    0 kg of a barbell, dumbbell, machine or band, or of help, is no load; for an exercise that
    moves the body, with or without a load added, it is a load like any other.
    """
    return load <= 0 and needs_load(exercise)


def is_left_open(exercise: Exercise, load: float) -> bool:
    """Whether a coach should hear of a load [kg] that is still to be chosen.

    A band is picked by how it feels: who knows its kilograms may write them, nobody has to.
    """
    return is_to_choose(exercise, load) and EquipmentKind.BANDS not in exercise.equipment


def lines_to_choose(session: PlannedSession) -> Iterator[Prescription]:
    """The prescriptions of a session with a load that a coach should still choose."""
    return (one for one in session.prescriptions if is_left_open(one.exercise, one.load))


def load_finding(session: PlannedSession) -> Finding | None:
    """That loads are to be chosen in a session; it points at the first of them."""
    found = list(lines_to_choose(session))
    if not found:
        return None
    names = list(dict.fromkeys(one.exercise.name for one in found))
    what = "load" if len(names) == 1 else "loads"
    return Finding(
        kind=FindingKind.LOAD_TO_CHOOSE,
        sentence=f"{session.name}: choose the {what} of {listed(names)}.",
        evidence=tuple(
            Evidence(one.exercise.name, f"{one.sets} sets, no load chosen yet") for one in found
        ),
        rule=RULE,
        source_key="common-practice",
        line=found[0].key,
        sessions=(session.name,),
    )
