"""What the library pages show, as frozen values."""

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

from clients.models import User
from coaching.library.models import Exercise
from coaching.library.queries import exercises_of
from coaching.rules.plan import Chain, Laterality, Level, LoadKind, Measure, Pattern, Plane

_LEVELS = [level.value for level in Level]


@dataclass(frozen=True)
class ExerciseRow:
    """One exercise in a list."""

    key: str
    name: str
    side: str
    direct: str
    indirect: str
    equipment: str
    level: str
    rung: str
    is_own: bool


@dataclass(frozen=True)
class ExerciseGroup:
    """Exercises of one pattern and plane."""

    title: str
    side: str
    rows: tuple[ExerciseRow, ...]


@dataclass(frozen=True)
class ExercisesPage:
    """What a search found, by pattern and plane."""

    groups: tuple[ExerciseGroup, ...]
    found: int
    total: int


def exercises_page(coach: User, wanted: Mapping[str, str]) -> ExercisesPage:
    """The coach's exercises that fit a search; 2 queries.

    Names are searched here and not by the database, so that accents and capitals count
    the same on every one.
    """
    rows = list(exercises_of(coach).order_by("name", "pk"))
    found = [row for row in rows if _fits(row, wanted)]
    groups: dict[tuple[str, str], list[Exercise]] = {}
    for row in found:
        groups.setdefault((row.pattern, row.plane), []).append(row)
    order = {pattern.value: place for place, pattern in enumerate(Pattern)}
    keys = sorted(groups, key=lambda key: (order[key[0]], key[1] == Plane.NONE, key[1]))
    return ExercisesPage(
        groups=tuple(
            ExerciseGroup(_title(*key), side_of(key[0]), tuple(map(_row, groups[key])))
            for key in keys
        ),
        found=len(found),
        total=len(rows),
    )


def _fits(row: Exercise, wanted: Mapping[str, str]) -> bool:
    direct = [s.muscle for s in row.muscle_shares.all() if s.share >= 1]
    level = wanted.get("level")
    checks = (
        _says(row, wanted.get("words", "")),
        wanted.get("pattern") in {"", None, row.pattern},
        wanted.get("plane") in {"", None, row.plane},
        wanted.get("muscle") in {"", None, *direct},
        wanted.get("equipment") in {"", None, *row.equipment},
        not level or _LEVELS.index(row.level) <= _LEVELS.index(level),
        wanted.get("avoids") not in row.joint_stresses,
    )
    return all(checks)


def _says(row: Exercise, words: str) -> bool:
    """Whether every word stands in the name, a muscle or the ladder."""
    text = folded(
        " ".join([row.name, *(s.muscle for s in row.muscle_shares.all()), str(row.ladder or "")])
    )
    return all(word in text for word in folded(words).split())


def folded(text: str) -> str:
    """A text without capitals, accents and hyphens, as it is searched."""
    letters = unicodedata.normalize("NFKD", text.casefold().replace("-", " "))
    return "".join(letter for letter in letters if not unicodedata.combining(letter))


def side_of(pattern: str) -> str:
    """The side of the spine that a pattern stands on; empty for the middle."""
    return pattern if pattern in {Pattern.PUSH, Pattern.PULL} else ""


def _title(pattern: str, plane: str) -> str:
    if pattern not in {Pattern.PUSH, Pattern.PULL}:
        return pattern.capitalize()
    return f"{pattern.capitalize()}, " + ("single joint" if plane == Plane.NONE else plane)


def _row(row: Exercise) -> ExerciseRow:
    shares = row.muscle_shares.all()
    return ExerciseRow(
        key=row.key,
        name=row.name,
        side=side_of(row.pattern),
        direct=", ".join(s.muscle for s in shares if s.share >= 1),
        indirect=", ".join(s.muscle for s in shares if s.share < 1),
        equipment=", ".join(row.equipment) or "nothing",
        level=row.level,
        rung=f"{row.ladder.name} {row.rung}" if row.ladder else "",
        is_own=row.coach_id is not None,
    )


@dataclass(frozen=True)
class Share:
    """What one set counts for a muscle."""

    muscle: str
    counts: str
    is_direct: bool


@dataclass(frozen=True)
class Rung:
    """One rung of a ladder."""

    number: int
    key: str
    name: str
    level: str
    is_here: bool


@dataclass(frozen=True)
class ExercisePage:
    """Everything a coach may want to know of one exercise."""

    exercise: Exercise
    side: str
    facts: tuple[tuple[str, str], ...]
    shares: tuple[Share, ...]
    rungs: tuple[Rung, ...]
    counterparts: tuple[ExerciseRow, ...]


def exercise_page(coach: User, row: Exercise) -> ExercisePage:
    """One exercise with its ladder and what faces it on the spine; 4 queries at the most."""
    others = list(exercises_of(coach).order_by("complexity", "name"))
    across = {Pattern.PUSH.value: Pattern.PULL.value, Pattern.PULL.value: Pattern.PUSH.value}
    facing = [
        other
        for other in others
        if other.pattern == across.get(row.pattern)
        and other.plane == row.plane
        and other.multi_joint == row.multi_joint
        and other.level == row.level
    ]
    rungs = sorted(
        (other for other in others if row.ladder_id and other.ladder_id == row.ladder_id),
        key=lambda other: other.rung or 0,
    )
    return ExercisePage(
        exercise=row,
        side=side_of(row.pattern),
        facts=_facts(row),
        shares=tuple(
            Share(s.muscle, f"{float(s.share):g}", s.share >= 1) for s in row.muscle_shares.all()
        ),
        rungs=tuple(
            Rung(one.rung or 0, one.key, one.name, one.level, one.pk == row.pk) for one in rungs
        ),
        counterparts=tuple(map(_row, facing[:6])),
    )


_LOADS = {
    LoadKind.NONE.value: "no load is added",
    LoadKind.ADDED.value: "load is added to body weight",
    LoadKind.EXTERNAL.value: "the load is what is lifted",
    LoadKind.ASSISTED.value: "the load is help and is taken off",
}


def _facts(row: Exercise) -> tuple[tuple[str, str], ...]:
    chain = "closed: hands or feet are fixed" if row.chain == Chain.CLOSED else "open"
    sides = "each side after the other" if row.laterality == Laterality.UNILATERAL else ""
    share = f"about {float(row.body_share):.0%} of body weight, " if row.body_share else ""
    found = (
        ("Pattern", row.pattern + (f", {row.plane}" if row.plane != Plane.NONE else "")),
        ("Kinetic chain", chain),
        ("Joints", "several" if row.multi_joint else "one"),
        ("Sides", sides or row.laterality),
        ("Moves", share + _LOADS[row.load_kind]),
        ("Counted in", "seconds of a hold" if row.measure == Measure.SECONDS else "repetitions"),
        ("Usual tempo", row.tempo),
        ("Coordination", f"{row.complexity} of 5"),
        ("From level", row.level),
        ("Needs", ", ".join(row.equipment) or "floor, wall or towel"),
        ("Joint actions", ", ".join(row.joint_actions)),
        ("Loads", ", ".join(row.joint_stresses) or "no joint in a way worth a warning"),
    )
    return tuple((label, value) for label, value in found if value)


@dataclass(frozen=True)
class LadderColumn:
    """One ladder with its rungs, easiest first."""

    key: str
    name: str
    purpose: str
    rungs: tuple[Rung, ...]


def ladders_page(coach: User) -> tuple[LadderColumn, ...]:
    """All ladders with their rungs; 2 queries."""
    columns: dict[str, list[Exercise]] = {}
    for row in exercises_of(coach).filter(ladder__isnull=False).order_by("ladder__name", "rung"):
        columns.setdefault(row.ladder.key if row.ladder else "", []).append(row)
    return tuple(
        LadderColumn(
            key=key,
            name=rows[0].ladder.name if rows[0].ladder else "",
            purpose=rows[0].ladder.purpose if rows[0].ladder else "",
            rungs=tuple(Rung(r.rung or 0, r.key, r.name, r.level, is_here=False) for r in rows),
        )
        for key, rows in columns.items()
    )
