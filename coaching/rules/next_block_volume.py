"""Which muscles a week would put out of their range, or further out than they were, and by what.

The range of weekly sets informs and is no hard limit; a proposal leaves no muscle outside that
was inside where it can avoid it, and says so where it cannot. Common practice, no source.
"""

from collections.abc import Callable, Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

from coaching.rules.plan import Muscle, PlannedSession
from coaching.rules.set_counts import muscle_sets

MuscleSets = Mapping[Muscle, float]
"""Counted sets a week of each muscle."""

Harm = tuple[float, int]
"""By how many sets muscles are further out of their range in all, and how many left it."""
NO_HARM: Harm = (0.0, 0)


@dataclass(frozen=True)
class Kept:
    """What a week gave each muscle before, and the range that it should be in [sets a week].

    ``beside`` are muscles that are counted, but have no range.
    """

    before: MuscleSets
    low: float
    high: float
    beside: AbstractSet[Muscle] = frozenset()

    def is_within(self, sets: float) -> bool:
        """Whether so many sets are in the range."""
        return self.low <= sets <= self.high

    def further_out(self, now: MuscleSets) -> dict[Muscle, float]:
        """By how many sets each muscle is further from its range than before; nearer ones not."""
        found: dict[Muscle, float] = {}
        for muscle in (one for one in Muscle if one not in self.beside):
            was, sets = self.before.get(muscle, 0.0), now.get(muscle, 0.0)
            by = self._distance(sets) - self._distance(was)
            if by > LEAST:
                found[muscle] = by
        return found

    def harm(self, now: MuscleSets) -> Harm:
        """How much worse a week is than the one before."""
        out = self.further_out(now)
        left = sum(self.is_within(self.before.get(muscle, 0.0)) for muscle in out)
        return round(sum(out.values()), _DIGITS), left

    def _distance(self, sets: float) -> float:
        return max(self.low - sets, sets - self.high, 0.0)


LEAST, _DIGITS = 1e-9, 6
"""What only the rounding of the computer makes is no difference [sets]."""


def sets_of(sessions: Iterable[PlannedSession]) -> dict[Muscle, float]:
    """Counted sets of each muscle, in all of these sessions; warm-ups are none."""
    return muscle_sets(line for session in sessions for line in session.prescriptions)


def harm_of_cutting(
    kept: Kept, beside: Iterable[PlannedSession]
) -> Callable[[PlannedSession], Harm]:
    """What a week would come to with one of its sessions cut; ``beside`` are the others."""
    return harm_beside(kept, sets_of(beside))


def harm_beside(kept: Kept, others: MuscleSets) -> Callable[[PlannedSession], Harm]:
    """The same with the sets that the other sessions give."""

    def harm(session: PlannedSession) -> Harm:
        own = sets_of([session])
        return kept.harm({one: others.get(one, 0) + own.get(one, 0) for one in Muscle})

    return harm
