"""What the page of one ladder shows: its rungs, hardest on top, with the loads of a client."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from clients.models import User
from coaching.library.chosen_client import ChosenClient, ClientChoice
from coaching.library.confidence_words import IN_GENERAL, Sure
from coaching.library.models import Exercise, Ladder
from coaching.library.pages_load import (
    LoadWords,
    compared,
    family_of,
    load_for,
    load_words,
    scale_of,
    supports,
    usual_words,
)
from coaching.library.prerequisite_words import PrerequisiteLine, prerequisites_in_words
from coaching.library.queries import exercise_value, exercises_of, named_exercises
from coaching.rules import plan
from coaching.rules.bodyweight_scales import BodyLoad, Family, Scale
from coaching.rules.findings import NoAnswer
from coaching.rules.plan import Posture

NEARLY_EQUAL = frozenset({Posture.ONE_LEG_LEVER, Posture.STRADDLE_LEVER, Posture.HALF_LAY_LEVER})
"""Levers whose moments are closer together than a posture is repeated."""

_ABOUT_EQUAL = (
    "One leg, straddle and half-lay are about equal: how far the legs open decides more "
    "than the name of the rung."
)
_ABOUT: dict[Scale, str] = {
    Scale.HANDS: (
        "What both hands together press or pull, held still and averaged over a repetition."
    ),
    Scale.SHOULDERS: (
        "How hard the weight of the body turns about the shoulders, both arms together. Ratios "
        "between rungs are surer than the figures. Planche and front lever share figures, but not "
        "the muscles: one is no measure of the other."
    ),
    Scale.HIPS: (
        "How hard the weight of both legs turns about the hips. It says nothing of how far the "
        "hamstrings must lengthen."
    ),
}
_LIFTED = "Where a load is lifted, the load that is lifted counts alone."
_USUAL_SHARE = "How much of the body is moved is known as a usual share only."
_HARDLY = "Hardly any body weight is moved."


@dataclass(frozen=True)
class LadderRung:
    """One rung: what it asks first, and what it loads of each client who is chosen."""

    number: int
    key: str
    name: str
    detail: str
    is_own: bool
    usual: str
    loads: tuple[LoadWords, ...]
    prerequisites: tuple[PrerequisiteLine, ...]
    note: str


@dataclass(frozen=True)
class RungGroup:
    """Neighbouring rungs whose loads may be compared, hardest first."""

    title: str
    family: str
    about: str
    rungs: tuple[LadderRung, ...]

    @property
    def span(self) -> str:
        """Which rungs they are: groups of one family may stand apart."""
        last, first = self.rungs[0].number, self.rungs[-1].number
        return f"rung {first}" if first == last else f"rungs {first} to {last}"


@dataclass(frozen=True)
class LadderPage:
    """One ladder from its hardest rung down."""

    ladder: Ladder
    choice: ClientChoice
    groups: tuple[RungGroup, ...]
    confidence: tuple[Sure, ...] = tuple(IN_GENERAL.values())

    @property
    def is_computed(self) -> bool:
        """Whether any rung has a load that depends on whose body it is."""
        return any(group.family for group in self.groups)

    @property
    def rungs(self) -> tuple[LadderRung, ...]:
        """Every rung, hardest first."""
        return tuple(rung for group in self.groups for rung in group.rungs)


@dataclass(frozen=True)
class _Step:
    """A rung with the loads that were found for it."""

    row: Exercise
    value: plan.Exercise
    loads: tuple[BodyLoad | NoAnswer | None, ...]

    @property
    def family(self) -> Family | None:
        return family_of(self.value)

    @property
    def is_helped(self) -> bool:
        return self.value.load_kind is plan.LoadKind.ASSISTED


def ladder_page(coach: User, ladder: Ladder, choice: ClientChoice) -> LadderPage:
    """One ladder with the coach's own rungs; 4 queries."""
    rows = sorted(
        exercises_of(coach).filter(ladder=ladder), key=lambda row: (row.rung or 0, row.pk)
    )
    values = [exercise_value(row) for row in rows]
    # Where no rung has a posture, nobody's body changes anything.
    chosen = choice.chosen if any(map(family_of, values)) else ()
    steps = [_step(row, value, chosen) for row, value in zip(rows, values, strict=True)]
    most = _ends_of_axes(steps)
    asked = named_exercises(coach, {key for row in rows for key in row.prerequisites})
    rungs = [
        (step, _rung(step, steps[:place], chosen, most, asked)) for place, step in enumerate(steps)
    ]
    return LadderPage(ladder, choice, tuple(_groups(reversed(rungs))))


def _groups(rungs: Iterable[tuple[_Step, LadderRung]]) -> Iterator[RungGroup]:
    """Neighbours of one family together; what its scale means is said where it first stands."""
    said: set[str] = set()
    for family, pairs in groupby(rungs, key=lambda pair: pair[0].family):
        found = list(pairs)
        scale = scale_of(family) if family else None
        about = _ABOUT[scale] if scale else _why_not_computed(step.value for step, _ in found)
        yield RungGroup(
            title=scale.value if scale else "Not computed",
            family=family.value if family else "",
            about="" if about in said else about,
            rungs=tuple(rung for _, rung in found),
        )
        said.add(about)


def _why_not_computed(exercises: Iterable[plan.Exercise]) -> str:
    """Each cause once, for rungs that no client's body changes."""
    causes = [
        _LIFTED
        if one.load_kind is plan.LoadKind.EXTERNAL
        else _USUAL_SHARE
        if one.body_share
        else _HARDLY
        for one in exercises
    ]
    return " ".join(dict.fromkeys(causes))


def _step(row: Exercise, value: plan.Exercise, chosen: Iterable[ChosenClient]) -> _Step:
    return _Step(row, value, tuple(load_for(value, one) for one in chosen))


def _ends_of_axes(steps: Iterable[_Step]) -> dict[Family | None, float]:
    """How far the axis of each family reaches; all clients share it."""
    most: dict[Family | None, float] = {}
    for step in steps:
        for load in step.loads:
            if isinstance(load, BodyLoad):
                most[step.family] = max(load.high, most.get(step.family, 0))
    return most


def _rung(
    step: _Step,
    below: Sequence[_Step],
    chosen: tuple[ChosenClient, ...],
    most: Mapping[Family | None, float],
    asked: Mapping[str, Exercise],
) -> LadderRung:
    row = step.row
    return LadderRung(
        number=row.rung or 0,
        key=row.key,
        name=row.name,
        detail=", ".join(word for word in (row.level, supports(step.value)) if word),
        is_own=row.coach_id is not None,
        usual=usual_words(step.value),
        loads=tuple(
            replace(_words(step, one, load, most.get(step.family, 0)), note=note)
            for one, load, note in zip(chosen, step.loads, _notes(step, below), strict=True)
        ),
        prerequisites=prerequisites_in_words(row, asked),
        note=_ABOUT_EQUAL if step.value.posture in NEARLY_EQUAL else "",
    )


def _words(
    step: _Step, one: ChosenClient, load: BodyLoad | NoAnswer | None, most: float
) -> LoadWords:
    """One load on a rung, without what is said once for the whole page."""
    if one.known is None:
        return LoadWords(client=one.client.name, reason=usual_words(step.value))
    words = load_words(step.value, one, load, most=most)
    if words.sure in {sure.meaning for sure in IN_GENERAL.values()}:
        words = replace(words, sure="")
    # How much a band or the feet take off is known only when they are chosen.
    if step.is_helped and not words.reason:
        words = replace(words, where="less the help", bar=None)
    return words


def _notes(step: _Step, below: Sequence[_Step]) -> list[str]:
    """For each client what must be known before an order is read out of their loads."""
    others = [
        one for one in below if one.family is step.family and not one.is_helped and one.family
    ]
    if not others or step.is_helped:
        return ["" for _ in step.loads]
    before = others[-1]
    return [
        compared(load, other, before.row.name)
        if isinstance(load, BodyLoad) and isinstance(other, BodyLoad)
        else ""
        for load, other in zip(step.loads, before.loads, strict=True)
    ]
