"""Exercises as a search reads them: plain values, because rows and their shares cost too much."""

from collections import defaultdict
from dataclasses import dataclass

from clients.models import User
from coaching.library.models import Exercise, MuscleShare

_PLAIN = ("pk", "key", "name", "pattern", "plane", "level", "complexity", "measure", "rung")
_TURNED = ("equipment", "joint_stresses", "ladder__key", "ladder__name", "coach_id")


@dataclass(frozen=True, slots=True)
class ListedExercise:
    """What a list shows of an exercise and what a search asks about it."""

    pk: int
    key: str
    name: str
    pattern: str
    plane: str
    level: str
    complexity: int
    measure: str
    equipment: tuple[str, ...]
    joint_stresses: tuple[str, ...]
    rung: int | None
    ladder_key: str
    ladder_name: str
    is_own: bool
    direct: tuple[str, ...]
    indirect: tuple[str, ...]

    @property
    def called(self) -> str:
        """What it is called: its name, its ladder, and its key, which may hold another name."""
        return " ".join((self.name, self.ladder_name, self.key))

    @property
    def text(self) -> str:
        """All words that it is found by."""
        return " ".join((self.called, self.pattern, *self.direct, *self.indirect))


def listed(row: Exercise) -> ListedExercise:
    """An exercise row with its shares and ladder fetched; no query."""
    shares = row.muscle_shares.all()
    return ListedExercise(
        pk=row.pk,
        key=row.key,
        name=row.name,
        pattern=row.pattern,
        plane=row.plane,
        level=row.level,
        complexity=row.complexity,
        measure=row.measure,
        equipment=tuple(row.equipment),
        joint_stresses=tuple(row.joint_stresses),
        rung=row.rung,
        ladder_key=row.ladder.key if row.ladder else "",
        ladder_name=row.ladder.name if row.ladder else "",
        is_own=row.coach_id is not None,
        direct=tuple(share.muscle for share in shares if share.share >= 1),
        indirect=tuple(share.muscle for share in shares if share.share < 1),
    )


def listed_exercises(coach: User) -> list[ListedExercise]:
    """The exercises a coach can prescribe, by name; 2 queries."""
    rows = Exercise.objects.of_coach(coach).in_use()
    direct, indirect = _muscles(coach)
    return [
        ListedExercise(
            **values,
            equipment=tuple(equipment),
            joint_stresses=tuple(stresses),
            ladder_key=ladder_key or "",
            ladder_name=ladder_name or "",
            is_own=owner is not None,
            direct=tuple(direct[values["pk"]]),
            indirect=tuple(indirect[values["pk"]]),
        )
        for values, (equipment, stresses, ladder_key, ladder_name, owner) in (
            (dict(zip(_PLAIN, row, strict=False)), row[len(_PLAIN) :])
            for row in rows.values_list(*_PLAIN, *_TURNED)
        )
    ]


def _muscles(coach: User) -> tuple[dict[int, list[str]], dict[int, list[str]]]:
    """The direct and the indirect muscles by exercise, in the order in which rows have them."""
    direct: dict[int, list[str]] = defaultdict(list)
    indirect: dict[int, list[str]] = defaultdict(list)
    rows = MuscleShare.objects.filter(exercise__in=Exercise.objects.of_coach(coach).in_use())
    # The exercises' own order plays no part, and joining them only to sort costs time.
    for pk, muscle, share in rows.order_by("-share", "muscle").values_list(
        "exercise_id", "muscle", "share"
    ):
        (direct if share >= 1 else indirect)[pk].append(muscle)
    return direct, indirect
