"""What the page of ladders shows: pushing and pulling ladders around the spine."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from clients.models import User
from coaching.library.chosen_client import ChosenClient, ClientChoice
from coaching.library.listed_exercises import listed
from coaching.library.models import Exercise, Ladder
from coaching.library.pages_exercise import Rung, ladder_rungs
from coaching.library.pages_exercises import by_difficulty
from coaching.library.queries import exercises_of
from coaching.rules.plan import Pattern


@dataclass(frozen=True)
class LadderColumn:
    """One ladder with its rungs, easiest first."""

    key: str
    name: str
    purpose: str
    pattern: str
    rungs: tuple[Rung, ...]


@dataclass(frozen=True)
class LaddersPage:
    """The ladders on the two sides of the spine, and those in the middle."""

    push: tuple[LadderColumn, ...]
    pull: tuple[LadderColumn, ...]
    centre: tuple[LadderColumn, ...]

    @property
    def all(self) -> tuple[LadderColumn, ...]:
        """Every ladder."""
        return (*self.push, *self.pull, *self.centre)


def ladders_page(coach: User, choice: ClientChoice) -> LaddersPage:
    """All ladders with their rungs, on the side where most of their rungs are; 2 queries."""
    by_ladder: dict[Ladder, list[Exercise]] = {}
    for row in exercises_of(coach):
        if row.ladder is not None:
            by_ladder.setdefault(row.ladder, []).append(row)
    columns = [_column(ladder, rows, choice.first) for ladder, rows in _in_order(by_ladder)]

    def of(*patterns: Pattern) -> tuple[LadderColumn, ...]:
        return tuple(column for column in columns if column.pattern in patterns)

    return LaddersPage(
        push=of(Pattern.PUSH),
        pull=of(Pattern.PULL),
        centre=of(Pattern.LEGS, Pattern.CORE, Pattern.PREHAB),
    )


def _in_order(by_ladder: dict[Ladder, list[Exercise]]) -> list[tuple[Ladder, list[Exercise]]]:
    """Horizontal before vertical, then by how hard the first rung is."""
    patterns = list(Pattern)

    def place(entry: tuple[Ladder, list[Exercise]]) -> tuple[int, str, tuple[int, int, str]]:
        first = min(entry[1], key=lambda row: row.rung or 0)
        return (
            patterns.index(Pattern(_pattern(entry[1]))),
            first.plane,
            by_difficulty(listed(first)),
        )

    return sorted(by_ladder.items(), key=place)


def _column(ladder: Ladder, rows: Sequence[Exercise], client: ChosenClient | None) -> LadderColumn:
    rungs = ladder_rungs(rows, client=client)
    return LadderColumn(ladder.key, ladder.name, ladder.purpose, _pattern(rows), rungs)


def _pattern(rows: Sequence[Exercise]) -> str:
    return Counter(row.pattern for row in rows).most_common(1)[0][0]
