"""Cases of the next block that several tests share."""

from coaching.rules.findings import Finding, FindingKind
from coaching.rules.next_block import Other
from coaching.rules.plan import (
    Tempo,
)

SLOW = Tempo.parse("3-0-1-0")


def other(exercise, **more) -> Other:
    return Other(exercise, f"trains {exercise.name}", more.pop("load", 0.0), SLOW, **more)


def stalled() -> Finding:
    return Finding(FindingKind.STALLED, "It has not moved in 6 sessions.", (), "", "house")
