"""What differs between two plans as plain data: it leads from one to the other, and back.

Edits are kept this way, so that a block edited a thousand times stays small.
"""

from collections.abc import Sequence
from typing import Any, TypedDict, cast

from coaching.blocks.snapshots import Snapshot

Step = str | int


class Change(TypedDict, total=False):
    """One place that differs: ``path`` leads there.

    Without ``start`` the value there was ``was`` and is ``now``; one that is left out was or is
    not there. With ``start`` it is a list of which the part ``was`` became the part ``now``.
    """

    path: list[Step]
    start: int
    was: Any
    now: Any


def delta(before: Snapshot, after: Snapshot) -> list[Change]:
    """What leads from one plan to another."""
    return _changes(before, after, [])


def applied(snapshot: Snapshot, changes: Sequence[Change]) -> Snapshot:
    """The plan after those changes; the plan given stays as it is."""
    result: Any = snapshot
    for change in changes:
        result = _changed(result, change["path"], change)
    return cast("Snapshot", result)


def reverse(changes: Sequence[Change]) -> list[Change]:
    """What leads back."""
    return [_turned(change) for change in reversed(changes)]


def _turned(change: Change) -> Change:
    turned: Change = {"path": change["path"]}
    if "start" in change:
        turned["start"] = change["start"]
    if "now" in change:
        turned["was"] = change["now"]
    if "was" in change:
        turned["now"] = change["was"]
    return turned


def _changes(was: Any, now: Any, path: list[Step]) -> list[Change]:
    if was == now:
        return []
    if isinstance(was, dict) and isinstance(now, dict):
        return _keys(was, now, path)
    if isinstance(was, list) and isinstance(now, list):
        return _items(was, now, path)
    return [{"path": path, "was": was, "now": now}]


def _keys(was: dict[str, Any], now: dict[str, Any], path: list[Step]) -> list[Change]:
    changes: list[Change] = []
    for key in [*was, *(key for key in now if key not in was)]:
        there = [*path, key]
        if key not in now:
            changes.append({"path": there, "was": was[key]})
        elif key not in was:
            changes.append({"path": there, "now": now[key]})
        else:
            changes += _changes(was[key], now[key], there)
    return changes


def _items(was: list[Any], now: list[Any], path: list[Step]) -> list[Change]:
    """Lists alike in length are compared one by one, others by the part that differs."""
    if len(was) == len(now):
        pairs = enumerate(zip(was, now, strict=True))
        return [change for i, (a, b) in pairs for change in _changes(a, b, [*path, i])]
    shorter = min(len(was), len(now))
    head = next((i for i in range(shorter) if was[i] != now[i]), shorter)
    rest = shorter - head
    tail = next((i for i in range(rest) if was[-1 - i] != now[-1 - i]), rest)
    ends = len(was) - tail, len(now) - tail
    return [{"path": path, "start": head, "was": was[head : ends[0]], "now": now[head : ends[1]]}]


def _changed(value: Any, path: Sequence[Step], change: Change) -> Any:
    """The value with what the path leads to changed; what the path does not touch is shared."""
    if not path:
        return _replaced(value, change)
    step, rest = path[0], path[1:]
    result = value.copy()
    if not rest and "start" not in change and "now" not in change:
        del result[step]
    elif not rest and "start" not in change:
        result[step] = change["now"]
    else:
        result[step] = _changed(value[step], rest, change)
    return result


def _replaced(value: Any, change: Change) -> Any:
    if "start" not in change:
        return change["now"]
    start = change["start"]
    return [*value[:start], *change["now"], *value[start + len(change["was"]) :]]
