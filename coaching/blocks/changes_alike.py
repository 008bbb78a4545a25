"""What the drafts of several clients change alike: told once, with the names."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from coaching.blocks.adaptation_values import MOST_SHOWN, ToldChanges


@dataclass(frozen=True)
class AlikeChanges:
    """The changes that are the same for some clients, by their row ids."""

    clients: tuple[int, ...]
    words: tuple[str, ...]
    names: tuple[str, ...]

    @property
    def is_short(self) -> bool:
        """Whether a page has room to show them at once."""
        return len(self.words) <= MOST_SHOWN


def alike_changes(
    told: Mapping[int, ToldChanges], names: Mapping[int, str]
) -> tuple[AlikeChanges, ...]:
    """What is the same for two clients or more; for the most clients first.

    What must be seen, joints, level, lost muscles and time, stays with each client.
    """
    clients: dict[str, list[int]] = defaultdict(list)
    for pk, changes in told.items():
        for words in dict.fromkeys(changes.folded):
            clients[words].append(pk)
    groups: dict[tuple[int, ...], list[str]] = defaultdict(list)
    for words, found in clients.items():
        if found[1:]:
            groups[tuple(found)].append(words)
    order = sorted(groups.items(), key=lambda group: -len(group[0]))
    return tuple(
        AlikeChanges(found, tuple(words), tuple(names[pk] for pk in found))
        for found, words in order
    )
