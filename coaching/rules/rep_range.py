"""Repetitions far outside what a part of a session is for. Common practice; novices by ACSM 2009.

Conventions:

* Primary work is done in sets of 5 to 8, supplementary in 8 to 10, isolation in 8 to 12. A few
  more or fewer are a coach's choice: told is a set ``MOST_ABOVE_TOP`` and more above, where the
  weekly step asks for another exercise too, or ``REPS_FAR_UNDER`` and more under it.
* For novices sets of 8 to 12 are recommended in all parts (ACSM 2009), so theirs reach up to 12
  everywhere; where they begin is common practice, as for all others.
* From intermediate on heavy sets of fewer repetitions are a method of their own where a load
  is added to a compound exercise: there nothing is told of few repetitions.
* A set far from all others of its exercise, which are near to one another, is told too: 12-1-12.
* A simple hold, such as a plank, is told where it is shorter than any hold begins: levers are held
  for a few seconds, a plank is not.
* Warm-up and prehab have no such range, light and test weeks are not looked at.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from coaching.rules.block_numbers import NOVICE_MOST_REPS, ODD_SET_REPS, REPS_FAR_UNDER
from coaching.rules.findings import Evidence, Finding, FindingKind, Side
from coaching.rules.numbers import HOLD_SHORTEST, HOLD_SIMPLE, MOST_ABOVE_TOP
from coaching.rules.plan import Level, LoadKind, Measure, Part, PlannedSession, Prescription
from coaching.rules.stair import Range, usual_range

RULE = (
    "Each part has its range of repetitions: with fewer an exercise is too hard to own, with more "
    f"it is time for a harder one. Told from {MOST_ABOVE_TOP.value:g} above it on, and from "
    f"{REPS_FAR_UNDER.value:g} under it: a choice of this tool. The ranges are common practice; for "
    f"novices up to {NOVICE_MOST_REPS.value:g} are recommended in every part (ACSM 2009)."
)
ODD_RULE = (
    f"One set that is {ODD_SET_REPS.value:g} repetitions and more away from all others, where those "
    "are nearer to one another, was more likely mistyped than meant: a choice of this tool."
)
HOLD_RULE = (
    f"A hold begins at {HOLD_SHORTEST.value:g} s or more; one that asks for little coordination is "
    "told where a set is shorter: a choice of this tool."
)
_NOVICE = frozenset({Level.ABSOLUTE_BEGINNER, Level.BEGINNER})
WITH_RANGE = frozenset({Part.PRIMARY, Part.SUPPLEMENTARY, Part.ISOLATION})


def range_for(part: Part, level: Level) -> Range:
    """From how many to how many repetitions a set of a part usually has at a level.

    >>> range_for(Part.PRIMARY, Level.ADVANCED), range_for(Part.PRIMARY, Level.BEGINNER)
    (Range(bottom=5, top=8, step=1), Range(bottom=5, top=12, step=1))
    """
    usual = usual_range(part, Measure.REPS)
    if level not in _NOVICE:
        return usual
    return Range(usual.bottom, max(usual.top, int(NOVICE_MOST_REPS.value)))


def has_range(one: Prescription) -> bool:
    """Whether repetitions of a line are judged: working sets that are no holds."""
    return one.part in WITH_RANGE and one.exercise.measure is Measure.REPS


def findings_for(session: PlannedSession, level: Level) -> tuple[Finding, ...]:
    """Each exercise with a set far above or far under the range of its part, in order."""
    return tuple(
        found
        for one in session.prescriptions
        if one.part in WITH_RANGE and one.targets
        for found in _found(one, level)
    )


def _found(one: Prescription, level: Level) -> tuple[Finding, ...]:
    if one.exercise.measure is Measure.SECONDS:
        return _short_hold(one)
    even = replace(one, targets=evened(one.targets))
    if even.targets != one.targets and not any(_far_outside(even, level)):
        # Only the odd set leaves the range: it is that set which was mistyped.
        return _odd(one)
    return tuple(_far_outside(one, level)) or _odd(one)


def _too_short(one: Prescription) -> int:
    is_simple = one.exercise.complexity <= HOLD_SIMPLE.value
    return max(0, int(HOLD_SHORTEST.value) - min(one.targets)) if is_simple else 0


def _short_hold(one: Prescription) -> tuple[Finding, ...]:
    under = _too_short(one)
    if not under:
        return ()
    asked = "-".join(str(seconds) for seconds in one.targets)
    found = Finding(
        kind=FindingKind.REPETITIONS,
        sentence=(
            f"{one.exercise.name} asks for {asked} s: a hold is {HOLD_SHORTEST.value:g} s or longer."
        ),
        evidence=(Evidence("Asked", f"{asked} s"),),
        rule=HOLD_RULE,
        source_key="house",
        exercise=one.exercise.key,
        could_not_know="What the client can hold, and what these sets are meant for.",
        size=under,
        about=one.part.value,
    )
    return (found,)


def evened(targets: Sequence[int]) -> tuple[int, ...]:
    """Targets with the one that is far from all others as its neighbour has it; else as they are.

    >>> evened([12, 1, 12]), evened([12, 10, 8]), evened([8, 8, 20])
    ((12, 12, 12), (12, 10, 8), (8, 8, 8))
    """
    found = list(targets)
    for at, reps in enumerate(targets):
        others = [*targets[:at], *targets[at + 1 :]]
        if len(others) > 1 and _is_far(reps, others):
            found[at] = targets[at - 1] if at else targets[1]
    return tuple(found)


def _is_far(reps: int, others: Sequence[int]) -> bool:
    least, low, high = ODD_SET_REPS.value, min(others), max(others)
    return high - low < least and max(low - reps, reps - high) >= least


def _odd(one: Prescription) -> tuple[Finding, ...]:
    apart = sum(abs(was - now) for was, now in zip(one.targets, evened(one.targets), strict=True))
    if not apart:
        return ()
    asked = "-".join(str(reps) for reps in one.targets)
    found = Finding(
        kind=FindingKind.REPETITIONS,
        sentence=f"{one.exercise.name} asks for {asked}: one set is far from the others.",
        evidence=(Evidence("Asked", f"{asked} reps"),),
        rule=ODD_RULE,
        source_key="house",
        exercise=one.exercise.key,
        could_not_know="What this set is meant for.",
        size=apart,
        about=one.part.value,
    )
    return (found,)


def reps_outside(one: Prescription, level: Level) -> int:
    """By how many repetitions the furthest set is beyond the range of the part, above or under it.

    Of a hold, how many seconds it is too short.
    """
    if one.exercise.measure is Measure.SECONDS:
        return _too_short(one)
    span = range_for(one.part, level)
    return max((_beyond(span, side, one) for side in Side), default=0)


def _beyond(span: Range, side: Side, one: Prescription) -> int:
    reps = max(one.targets) - span.top if side is Side.ABOVE else span.bottom - min(one.targets)
    return max(0, reps)


def _far_outside(one: Prescription, level: Level) -> Iterator[Finding]:
    span = range_for(one.part, level)
    if max(one.targets) >= span.top + MOST_ABOVE_TOP.value:
        yield _finding(one, level, Side.ABOVE)
    is_far = min(one.targets) <= span.bottom - REPS_FAR_UNDER.value
    if is_far and not _is_heavy(one, level):
        yield _finding(one, level, Side.UNDER)


def _is_heavy(one: Prescription, level: Level) -> bool:
    """Whether a line may be meant for few heavy repetitions."""
    is_loaded = one.exercise.load_kind is not LoadKind.NONE and one.load > 0
    return level not in _NOVICE and is_loaded and one.exercise.multi_joint


def _finding(one: Prescription, level: Level, where: Side) -> Finding:
    span = range_for(one.part, level)
    asked = "-".join(str(reps) for reps in one.targets)
    return Finding(
        kind=FindingKind.REPETITIONS,
        sentence=(
            f"{one.exercise.name} asks for {asked}: {where} what {one.part} work usually has, "
            f"{span.bottom} to {span.top} a set."
        ),
        evidence=(
            Evidence("Asked", f"{asked} reps"),
            Evidence(f"Usual, {one.part}, {level}", f"{span.bottom} to {span.top} reps a set"),
        ),
        rule=RULE,
        source_key="house",
        exercise=one.exercise.key,
        could_not_know="What the client can do in one set, and what these sets are meant for.",
        size=_beyond(span, where, one),
        side=where,
        about=f"{one.part} {where}",
    )
