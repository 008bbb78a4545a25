"""Why an exercise stays that was to give way: what is nearest to it, and what that lacks."""

from collections.abc import Collection, Mapping
from dataclasses import replace

from coaching.rules import next_block_words as words
from coaching.rules.findings import FindingKind
from coaching.rules.next_block_case import LastBlock, LineChoice, Other, Outcome
from coaching.rules.next_block_likeness import lack_of, ranked


def with_why_it_stays(
    line: LastBlock,
    found: LineChoice,
    *,
    is_due: bool,
    taken: Collection[str],
    unfit: Mapping[str, str],
) -> LineChoice:
    """What would have changed, and why it did not.

    Args:
        line: The exercise in the last block.
        found: What it becomes.
        is_due: Whether it was to change after two blocks alike.
        taken: The exercises that the block has already, by key.
        unfit: What would put a muscle out of its range, by key, in words.
    """
    has_stalled = line.trend is not None and line.trend.kind is FindingKind.STALLED
    same = found.exercise is not None and found.exercise.key == line.exercise.key
    if not same or not (has_stalled or is_due):
        return found
    told = words.STALLED_STAYS if has_stalled else words.ALIKE_STAYS
    rule = words.STALLED_RULE if has_stalled else words.ALIKE_RULE
    said = told.format(name=line.exercise.name, why=_why(line, taken, unfit))
    return replace(
        found,
        sentence=said + found.sentence,
        rule=f"{found.rule} {rule}" + (f" {words.RANGE_RULE}" if unfit else ""),
        why="nothing like it" if found.outcome is Outcome.KEEP else found.why,
    )


def _why(line: LastBlock, taken: Collection[str], unfit: Mapping[str, str]) -> str:
    if unfit:
        return words.WOULD_LEAVE_RANGE.format(unfit="; ".join(unfit.values()))
    others = ranked(line)
    like = next((one for one in others if not lack_of(line, one)), None)
    free = next((one for one in others if one.exercise.key not in taken), None)
    nearest = like or free or next(iter(others), None)
    if nearest is None:
        return words.NOTHING_ELSE
    return words.NEAREST.format(to=nearest.exercise.name, lacks=_lacks(line, nearest, taken))


def _lacks(line: LastBlock, one: Other, taken: Collection[str]) -> str:
    if one.exercise.key in taken:
        return words.IN_BLOCK
    if one.hurt:
        return words.HURT_LAST_TIME
    return lack_of(line, one)
