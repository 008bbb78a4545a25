"""How volume runs over the weeks of a block: usual weeks that rise, light weeks that are light.

A rise of a muscle from one usual week to the next is told when it is steep; a light week when
it is not as light as is usual. How steep is too steep nobody has published: the numbers are
house choices, and what is found informs and never blocks.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import takewhile

from coaching.rules.block_numbers import VOLUME_JUMP, VOLUME_JUMP_SETS
from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.numbers import (
    DELOAD_DUE_FROM,
    DELOAD_DUE_UNTIL,
    DELOAD_SHARE,
    DELOAD_TOLERANCE,
    HOLD_SECONDS_PER_REP,
)
from coaching.rules.plan import Measure, Muscle, Part, PlannedSession, WeekKind

JUMP_RULE = (
    "Volume rises step by step: told is a rise of a muscle by more than "
    f"{VOLUME_JUMP.value:.0%} and {VOLUME_JUMP_SETS.value:g} sets from one usual week to the next."
)
LIGHT_RULE = (
    f"A light week has about {DELOAD_SHARE.value:.0%} of the repetitions of the usual week before "
    f"it, {HOLD_SECONDS_PER_REP.value:g} s of a hold counted as one. Told is a share more than "
    f"{100 * DELOAD_TOLERANCE.value:g} points away, a choice of this tool."
)

TWO_LIGHT_RULE = "One light week takes tiredness away; a second one in a row costs what was built."
LONG_RULE = (
    f"A light week is due after {DELOAD_DUE_FROM.value:.0f} to {DELOAD_DUE_UNTIL.value:.0f} weeks; "
    "blocks are as long."
)


@dataclass(frozen=True, slots=True)
class WeekVolume:
    """One week of a course: its number and kind, fractional sets per muscle, ``work`` [reps]."""

    number: int
    kind: WeekKind
    sets: Mapping[Muscle, float]
    work: float


def session_work(session: PlannedSession) -> float:
    """Work of a session in repetitions, holds counted by their seconds, warm-up left out."""
    return sum(
        sum(one.targets) / (HOLD_SECONDS_PER_REP.value if _is_hold(one.exercise.measure) else 1)
        for one in session.prescriptions
        if one.part is not Part.WARM_UP
    )


def light_share(weeks: Sequence[WeekVolume], number: int) -> float | None:
    """Which share of the usual week before it a light week holds; none where there is none."""
    (light,) = (one for one in weeks if one.number == number)
    usual = [w for w in weeks if w.number < number and w.kind is WeekKind.BUILD and w.work]
    if light.kind is not WeekKind.DELOAD or not usual:
        return None
    return light.work / usual[-1].work


def course_findings(weeks: Sequence[WeekVolume], number: int) -> tuple[Finding, ...]:
    """What is told of one week: steep rises, and a light week that is not light."""
    (week,) = (one for one in weeks if one.number == number)
    return (*_jumps(weeks, week), *_not_light(weeks, week))


def _jumps(weeks: Sequence[WeekVolume], week: WeekVolume) -> Iterator[Finding]:
    before = [w for w in weeks if w.number < week.number and w.kind is WeekKind.BUILD]
    if week.kind is not WeekKind.BUILD or not before:
        return
    usual = before[-1]
    steep = [
        (muscle, usual.sets.get(muscle, 0.0), now)
        for muscle, now in week.sets.items()
        if is_steep(usual.sets.get(muscle, 0.0), now)
    ]
    if steep:
        words = ", ".join(f"{muscle.value} {was:g} to {now:g}" for muscle, was, now in steep)
        yield Finding(
            kind=FindingKind.VOLUME_COURSE,
            sentence=f"Sets rise steeply from week {usual.number}: {words}.",
            evidence=tuple(
                Evidence(muscle.value.capitalize(), f"{was:g} sets, then {now:g}")
                for muscle, was, now in steep
            ),
            rule=JUMP_RULE,
            source_key="house",
            could_not_know="What the client did before, outside this block.",
            size=sum(now - was for _, was, now in steep),
        )


def is_steep(was: float, now: float) -> bool:
    """Whether a muscle's weekly sets rise steeply; one that starts anew does not count.

    >>> is_steep(8, 13), is_steep(8, 12), is_steep(2, 5), is_steep(0, 10)
    (True, False, False, False)
    """
    rise = now - was
    return was > 0 and rise > VOLUME_JUMP.value * was and rise > VOLUME_JUMP_SETS.value


def _not_light(weeks: Sequence[WeekVolume], week: WeekVolume) -> Iterator[Finding]:
    share = light_share(weeks, week.number)
    if share is None or abs(share - DELOAD_SHARE.value) <= DELOAD_TOLERANCE.value:
        return
    yield Finding(
        kind=FindingKind.VOLUME_COURSE,
        sentence=(
            f"A light week keeps about {DELOAD_SHARE.value:.0%} of the usual repetitions; "
            f"this one keeps {share:.0%}."
        ),
        evidence=(
            Evidence("This week", f"{week.work:.0f} reps"),
            Evidence("Usual for a light week", f"{DELOAD_SHARE.value:.0%}"),
        ),
        rule=LIGHT_RULE,
        source_key="house",
        could_not_know="How tired the client is.",
        size=abs(share - DELOAD_SHARE.value),
    )


def row_findings(
    kinds: Sequence[WeekKind], number: int, following: WeekKind | None = None
) -> Iterator[Finding]:
    """What is told of a week by the kinds of the weeks up to it: light ones in a row, or none for long.

    ``following`` is the kind of the week after it: two light ones are told at both.
    """
    kind, before = kinds[number - 1], kinds[: number - 1]
    if kind is WeekKind.DELOAD:
        beside = (before[-1] if before else None, following)
        for first, other in zip((number - 1, number), beside, strict=True):
            if other is WeekKind.DELOAD:
                yield _two_light(first)
    hard = list(takewhile(lambda one: one is not WeekKind.DELOAD, reversed(kinds[:number])))
    if len(hard) == DELOAD_DUE_UNTIL.value + 1:
        yield _row(
            f"{len(hard)} weeks in a row without a light one: after "
            f"{DELOAD_DUE_UNTIL.value:.0f} it is due.",
            LONG_RULE,
            Evidence("In a row", f"{len(hard)} weeks"),
        )


def _two_light(first: int) -> Finding:
    return _row(
        f"Weeks {first} and {first + 1} are both light weeks: one at a time is usual.",
        TWO_LIGHT_RULE,
        Evidence("In a row", "2 light weeks"),
    )


def length_words(weeks: int) -> str:
    """That a block is longer than is usual; empty where it is not.

    >>> length_words(6), length_words(8)
    ('', '8 weeks: blocks usually last 4 to 6.')
    """
    low, high = DELOAD_DUE_FROM.value, DELOAD_DUE_UNTIL.value
    return f"{weeks} weeks: blocks usually last {low:.0f} to {high:.0f}." if weeks > high else ""


def _row(sentence: str, rule: str, evidence: Evidence) -> Finding:
    return Finding(
        kind=FindingKind.VOLUME_COURSE,
        sentence=sentence,
        evidence=(evidence,),
        rule=rule,
        source_key="common-practice",
        could_not_know="How tired the client is.",
    )


def _is_hold(measure: Measure) -> bool:
    return measure is Measure.SECONDS
