"""Whether each muscle gets enough work in a week: counted sets against a range."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from enum import StrEnum

from coaching.rules.findings import Evidence, Finding, FindingKind, Side
from coaching.rules.numbers import WEEKLY_SETS_HIGH, WEEKLY_SETS_LOW, WEEKLY_SETS_MINIMUM
from coaching.rules.plan import Level, Muscle, WeekKind
from coaching.rules.register import Number
from coaching.rules.volume import MuscleVolume


def weekly_range(level: Level) -> tuple[float, float]:
    """From how many to how many fractional sets a week a muscle should get.

    A beginner grows on the smallest dose that was found to work, so the range
    starts there; from intermediate on it starts where more was found better. It ends
    at the same place for all, which was published for trained men. The three numbers are
    published for weekly sets; which level starts where, and that they hold for sets counted by
    shares, is a house choice. None of them is a hard limit.
    """
    return _lowest(level).value, WEEKLY_SETS_HIGH.value


class VolumeVerdict(StrEnum):
    """What a muscle's weekly volume is called."""

    TOO_SMALL = "below the smallest dose"
    BELOW = "below the range"
    WITHIN = "in the range"
    ABOVE = "above the range"
    LIGHT_BY_PLAN = "light by plan"


@dataclass(frozen=True, slots=True)
class VolumeLine:
    """One muscle's week in fractional sets: planned, done, and the range it should be in.

    ``done`` is none when only a plan is judged.
    """

    muscle: Muscle
    planned: float
    done: float | None
    low: float
    high: float
    verdict: VolumeVerdict


def judge_volume(
    planned: Mapping[Muscle, MuscleVolume],
    done: Mapping[Muscle, MuscleVolume] | None,
    *,
    level: Level,
    must_grow: Collection[Muscle] = (),
    kind: WeekKind = WeekKind.BUILD,
) -> list[VolumeLine]:
    """Each muscle's week against its range; what was done is judged, else the plan.

    Args:
        planned: Volume of the planned week.
        done: Volume of the logged week, none before it is over.
        level: The client's level, which sets the range.
        must_grow: Muscles that are shown even when they get nothing.
        kind: A deload or test week is light by plan and is not judged.

    Returns:
        Lines in the order of ``Muscle``.
    """
    low, high = weekly_range(level)
    lines = []
    for muscle in Muscle:
        if muscle not in planned and muscle not in (done or {}) and muscle not in must_grow:
            continue
        asked = _fractional(planned, muscle)
        got = None if done is None else _fractional(done, muscle)
        verdict = (
            _verdict(asked if got is None else got, low, high)
            if kind is WeekKind.BUILD
            else VolumeVerdict.LIGHT_BY_PLAN
        )
        lines.append(VolumeLine(muscle, asked, got, low, high, verdict))
    return lines


def volume_finding(
    line: VolumeLine, planned: MuscleVolume | None, level: Level, elsewhere: str = ""
) -> Finding:
    """That a muscle's planned week is outside its range, with the count and where the range is from.

    Args:
        line: The muscle's week against its range.
        planned: What the week asks of it, none where it has no set.
        level: The client's level, which sets the range.
        elsewhere: Where a muscle without a set has some, in words.
    """
    direct, assisting = (planned.direct_sets, planned.indirect_sets) if planned else (0, 0)
    count = f"{line.planned:g} sets" if line.planned else "no set this week"
    above = line.planned > line.high
    where = Side.ABOVE if above else Side.UNDER
    source = WEEKLY_SETS_HIGH if above else _lowest(level)
    return Finding(
        kind=FindingKind.MUSCLE_VOLUME,
        sentence=(
            f"{line.muscle.value.capitalize()}: {count}, {where} the range of "
            f"{line.low:g} to {line.high:g}{f'; {elsewhere}' if elsewhere else ''}."
        ),
        evidence=(
            Evidence("As main mover", f"{direct} sets"),
            Evidence("Assisting", f"{assisting} sets"),
            Evidence("Counted", f"{line.planned:g} sets"),
            Evidence(f"Range, {level.value}", f"{line.low:g} to {line.high:g} sets a week"),
        ),
        rule=f"{_RULE} {source.meaning}.",
        source_key=source.source_key,
        could_not_know="Whether this muscle is meant to grow in this block.",
        size=line.planned - line.high if above else line.low - line.planned,
        muscle=line.muscle,
        side=where,
        about=where,
    )


_RULE = (
    "A set counts 1 for the main mover and its share, usually 0.5, for a muscle that assists. The "
    "range informs and is no hard limit."
)


def _lowest(level: Level) -> Number:
    is_new = level in {Level.ABSOLUTE_BEGINNER, Level.BEGINNER}
    return WEEKLY_SETS_MINIMUM if is_new else WEEKLY_SETS_LOW


def _fractional(volumes: Mapping[Muscle, MuscleVolume], muscle: Muscle) -> float:
    return volumes[muscle].fractional_sets if muscle in volumes else 0.0


def _verdict(sets: float, low: float, high: float) -> VolumeVerdict:
    if sets < WEEKLY_SETS_MINIMUM.value:
        return VolumeVerdict.TOO_SMALL
    if sets < low:
        return VolumeVerdict.BELOW
    return VolumeVerdict.WITHIN if sets <= high else VolumeVerdict.ABOVE
