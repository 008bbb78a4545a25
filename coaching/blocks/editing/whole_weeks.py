"""What became of a block's weeks as a whole: put in, taken out, moved on; told in one sentence."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, timedelta

from coaching.blocks.snapshots import Snapshot, WeekData
from coaching.blocks.words import week_kind_text, weeks_named

_LAST_DAY = timedelta(days=6)


def block_words(before: Snapshot, after: Snapshot, same: Mapping[int, int]) -> tuple[str, ...]:
    """Which weeks came, went and moved, and when the block ends now; nothing where none did.

    ``same`` has the index of each later week with its index in the earlier plan.
    """
    parts = [*_put_in(after, same), *_taken_out(before, same), *_moved(same)]
    starts = [(plan["weeks"][0]["starts_on"]) for plan in (before, after) if plan["weeks"]]
    if len(set(starts)) == len(starts) > 1:
        parts.append(f"the block starts {_day(starts[1])} (it was {_day(starts[0])})")
    ends = [_last_day(plan["weeks"]) for plan in (before, after) if plan["weeks"]]
    if len(set(ends)) == len(ends) > 1:
        parts.append(f"the block ends {ends[1]:%-d %b} (it was {ends[0]:%-d %b})")
    return ("; ".join(parts),) if parts else ()


def _put_in(after: Snapshot, same: Mapping[int, int]) -> Iterator[str]:
    new = [n for n in range(len(after["weeks"])) if n not in same]
    yield from (
        f"{words} put in as {weeks_named([n + 1 for n in numbers])}"
        for words, numbers in _by_kind(after["weeks"], new)
    )


def _taken_out(before: Snapshot, same: Mapping[int, int]) -> Iterator[str]:
    gone = [n for n in range(len(before["weeks"])) if n not in same.values()]
    yield from (
        f"{words} removed (it was {weeks_named([n + 1 for n in numbers])})"
        if len(numbers) == 1
        else f"{words} removed (they were {weeks_named([n + 1 for n in numbers])})"
        for words, numbers in _by_kind(before["weeks"], gone)
    )


def _by_kind(weeks: Sequence[WeekData], which: Sequence[int]) -> Iterator[tuple[str, list[int]]]:
    kinds: dict[str, list[int]] = {}
    for n in which:
        kinds.setdefault(week_kind_text(weeks[n]["kind"]), []).append(n)
    for kind, numbers in kinds.items():
        count = len(numbers)
        yield (f"a {kind} week" if count == 1 else f"{count} {kind} weeks"), numbers


def _moved(same: Mapping[int, int]) -> Iterator[str]:
    """Weeks that have another number now, those together that moved by as much."""
    moves: dict[int, list[int]] = {}
    for new, old in sorted(same.items()):
        if new != old:
            moves.setdefault(new - old, []).append(old + 1)
    for by, was in moves.items():
        is_now = weeks_named([n + by for n in was])
        yield f"{weeks_named(was)} {'is' if len(was) == 1 else 'are'} now {is_now}"


def _last_day(weeks: Sequence[WeekData]) -> date:
    return date.fromisoformat(weeks[-1]["starts_on"]) + _LAST_DAY


def _day(text: str) -> str:
    return f"{date.fromisoformat(text):%-d %b}"
