"""What the list of exercises shows: pushing and pulling around the spine, the rest below."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from clients.models import User
from coaching.library.listed_exercises import ListedExercise, listed_exercises
from coaching.library.pages_search import Search
from coaching.rules.plan import Level, Measure, Pattern, Plane

_LEVELS = [level.value for level in Level]
_PLANES = (
    (Plane.HORIZONTAL, "Horizontal"),
    (Plane.VERTICAL, "Vertical"),
    (Plane.NONE, "Single joint"),
)
_CENTRE = ((Pattern.LEGS, "Legs"), (Pattern.CORE, "Core"), (Pattern.PREHAB, "Prehab"))


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
    rung: int | None
    is_hold: bool
    is_own: bool


@dataclass(frozen=True)
class RowGroup:
    """Exercises of one ladder, easiest rung first, or those that stand on none."""

    title: str
    ladder: str
    rows: tuple[ExerciseRow, ...]


@dataclass(frozen=True)
class Side:
    """What stands on one side of the spine, or in its middle."""

    side: str
    title: str
    count: int
    groups: tuple[RowGroup, ...]


@dataclass(frozen=True)
class Facing:
    """Pushes and pulls of one plane, facing each other."""

    title: str
    sides: tuple[Side, Side]


@dataclass(frozen=True)
class Wider:
    """A search without one of its conditions, and what it would find."""

    without: str
    query: str
    count: int


@dataclass(frozen=True)
class FoundPart:
    """Found exercises around the spine; ``how`` says by what, where there are two parts."""

    how: str
    facing: tuple[Facing, ...]
    centre: tuple[Side, ...]


@dataclass(frozen=True)
class ExercisesPage:
    """What a search found, the best first; ``wider`` helps when that is nothing."""

    search: Search
    found: int
    total: int
    parts: tuple[FoundPart, ...]
    wider: tuple[Wider, ...]

    @property
    def rows(self) -> tuple[ExerciseRow, ...]:
        """Everything that was found, in the order of the page."""
        sides = [side for part in self.parts for side in _sides(part)]
        groups = [group for side in sides for group in side.groups]
        return tuple(row for group in groups for row in group.rows)


def exercises_page(coach: User, search: Search) -> ExercisesPage:
    """The coach's exercises that fit a search; 2 queries.

    Searched here and not by the database, so that accents, capitals and lists count the
    same on every one.
    """
    rows = listed_exercises(coach)
    found = [row for row in rows if search.fits(row)]
    return ExercisesPage(
        search=search,
        found=len(found),
        total=len(rows),
        parts=tuple(_parts(found, search)),
        wider=() if found else _wider(rows, search),
    )


def exercise_row(row: ListedExercise) -> ExerciseRow:
    """An exercise as a line of a list."""
    return ExerciseRow(
        key=row.key,
        name=row.name,
        side=side_of(row.pattern),
        direct=", ".join(row.direct),
        indirect=", ".join(row.indirect),
        equipment=", ".join(row.equipment) or "no equipment",
        level=row.level,
        rung=row.rung,
        is_hold=row.measure == Measure.SECONDS,
        is_own=row.is_own,
    )


def side_of(pattern: str) -> str:
    """The side of the spine that a pattern stands on; empty for the middle."""
    return str(pattern) if pattern in {Pattern.PUSH, Pattern.PULL} else ""


def by_difficulty(row: ListedExercise) -> tuple[int, int, str]:
    """Easiest first: by level, then by how hard it is to coordinate, then by name."""
    return (_LEVELS.index(row.level), row.complexity, row.name.casefold())


def _parts(found: Sequence[ListedExercise], search: Search) -> Iterator[FoundPart]:
    """What is called so before what only trains it."""
    named = [row for row in found if search.names(row)]
    others = [row for row in found if not search.names(row)]
    if named:
        yield _part(named, "")
    if others:
        yield _part(others, "by what it trains" if named else "")


def _part(found: Sequence[ListedExercise], how: str) -> FoundPart:
    facing = tuple(_facing(found, plane, title) for plane, title in _PLANES)
    centre = tuple(
        _side("", title, [row for row in found if row.pattern == pattern])
        for pattern, title in _CENTRE
    )
    return FoundPart(
        how,
        tuple(one for one in facing if any(side.count for side in one.sides)),
        tuple(one for one in centre if one.count),
    )


def _sides(part: FoundPart) -> tuple[Side, ...]:
    return (*(side for plane in part.facing for side in plane.sides), *part.centre)


def _facing(found: Sequence[ListedExercise], plane: Plane, title: str) -> Facing:
    def of(pattern: Pattern, name: str) -> Side:
        rows = [row for row in found if row.pattern == pattern and row.plane == plane]
        return _side(pattern.value, name, rows)

    return Facing(title, (of(Pattern.PUSH, "Push"), of(Pattern.PULL, "Pull")))


def _side(side: str, title: str, rows: Sequence[ListedExercise]) -> Side:
    ladders: dict[str, list[ListedExercise]] = {}
    for row in sorted(rows, key=by_difficulty):
        ladders.setdefault(row.ladder_key, []).append(row)
    off = ladders.pop("", [])
    groups = [_ladder_group(key, on) for key, on in ladders.items()]
    if off:
        groups.append(RowGroup("On no ladder", "", tuple(map(exercise_row, off))))
    return Side(side, title, len(rows), tuple(groups))


def _ladder_group(key: str, on: Iterable[ListedExercise]) -> RowGroup:
    rungs = sorted(on, key=lambda row: (row.rung or 0, row.pk))
    return RowGroup(f"{rungs[0].ladder_name} ladder", key, tuple(map(exercise_row, rungs)))


def _wider(rows: Sequence[ListedExercise], search: Search) -> tuple[Wider, ...]:
    """Which single condition keeps everything out, the most helpful first."""
    ways = [
        Wider(words, wider.query, sum(wider.fits(row) for row in rows))
        for words, wider in search.conditions()
    ]
    return tuple(sorted((w for w in ways if w.count), key=lambda w: -w.count))
