"""Where a client begins with what is new: low, where the targets are those of a higher level.

Targets of a whole block were earned by whoever trained for them. Nobody else's repetitions are
made up: they begin at the bottom of the part, and the course of the weeks stays.
"""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace

from coaching.blocks.adaptation_values import (
    ChangeKind,
    ClientMeans,
    Concern,
    LineChange,
    names_in_words,
)
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    each_line,
    lines_of,
)
from coaching.rules.block_numbers import SWAP_FEWEST_REPS
from coaching.rules.plan import Exercise, Measure, Part

_HARD_PARTS = frozenset({Part.PRIMARY, Part.SUPPLEMENTARY})
_Place = tuple[str, Part, str]


@dataclass(frozen=True)
class LowStart:
    """What a client never did of a plan, and by how many repetitions which of it comes down."""

    new: tuple[_Place, ...] = ()
    lower: Mapping[_Place, int] = field(default_factory=dict)

    def told(
        self, left: Collection[tuple[str, str]], library: Mapping[str, Exercise]
    ) -> Iterator[LineChange]:
        """In words, of what is left of the plan: pairs of a session and an exercise."""

        def names(places: Collection[_Place]) -> list[str]:
            stay = (key for session, _, key in places if (session, key) in left)
            return [library[key].name for key in dict.fromkeys(stay)]

        for least in sorted({_bottom(part) for _, part, _ in self.lower}):
            begun = names([place for place in self.lower if _bottom(place[1]) == least])
            if begun:
                begins = "begin" if begun[1:] else "begins"
                what = f"{names_in_words(begun)} {begins} at {least} repetitions"
                why = "the plan is made for a higher level, and this is new to the client"
                yield _change(what, why)
        if new := names(self.new):
            were = "were" if new[1:] else "was"
            what = f"{names_in_words(new)} {were} never planned or logged for this client"
            yield _change(what, "start with what is sure, or test it first")


def _change(what: str, why: str) -> LineChange:
    return LineChange("", "", what, what, why, what, ChangeKind.OTHER, "", Concern.LEVEL)


def low_start_of(
    plan: TemplatePlan, library: Mapping[str, Exercise], means: ClientMeans
) -> LowStart:
    """What the client never did of a plan, which comes down where it is of a higher level.

    Args:
        plan: What the client gets, in targets and loads.
        library: Exercises by key.
        means: What the client did before, and the level that the plan is made for.
    """
    if means.made_for is None:
        return LowStart()
    first: dict[_Place, TemplateLine] = {}
    for session, pair, one in lines_of(plan):
        if pair.part in _HARD_PARTS and one.exercise_key not in means.planned:
            first.setdefault((session.name, pair.part, one.exercise_key), one)
    is_higher = means.made_for > means.level
    return LowStart(tuple(first), _lowered(first, library) if is_higher else {})


def with_low_start(plan: TemplatePlan, low: LowStart) -> TemplatePlan:
    """The plan with its low start: repetitions of all weeks come down by as much as the first."""

    def line(session: TemplateSession, pair: TemplatePair, one: TemplateLine) -> TemplateLine:
        down = low.lower.get((session.name, pair.part, one.exercise_key), 0)
        least = _bottom(pair.part) if down else 0
        targets = tuple(max(min(target, least), target - down) for target in one.targets)
        return replace(one, targets=targets)

    return each_line(plan, line) if low.lower else plan


def _lowered(
    first: Mapping[_Place, TemplateLine], library: Mapping[str, Exercise]
) -> dict[_Place, int]:
    """By how many repetitions each place comes down."""
    reps = {
        place: min(line.targets) - _bottom(place[1])
        for place, line in first.items()
        if library[line.exercise_key].measure is Measure.REPS
    }
    return {place: down for place, down in reps.items() if down > 0}


def _bottom(part: Part) -> int:
    """Where repetitions of a part begin."""
    return int(SWAP_FEWEST_REPS.value(part, "fewest"))
