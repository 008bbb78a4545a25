"""What the page of one exercise shows."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Q

from clients.models import User
from coaching.library.chosen_client import ChosenClient, ClientChoice
from coaching.library.facing import ACROSS, facing
from coaching.library.listed_exercises import listed
from coaching.library.models import Exercise, ExerciseQuerySet
from coaching.library.pages_exercises import ExerciseRow, exercise_row, side_of
from coaching.library.pages_load import short_load, supports
from coaching.library.pages_search import Search
from coaching.library.prerequisite_words import PrerequisiteLine, prerequisites_in_words
from coaching.library.queries import exercise_value, exercises_of, named_exercises
from coaching.rules.plan import Chain, Laterality, LoadKind, Measure, Pattern, Plane, Tempo


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
    is_own: bool
    load: str


@dataclass(frozen=True)
class Stress:
    """A joint loading, and the search for exercises of the same kind that spare it."""

    name: str
    query: str


@dataclass(frozen=True)
class ExercisePage:
    """Everything a coach may want to know of one exercise."""

    exercise: Exercise
    side: str
    summary: str
    facts: tuple[tuple[str, str], ...]
    shares: tuple[Share, ...]
    stresses: tuple[Stress, ...]
    rungs: tuple[Rung, ...]
    easier: Rung | None
    harder: Rung | None
    counterparts: tuple[ExerciseRow, ...]
    prerequisites: tuple[PrerequisiteLine, ...]


def exercise_page(coach: User, row: Exercise, choice: ClientChoice) -> ExercisePage:
    """One exercise with its ladder and what faces it on the spine; 2 or 3 queries."""
    others = list(_beside(coach, row))
    rows = {other.key: other for other in others}
    across = facing(exercise_value(row), [exercise_value(other) for other in others])
    on_ladder = [one for one in others if row.ladder_id == one.ladder_id]
    rungs = ladder_rungs(on_ladder, here=row, client=choice.first)
    below = [rung for rung in rungs if rung.number < (row.rung or 0)]
    above = [rung for rung in rungs if rung.number > (row.rung or 0)]
    return ExercisePage(
        exercise=row,
        side=side_of(row.pattern),
        summary=_summary(row),
        facts=_facts(row),
        shares=tuple(
            Share(s.muscle, f"{float(s.share):g}", s.share >= 1) for s in row.muscle_shares.all()
        ),
        stresses=tuple(
            Stress(name, Search(pattern=row.pattern, plane=row.plane, avoids=(name,)).query)
            for name in row.joint_stresses
        ),
        rungs=rungs,
        easier=below[-1] if below else None,
        harder=above[0] if above else None,
        counterparts=tuple(exercise_row(listed(rows[other.key])) for other in across),
        prerequisites=prerequisites_in_words(row, named_exercises(coach, row.prerequisites)),
    )


def _beside(coach: User, row: Exercise) -> ExerciseQuerySet:
    """The exercises of the same ladder and those that may face it; the rest need not be read."""
    across = ACROSS.get(Pattern(row.pattern), "")
    beside = Q(pattern=across, plane=row.plane)
    if row.ladder_id is not None:
        beside |= Q(ladder=row.ladder_id)
    return exercises_of(coach).filter(beside)


def ladder_rungs(
    rows: Sequence[Exercise],
    *,
    here: Exercise | None = None,
    client: ChosenClient | None = None,
) -> tuple[Rung, ...]:
    """The rungs of a ladder, easiest first; exercises that stand on none are left out."""
    found = sorted((row for row in rows if row.rung), key=lambda row: (row.rung or 0, row.pk))
    return tuple(
        Rung(
            number=row.rung or 0,
            key=row.key,
            name=row.name,
            level=row.level,
            is_here=here is not None and row.pk == here.pk,
            is_own=row.coach_id is not None,
            load=short_load(exercise_value(row), client) if client else "",
        )
        for row in found
    )


def tempo_in_words(written: str, measure: str) -> str:
    """Four counts the way a coach says them aloud.

    >>> tempo_in_words("3-1-X-0", "reps")
    'lower 3 s, pause 1 s, lift as fast as possible'
    """
    if measure == Measure.SECONDS:
        return "a hold: every second counts"
    tempo = Tempo.parse(written)
    lift = "as fast as possible" if tempo.explosive else f"{tempo.concentric} s"
    steps = [
        f"lower {tempo.eccentric} s" if tempo.eccentric else "",
        f"pause {tempo.bottom} s" if tempo.bottom else "",
        f"lift {lift}" if tempo.explosive or tempo.concentric else "",
        f"hold {tempo.top} s" if tempo.top else "",
    ]
    return ", ".join(step for step in steps if step)


_LOADS = {
    LoadKind.NONE.value: "no load is added",
    LoadKind.ADDED.value: "load comes on top",
    LoadKind.EXTERNAL.value: "the load that is lifted",
    LoadKind.ASSISTED.value: "the help is taken off",
}
_SIDES = {
    Laterality.BILATERAL.value: "both sides together",
    Laterality.UNILATERAL.value: "one side after the other: a set is done twice",
    Laterality.ALTERNATING.value: "in alternation",
}
_CHAINS = {
    Chain.CLOSED.value: "closed: hands or feet are fixed, the body moves",
    Chain.OPEN.value: "open: hands or feet move",
}
_COORDINATION = ("very simple", "simple", "moderate", "demanding", "very demanding")


def _summary(row: Exercise) -> str:
    plane = "" if row.plane == Plane.NONE else f"{row.plane} "
    joints = "compound" if row.multi_joint else "single joint"
    hold = ", a hold" if row.measure == Measure.SECONDS else ""
    return f"{plane}{row.pattern}, {joints}{hold}, from {row.level}".capitalize()


def _moves(row: Exercise) -> str:
    share = f"about {float(row.body_share) * 100:.0f} % of body weight" if row.body_share else ""
    return "; ".join(words for words in (share, _LOADS[row.load_kind]) if words)


def _facts(row: Exercise) -> tuple[tuple[str, str], ...]:
    tempo = "" if row.measure == Measure.SECONDS else f"{row.tempo}: "
    return (
        ("Usual tempo", tempo + tempo_in_words(row.tempo, row.measure)),
        ("The muscles move", _moves(row)),
        *((("Supports", heights),) if (heights := supports(exercise_value(row))) else ()),
        ("Counted in", "seconds" if row.measure == Measure.SECONDS else "repetitions"),
        ("Sides", _SIDES[row.laterality]),
        ("Kinetic chain", _CHAINS[row.chain]),
        ("To coordinate", f"{_COORDINATION[row.complexity - 1]}, {row.complexity} of 5"),
        ("Offered from", row.level),
        ("Needs", ", ".join(row.equipment) or "a floor, a wall or a towel"),
    )
