"""Where a client begins with what is new: low, where the targets are those of a higher level.

Targets of a whole block were earned by whoever trained for them. Nobody else's repetitions are
made up: they begin at the bottom of the part, and the course of the weeks stays.
"""

from collections.abc import Mapping
from dataclasses import replace

from coaching.blocks.adaptation_values import ChangeKind, ClientMeans, LineChange
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


def with_low_start(
    plan: TemplatePlan,
    library: Mapping[str, Exercise],
    means: ClientMeans,
    changes: list[LineChange],
) -> TemplatePlan:
    """The plan with what the client never did begun low, where it is of a higher level.

    Repetitions of all weeks come down by as much as those of the first one. What the client
    never did is named, lowered or not.

    Args:
        plan: What the client gets, in targets and loads.
        library: Exercises by key.
        means: What the client did before, and the level that the plan is made for.
        changes: Every change is added to it.
    """
    if means.made_for is None:
        return plan
    first: dict[_Place, tuple[str, TemplateLine]] = {}
    for session, pair, one in lines_of(plan):
        if pair.part in _HARD_PARTS and one.exercise_key not in means.planned:
            first.setdefault((session.name, pair.part, one.exercise_key), (pair.letter, one))
    if not first:
        return plan
    lower = _lowered(first, library) if means.made_for > means.level else {}
    for least in sorted({_bottom(part) for _, part, _ in lower}):
        names = dict.fromkeys(library[key].name for _, part, key in lower if _bottom(part) == least)
        what = f"Begun at {least} repetitions, {_listed(names)}"
        why = "the plan is made for a higher level, and this is new to the client"
        changes.append(LineChange("", "", what, what, why, what, ChangeKind.OTHER))
    changes.append(_never_done(dict.fromkeys(library[key].name for _, _, key in first)))

    def line(session: TemplateSession, pair: TemplatePair, one: TemplateLine) -> TemplateLine:
        down = lower.get((session.name, pair.part, one.exercise_key), 0)
        least = _bottom(pair.part)
        targets = tuple(max(min(target, least), target - down) for target in one.targets)
        return replace(one, targets=targets)

    return each_line(plan, line)


def _lowered(
    first: Mapping[_Place, tuple[str, TemplateLine]], library: Mapping[str, Exercise]
) -> dict[_Place, int]:
    """By how many repetitions each place comes down."""
    reps = {
        place: min(line.targets) - _bottom(place[1])
        for place, (_, line) in first.items()
        if library[line.exercise_key].measure is Measure.REPS
    }
    return {place: down for place, down in reps.items() if down > 0}


def _bottom(part: Part) -> int:
    """Where repetitions of a part begin."""
    return int(SWAP_FEWEST_REPS.value(part, "fewest"))


def _never_done(names: Mapping[str, None]) -> LineChange:
    listed = _listed(names)
    why = "start with what is sure, or test it first"
    what = f"Never planned or logged for this client, {listed}"
    return LineChange("", "", listed, listed, why, what, ChangeKind.OTHER)


def _listed(names: Mapping[str, None]) -> str:
    *more, last = names
    return f"{', '.join(more)} and {last}" if more else last
