"""The shared exercise library, read from the TOML files in ``catalogue/``.

The files are the one place where the shared exercises are written down; their heads
say which numbers were measured and which are rough estimates. Reading touches no
database: a service takes what is read here and stores it.
"""

from collections import Counter
from collections.abc import Collection, Iterable
from dataclasses import dataclass, fields
from pathlib import Path

from coaching.library.toml_fields import CatalogueError, Entry, read_file
from coaching.rules.plan import (
    Chain,
    EquipmentKind,
    Exercise,
    JointAction,
    JointStress,
    Laterality,
    Level,
    LoadKind,
    Measure,
    Muscle,
    MuscleShare,
    Pattern,
    Plane,
    Posture,
    Prerequisite,
)

HIGHEST_SUPPORT = 300
"""[cm] So high may a bar or box be."""

CATALOGUE = Path(__file__).parent / "catalogue"

_OWN_FIELDS = ("level", "tempo", "cues", "caution")
_EXERCISE_FIELDS = frozenset({field.name for field in fields(Exercise)} | set(_OWN_FIELDS))


@dataclass(frozen=True)
class Ladder:
    """Exercises of one movement from easiest to hardest: what it is called and is for."""

    key: str
    name: str
    purpose: str


@dataclass(frozen=True)
class SharedExercise:
    """One exercise of the shared library with what a coach tells about it.

    ``level`` is the level from which it is offered; ``tempo`` is what is prescribed
    when the coach says nothing else; ``caution`` is empty for most.
    """

    exercise: Exercise
    level: Level
    tempo: str
    cues: tuple[str, ...]
    caution: str


def read_ladders(folder: Path = CATALOGUE) -> tuple[Ladder, ...]:
    """All progression ladders, in the order of their file.

    Raises:
        CatalogueError: The file is damaged; the message names the place and the remedy.
    """
    ladders = []
    for entry in read_file(folder / "ladders.toml").entries("ladder", "ladder"):
        entry.allow_only({field.name for field in fields(Ladder)})
        ladders.append(Ladder(entry.text("key"), entry.text("name"), entry.text("purpose")))
    _refuse_twice("ladders.toml", "key", (ladder.key for ladder in ladders))
    return tuple(ladders)


def read_shared_catalogue(folder: Path = CATALOGUE) -> tuple[SharedExercise, ...]:
    """All shared exercises: pushes, pulls, legs, core, prehab, each in the order of its file.

    Raises:
        CatalogueError: A file is damaged; the message names file, exercise, field and remedy.
    """
    ladders = frozenset(ladder.key for ladder in read_ladders(folder))
    found = []
    for pattern in Pattern:
        name = f"{pattern}.toml"
        for entry in read_file(folder / name).entries("exercise", "exercise"):
            found.append(_shared_exercise(entry, ladders))
            if found[-1].exercise.pattern is not pattern:
                remedy = f"Move the exercise or write “{pattern}”."
                raise entry.fault("pattern", f"it does not belong into {name}", remedy)
    everything = [one.exercise for one in found]
    _refuse_unknown_prerequisites(everything)
    _refuse_twice("The catalogue", "key", (one.key for one in everything))
    _refuse_twice("The catalogue", "name", (one.name.casefold() for one in everything))
    rungs = (f"{one.ladder} rung {one.rung}" for one in everything if one.ladder)
    _refuse_twice("The catalogue", "rung", rungs)
    return tuple(found)


def _shared_exercise(entry: Entry, ladders: frozenset[str]) -> SharedExercise:
    entry.allow_only(_EXERCISE_FIELDS)
    return SharedExercise(
        exercise=_exercise(entry, ladders),
        level=entry.word("level", Level),
        tempo=entry.tempo("tempo"),
        cues=entry.texts("cues"),
        caution=entry.text("caution") if entry.has("caution") else "",
    )


def _exercise(entry: Entry, ladders: frozenset[str]) -> Exercise:
    ladder, rung = _place_on_ladder(entry, ladders)
    shares = entry.shares("muscles", Muscle)
    return Exercise(
        key=entry.text("key"),
        name=entry.text("name"),
        pattern=entry.word("pattern", Pattern),
        plane=entry.word("plane", Plane),
        chain=entry.word("chain", Chain),
        multi_joint=entry.flag("multi_joint"),
        laterality=entry.word("laterality", Laterality),
        body_share=entry.number("body_share", 0, 1),
        load_kind=entry.word("load_kind", LoadKind),
        measure=entry.word("measure", Measure),
        complexity=entry.whole("complexity", 1, 5),
        joint_actions=entry.words("joint_actions", JointAction),
        joint_stresses=entry.words("joint_stresses", JointStress),
        equipment=entry.words("equipment", EquipmentKind),
        muscles=tuple(MuscleShare(muscle, share) for muscle, share in shares),
        ladder=ladder,
        rung=rung,
        posture=entry.word("posture", Posture) if entry.has("posture") else None,
        hands_cm=entry.whole("hands_cm", 1, HIGHEST_SUPPORT) if entry.has("hands_cm") else 0,
        feet_cm=entry.whole("feet_cm", 1, HIGHEST_SUPPORT) if entry.has("feet_cm") else 0,
        prerequisites=_prerequisites(entry),
    )


def _prerequisites(entry: Entry) -> tuple[Prerequisite, ...]:
    asked = entry.amounts("prerequisites", 1, 600) if entry.has("prerequisites") else ()
    return tuple(Prerequisite(key, amount) for key, amount in asked)


def _place_on_ladder(entry: Entry, ladders: frozenset[str]) -> tuple[str, int]:
    if not entry.has("ladder"):
        if entry.has("rung"):
            raise entry.fault("rung", "there is no ladder to it", "Add the ladder's key.")
        return "", 0
    ladder = entry.text("ladder")
    if ladder not in ladders:
        remedy = f"Add it to ladders.toml or use one of: {', '.join(sorted(ladders))}."
        raise entry.fault("ladder", f"“{ladder}” is not known", remedy)
    return ladder, entry.whole("rung", 1, 30)


def _refuse_unknown_prerequisites(everything: Collection[Exercise]) -> None:
    known = {one.key for one in everything}
    for one in everything:
        for asked in one.prerequisites:
            if asked.exercise not in known or asked.exercise == one.key:
                message = (
                    f"Exercise “{one.key}”, field “prerequisites”: “{asked.exercise}” is no other "
                    "exercise of the catalogue. Use the key of one."
                )
                raise CatalogueError(message)


def _refuse_twice(place: str, field: str, values: Iterable[str]) -> None:
    for value, count in Counter(values).items():
        if count > 1:
            message = f"{place}, field “{field}”: “{value}” is used {count} times. Use it once."
            raise CatalogueError(message)
