"""What was believed of clients the last time, kept in memory: following goes on where it stopped.

A belief is known by the sessions that it rests on, as they were read: one set corrected, one weight
changed, and the client is followed anew.
"""

from collections.abc import Sequence
from copy import deepcopy
from dataclasses import dataclass

from coaching.rules.ability import Ability
from coaching.rules.log import LoggedSession

KEPT_AT_MOST = 500


@dataclass(frozen=True)
class _Kept:
    """A belief, which nobody changes, and what tells its sessions from others."""

    seen: tuple[int, ...]
    ability: Ability


_KEPT: dict[tuple[int, int], _Kept] = {}


def forget_abilities() -> None:
    """Follow everybody anew the next time."""
    _KEPT.clear()


def followed(client_id: int, sessions: Sequence[LoggedSession]) -> Ability:
    """The belief after those sessions of a client, oldest first; the caller's own."""
    seen = tuple(map(hash, sessions))
    key = (client_id, sessions[0].on.toordinal() if sessions else 0)
    kept = _KEPT.get(key)
    begun = kept is not None and seen[: len(kept.seen)] == kept.seen
    ability = deepcopy(kept.ability) if kept and begun else Ability()
    for session in sessions[len(kept.seen) if kept and begun else 0 :]:
        ability.take(session)
    # An older week that is looked at does not replace what is known since.
    if kept is None or begun or kept.seen[: len(seen)] != seen:
        if key not in _KEPT and len(_KEPT) >= KEPT_AT_MOST:
            del _KEPT[next(iter(_KEPT))]
        _KEPT[key] = _Kept(seen, deepcopy(ability))
    return ability
