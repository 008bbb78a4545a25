"""The choices of a next block that keep muscles in their range where they can."""

from collections.abc import Iterator, Mapping

from coaching.blocks import charts
from coaching.blocks.snapshots import Line
from coaching.rules import plan
from coaching.rules.next_block import LastBlock, LineChoice, Outcome, next_block
from coaching.rules.next_block_volume import LEAST, Kept
from sessions.next_block_reading import NextReading
from sessions.next_block_sets import kept_of


def fitting_choices(
    reading: NextReading, lines: Mapping[str, LastBlock], wished: Mapping[str, str]
) -> dict[str, LineChoice]:
    """The choices of which none comes in for variety that puts a muscle out of its range.

    Of those that do so together the one that does the most gives way, until none is left.
    """
    kept, unfit = kept_of(reading), dict[str, dict[str, str]]()
    while True:
        choices = next_block(lines, wished, unfit)
        worst = _worst(reading, kept, choices, wished, unfit)
        if worst is None:
            return choices
        key, exercise, why = worst
        unfit.setdefault(key, {})[exercise] = why


def _worst(
    reading: NextReading,
    kept: Kept,
    choices: Mapping[str, LineChoice],
    wished: Mapping[str, str],
    unfit: Mapping[str, Mapping[str, str]],
) -> tuple[str, str, str] | None:
    """The swap that takes a muscle furthest out of its range, with what it would do."""
    changes = changes_by(reading, choices)
    now = dict(kept.before)
    for one in changes.values():
        for muscle, by in one.items():
            now[muscle] = now.get(muscle, 0.0) + by
    out = kept.further_out(now)
    inside = {one for one in out if kept.is_within(kept.before.get(one, 0.0))}
    for muscle in sorted(out, key=lambda one: (one not in inside, -out[one])):
        sign = 1 if now.get(muscle, 0.0) > kept.high else -1
        blamed = sorted(
            (-sign * by[muscle], key)
            for key, by in changes.items()
            if sign * by.get(muscle, 0.0) > LEAST
            and _may_give_way(choices[key], wished.get(key, ""), unfit.get(key, {}))
        )
        if blamed:
            key = blamed[0][1]
            return key, *_why(choices[key], muscle, now.get(muscle, 0.0), kept)
    return None


def _why(choice: LineChoice, muscle: plan.Muscle, sets: float, kept: Kept) -> tuple[str, str]:
    """The exercise that comes in, by its key, and what it would do in words."""
    key, name = (choice.exercise.key, choice.exercise.name) if choice.exercise else ("", "none")
    said = f"with {name} {muscle.value} {charts.sets_text(sets)} sets"
    span = f"{charts.sets_text(kept.low)} to {charts.sets_text(kept.high)}"
    return key, f"{said}, the range is {span}"


def _may_give_way(choice: LineChoice, wish: str, unfit: Mapping[str, str]) -> bool:
    swapped = choice.outcome is Outcome.SWAP and choice.exercise is not None
    return swapped and not wish and choice.exercise is not None and choice.exercise.key not in unfit


def changes_by(
    reading: NextReading, choices: Mapping[str, LineChoice]
) -> dict[str, dict[plan.Muscle, float]]:
    """What each choice gives and takes, in all the lines that it stands for."""
    found: dict[str, dict[plan.Muscle, float]] = {}
    for _session, pair, line, key in reading.places():
        if pair["part"] == plan.Part.WARM_UP.value:
            continue
        change = found.setdefault(key, {})
        for exercise, sets in _both(reading, line, choices[key]):
            for share in exercise.muscles:
                change[share.muscle] = change.get(share.muscle, 0.0) + share.share * sets
    return found


def _both(
    reading: NextReading, line: Line, choice: LineChoice
) -> Iterator[tuple[plan.Exercise, int]]:
    """What a line was, taken, and what it becomes, given."""
    own, to = reading.exercise_of(line), choice.exercise
    if to != own:
        yield own, -len(line["targets"])
        if to is not None:
            yield to, len(choice.targets)
