"""In which order clients are put before the coach: a list of named parts that can be read aloud."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from coaching.rules.fall_numbers import OWN_DROP_SAID
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.numbers import (
    DELOAD_DUE_FROM,
    DELOAD_DUE_UNTIL,
    MISSED_SESSIONS,
    PAIN_LIMIT,
    REVIEW_DAYS,
)


@dataclass(frozen=True, slots=True)
class OrderPart:
    """One part of the order: its name, what puts a client into it, and what that means."""

    name: str
    kinds: tuple[FindingKind, ...]
    meaning: str


ORDER = (
    OrderPart(
        "May hurt",
        (FindingKind.RED_FLAG, FindingKind.PAIN, FindingKind.JOINT_LIMIT),
        "Warning words in a note or an answer, pain above "
        f"{PAIN_LIMIT.value:g} of 10 or rising, or an exercise in the plan that loads a joint the "
        "client must spare.",
    ),
    OrderPart(
        "Overreaching",
        (FindingKind.OVERREACHING,),
        "Several exercises fell together, with nothing in the plan to explain it.",
    ),
    OrderPart(
        "Not back",
        (FindingKind.NOT_BACK,),
        "Strength is lower after a light week than before it, as good as surely.",
    ),
    OrderPart(
        "Equipment missing",
        (FindingKind.EQUIPMENT,),
        "An exercise of the sessions to come needs equipment that the client does not have.",
    ),
    OrderPart(
        "Missed sessions",
        (FindingKind.MISSED,),
        f"{MISSED_SESSIONS.value:g} or more in {REVIEW_DAYS.value:g} days, or 1 or more in each of "
        "two weeks.",
    ),
    OrderPart(
        "Stalled",
        (FindingKind.EXERCISE_DROP, FindingKind.STALLED),
        "An exercise has not moved in spite of effort, which is counted, or has fallen alone, which "
        f"is told from {OWN_DROP_SAID.value:.0%} likely on.".replace("%", " %", 1),
    ),
    OrderPart(
        "Pacing",
        (FindingKind.PACING, FindingKind.EFFORT, FindingKind.LOG_MISTAKE),
        "Repetitions that collapse within an exercise, effort that rises at the same work, or a "
        "number that looks mistyped.",
    ),
    OrderPart(
        "A decision due",
        (FindingKind.DELOAD_DUE, FindingKind.BLOCK_ENDS, FindingKind.GOAL_REACHED),
        f"A light week after {DELOAD_DUE_FROM.value:g} to {DELOAD_DUE_UNTIL.value:g} weeks, a block "
        "that ends, or a goal that the log has met.",
    ),
)
"""The first part a client has something in decides; among those of one part the next parts do."""

TO_PLAN = "To plan"
TO_PLAN_MEANING = "The week went as written; who answered you comes first among these."
TIES = (
    "Whoever has something in an earlier part comes first. Among them, whoever has something in "
    "the next parts too; then what is more likely; then the name."
)

NEEDS_COACH = tuple(kind for part in ORDER for kind in part.kinds)
"""The kinds of findings that put a client before the coach, most urgent first."""

_PLACE = {kind: place for place, kind in enumerate(NEEDS_COACH)}

OrderKey = tuple[tuple[bool, ...], float]


def urgent_of(findings: Collection[Finding]) -> tuple[Finding, ...]:
    """The findings that need the coach, most urgent first."""
    found = [one for one in findings if one.kind in _PLACE]
    return tuple(sorted(found, key=lambda one: _PLACE[one.kind]))


def parts_of(findings: Collection[Finding]) -> tuple[OrderPart, ...]:
    """The parts that a client has something in, in their order."""
    kinds = {one.kind for one in findings}
    return tuple(part for part in ORDER if kinds & set(part.kinds))


def order_key(urgent: Sequence[Finding]) -> OrderKey:
    """Where a client stands: in each part or not, and how likely the first finding is.

    >>> def found(kind, probability=None):
    ...     return Finding(kind, "", (), "", "house", probability=probability)
    >>> hurt = [found(FindingKind.PAIN)]
    >>> order_key([*hurt, found(FindingKind.MISSED)]) < order_key(hurt)
    True
    >>> order_key(hurt) < order_key([found(FindingKind.OVERREACHING, 0.9)]) < order_key([])
    True
    """
    inside = parts_of(urgent)
    likely = urgent[0].probability if urgent else None
    return tuple(part not in inside for part in ORDER), -(1 if likely is None else likely)
