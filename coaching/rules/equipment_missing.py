"""Exercises of a plan for which the client has no equipment any more, or never had."""

from collections.abc import Collection, Iterable

from coaching.rules.findings import Evidence, Finding, FindingKind, listed
from coaching.rules.loads import missing_equipment
from coaching.rules.plan import EquipmentKind, Exercise, PlannedSession

RULE = (
    "An exercise is planned with what the client has. What has gone since is swapped, removed, or "
    "written down again when it comes back; nothing is swapped by itself."
)


def missing_findings(
    sessions: Iterable[PlannedSession], kinds: Collection[EquipmentKind]
) -> tuple[Finding, ...]:
    """One for each kind of equipment that sessions need and the client lacks, by their order.

    ``size`` counts the places that need it, ``about`` is the kind.
    """
    found: dict[EquipmentKind, list[tuple[str, str]]] = {}
    for session in sessions:
        for one in session.prescriptions:
            for kind in missing_equipment(one.exercise, kinds):
                found.setdefault(kind, []).append((one.exercise.name, session.name))
    return tuple(_finding(kind, places) for kind, places in found.items())


def without(kind: EquipmentKind) -> str:
    """That a kind of equipment is not there.

    >>> without(EquipmentKind.DUMBBELLS), without(EquipmentKind.BENCH)
    ('There are no dumbbells', 'There is no bench')
    """
    return f"There {'are' if _are_several(kind) else 'is'} no {kind}"


def how_many_need(kind: EquipmentKind, exercises: int) -> str:
    """How many exercises need it.

    >>> how_many_need(EquipmentKind.DUMBBELLS, 8), how_many_need(EquipmentKind.BENCH, 1)
    ('8 exercises need them', '1 exercise needs one')
    """
    needs = "exercise needs" if exercises == 1 else "exercises need"
    return f"{exercises} {needs} {'them' if _are_several(kind) else 'one'}"


def needs_words(exercise: Exercise, kinds: Collection[EquipmentKind]) -> str:
    """What an exercise lacks, at its place: Needs a bench, which is not there; else empty."""
    missing = missing_equipment(exercise, kinds)
    if not missing:
        return ""
    verb = "are" if len(missing) > 1 or _are_several(missing[0]) else "is"
    return f"Needs {listed([_named(kind) for kind in missing])}, which {verb} not there"


def _named(kind: EquipmentKind) -> str:
    if _are_several(kind):
        return kind.value
    return f"{'an' if kind.value[0] in 'aeiou' else 'a'} {kind.value}"


def _are_several(kind: EquipmentKind) -> bool:
    return kind.value.endswith("s")


def _finding(kind: EquipmentKind, places: list[tuple[str, str]]) -> Finding:
    by_exercise: dict[str, list[str]] = {}
    for name, session in places:
        by_exercise.setdefault(name, []).append(session)
    return Finding(
        kind=FindingKind.EQUIPMENT,
        sentence=f"{without(kind)}: {how_many_need(kind, len(by_exercise))}.",
        evidence=tuple(
            Evidence(name, ", ".join(dict.fromkeys(sessions)))
            for name, sessions in by_exercise.items()
        ),
        rule=RULE,
        source_key="common-practice",
        could_not_know="Whether the client can borrow it, or trains elsewhere.",
        size=float(len(places)),
        about=kind.value,
    )
