"""What an exercise is taken to be that comes into the library with a log.

A log says its pattern and its loads, perhaps its part of the session, and nothing else. The
rest is taken from the shared exercises of the pattern, always to the cautious side: it is
offered to advanced clients only, and asks of every joint what any of them asks. The coach
mends it in the library; what decides how its loads are read stays once it is logged, so an
exercise that is read wrongly here is better written in the app before the import.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from decimal import Decimal
from statistics import median, median_low

from coaching.library.models import Exercise
from coaching.library.own_exercise_checks import Values
from coaching.rules.plan import (
    Chain,
    JointStress,
    Laterality,
    Level,
    LoadKind,
    Measure,
    Part,
    Pattern,
    Plane,
)
from sessions.log_rows import LogRow

TEMPO = "3-0-1-0"
"""The usual tempo of the library."""
_ONE_JOINT = {Part.ISOLATION, Part.PREHAB}
_COMPOUND = {Pattern.PUSH, Pattern.PULL, Pattern.LEGS}
_PLANES = {Pattern.PUSH, Pattern.PULL}


def load_kind_of(rows: Iterable[LogRow]) -> LoadKind:
    """How the loads of a new exercise are read.

    External, the load alone counts, when every set has one. Added to a share of the body
    when any set was done with 0 kg: then the body was what was moved.
    """
    return LoadKind.EXTERNAL if all(row.load_kg > 0 for row in rows) else LoadKind.ADDED


def new_exercise(rows: Sequence[LogRow], pattern: Pattern, shared: Sequence[Exercise]) -> Values:
    """A new exercise as its rows describe it.

    Args:
        rows: Its rows in the log, at least one.
        pattern: What the rows say it is for.
        shared: The shared exercises of that pattern with their muscle shares, at least one.
    """
    kind = load_kind_of(rows)
    roles = {row.role for row in rows if row.role is not None}
    compound = pattern in _COMPOUND and not (roles and roles <= _ONE_JOINT)
    stresses = {word for row in shared for word in row.joint_stresses}
    return Values(
        name=rows[0].exercise,
        pattern=pattern.value,
        # Of the two planes one has to be named; taking the same for both sides keeps them facing.
        plane=(Plane.HORIZONTAL if compound and pattern in _PLANES else Plane.NONE).value,
        chain=(Chain.OPEN if kind is LoadKind.EXTERNAL else Chain.CLOSED).value,
        multi_joint=compound,
        laterality=Laterality.BILATERAL.value,
        level=Level.ADVANCED.value,
        complexity=median_low(row.complexity for row in shared),
        measure=Measure.REPS.value,
        tempo=TEMPO,
        load_kind=kind.value,
        share_percent=None if kind is LoadKind.EXTERNAL else _body_percent(shared),
        posture="",
        hands_cm=None,
        feet_cm=None,
        muscles={_main_mover(shared): Decimal(1)},
        joint_actions=[],
        joint_stresses=[stress.value for stress in JointStress if stress.value in stresses],
        asks_nothing=not stresses,
        equipment=[],
        cues=[],
        caution="",
        ladder="",
        rung=None,
    )


def _body_percent(shared: Iterable[Exercise]) -> Decimal:
    """The middle share of body weight [%] of those that move the body; all of it without any."""
    found = [row.body_share for row in shared if row.body_share > 0]
    return (100 * Decimal(median(found) if found else 1)).quantize(Decimal("0.1"))


def _main_mover(shared: Iterable[Exercise]) -> str:
    """The muscle that is most often direct in a pattern."""
    counted = Counter(
        share.muscle for row in shared for share in row.muscle_shares.all() if share.share >= 1
    )
    return counted.most_common(1)[0][0]
