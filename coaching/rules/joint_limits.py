"""What a client's joints allow: which exercises are left out, regressed or watched.

A joint limit is what the client told and the coach wrote down; it is no diagnosis.
Pain that is sharp, rising, above 5 of 10 or still there next morning, and a joint that
locks or gives way, belong to a licensed practitioner.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from enum import IntEnum, StrEnum

from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.loads import can_do
from coaching.rules.plan import EquipmentKind, Exercise, JointStress, PlannedSession

RULE = (
    "An exercise that loads what the client must avoid is left out, unless the coach overrides it "
    "by name; what must be regressed is done on an easier rung, or swapped; what must be watched is "
    "asked about."
)
CAUTION = (
    "A joint limit is no diagnosis. Pain that is sharp, rising, above 5 of 10 or still there next "
    "morning, numbness, or a joint that locks or gives way: stop, and refer to a licensed "
    "practitioner."
)


class LimitAction(StrEnum):
    """What a coach does about a joint limit, strictest first."""

    AVOID = "avoid"
    REGRESS = "regress"
    WATCH = "watch"


@dataclass(frozen=True)
class JointLimit:
    """One loading that a client avoids, regresses or watches; ``side`` is empty for both.

    It holds from ``since`` to the day before ``until``; without them it always did, or
    still does. ``key`` tells two limits on the same loading apart, the left side and the right.
    """

    stress: JointStress
    action: LimitAction
    side: str = ""
    note: str = ""
    since: date | None = None
    until: date | None = None
    key: int = 0

    def __str__(self) -> str:
        """Say it in words: shoulder overhead (left)."""
        return f"{self.stress} ({self.side})" if self.side else str(self.stress)

    def holds_on(self, day: date) -> bool:
        """Whether the limit counts on a day."""
        begun = self.since is None or self.since <= day
        return begun and (self.until is None or day < self.until)

    def when(self, days: Iterable[date]) -> str:
        """From when or until when it counts, where that is not on all of some days.

        >>> limit = JointLimit(JointStress.NECK, LimitAction.AVOID, since=date(2026, 12, 7))
        >>> limit.when([date(2026, 12, 1), date(2026, 12, 8)])
        ' from 7 Dec on'
        """
        days = tuple(days)
        begins = self.since if self.since and any(day < self.since for day in days) else None
        ends = self.until if self.until and any(day >= self.until for day in days) else None
        last = ends - timedelta(days=1) if ends else None
        if begins and last:
            return f" from {begins.day} {begins:%b} to {last.day} {last:%b}"
        if begins:
            return f" from {begins.day} {begins:%b} on"
        return f" until {last.day} {last:%b}" if last else ""


@dataclass(frozen=True)
class LimitOverride:
    """A coach's word that one exercise may load what a client avoids, with the reason.

    It covers those limits, by their keys, and no other: a limit written down later asks again,
    even on the same loading.
    """

    exercise: str
    limits: frozenset[int]
    by: str
    on: date
    why: str

    def __str__(self) -> str:
        """Say it in words: overridden by Ana on 3 Nov 2026: cleared by her physiotherapist."""
        return f"overridden by {self.by} on {self.on.day} {self.on:%b %Y}: {self.why}"


@dataclass(frozen=True)
class Joints:
    """What is known of one client's joints: limits of all times, and the overrides that stand."""

    limits: tuple[JointLimit, ...] = ()
    overrides: tuple[LimitOverride, ...] = ()

    def on(self, day: date) -> tuple[JointLimit, ...]:
        """The limits that count on a day; those that ended or are still to come do not."""
        return tuple(one for one in self.limits if one.holds_on(day))

    def on_any(self, days: Iterable[date]) -> tuple[JointLimit, ...]:
        """The limits that count on one or more of some days: of a plan that repeats itself."""
        days = tuple(days)
        return tuple(one for one in self.limits if any(map(one.holds_on, days)))

    def blocking(self, exercise: Exercise, day: date) -> tuple[JointLimit, ...]:
        """The limits that forbid an exercise on a day, and that no override covers."""
        return blocked_by(exercise, self.on(day), self.overrides)


class Sparing(IntEnum):
    """How a replacement treats what must be regressed, best first."""

    EASIER_RUNG = 0
    """An easier rung that does not load it."""
    LOADS_LESS = 1
    """An easier rung that loads it less."""
    SWAP = 2
    """Another exercise that does not load it."""
    RUNG_LOADS_IT = 3
    SWAP_LOADS_IT = 4

    @property
    def spares(self) -> bool:
        """Whether the limit is better off with it."""
        return self <= Sparing.SWAP


def override_for(
    exercise: Exercise, limit: JointLimit, overrides: Iterable[LimitOverride]
) -> LimitOverride | None:
    """The newest override that names an exercise and covers a limit, if there is one."""
    found = [o for o in overrides if o.exercise == exercise.key and limit.key in o.limits]
    return max(found, key=lambda one: one.on, default=None)


def blocked_by(
    exercise: Exercise, limits: Iterable[JointLimit], overrides: Collection[LimitOverride] = ()
) -> tuple[JointLimit, ...]:
    """The limits that forbid an exercise: those to avoid that it loads, in the order given.

    A limit that the coach overrode for this exercise by name does not forbid it.
    """
    return tuple(
        one
        for one in limits
        if one.action is LimitAction.AVOID
        and _loads(exercise, one)
        and override_for(exercise, one, overrides) is None
    )


def regressed_by(exercise: Exercise, limits: Iterable[JointLimit]) -> tuple[JointLimit, ...]:
    """The limits that ask for an easier rung: those to regress that an exercise loads."""
    return tuple(
        one for one in limits if one.action is LimitAction.REGRESS and _loads(exercise, one)
    )


def offered(
    exercises: Iterable[Exercise],
    limits: Collection[JointLimit],
    equipment_kinds: Collection[EquipmentKind],
    overrides: Collection[LimitOverride] = (),
) -> tuple[Exercise, ...]:
    """The exercises a client may be offered: joints allow them and the equipment is there."""
    return tuple(
        one
        for one in exercises
        if can_do(one, equipment_kinds) and not blocked_by(one, limits, overrides)
    )


def instead_of(
    exercise: Exercise,
    candidates: Iterable[Exercise],
    limits: Collection[JointLimit],
    equipment_kinds: Collection[EquipmentKind],
    overrides: Collection[LimitOverride] = (),
) -> tuple[Exercise, ...]:
    """What to do in place of an exercise, best first.

    Easier rungs of its ladder that spare what must be regressed come first, the nearest
    rung before the others; then exercises of the same pattern that spare it, those of the
    same plane before others, those that load nothing limited before others, then by how
    alike they are to coordinate; what loads it as much comes last. Harder rungs of the same ladder are no
    replacement. The same answer whatever order the candidates come in.
    """
    ranked = sorted(
        {
            (_rank(exercise, one, limits), one.key): one
            for one in offered(candidates, limits, equipment_kinds, overrides)
            if one.key != exercise.key and _comparable(exercise, one)
        }.items(),
        key=lambda entry: entry[0],
    )
    return tuple(one for _, one in ranked)


def sparing(exercise: Exercise, other: Exercise, limits: Iterable[JointLimit]) -> Sparing:
    """How another exercise treats what must be regressed, set beside an exercise.

    An easier rung loads it less when it loads fewer of those limits, or the same ones with
    a smaller share of body weight.
    """
    limits = tuple(limits)
    left = {limit.stress for limit in regressed_by(other, limits)}
    if not is_easier_rung(other, exercise):
        return Sparing.SWAP_LOADS_IT if left else Sparing.SWAP
    if not left:
        return Sparing.EASIER_RUNG
    before = {limit.stress for limit in regressed_by(exercise, limits)}
    less = left < before or (left == before and other.body_share < exercise.body_share)
    return Sparing.LOADS_LESS if less else Sparing.RUNG_LOADS_IT


_SAME_JOINT = (
    {
        JointStress.SHOULDER_OVERHEAD,
        JointStress.SHOULDER_DEEP_EXTENSION,
        JointStress.SHOULDER_STRAIGHT_ARM,
    },
    {JointStress.ELBOW_STRAIGHT_ARM, JointStress.ELBOW_FLEXED_PULL, JointStress.ELBOW_PRESS},
    {JointStress.LOWER_BACK_BENDING, JointStress.LOWER_BACK_COMPRESSION},
    {JointStress.KNEE_DEEP_FLEXION, JointStress.KNEE_IMPACT},
    {JointStress.ANKLE_DEEP_FLEXION, JointStress.ACHILLES},
)
"""Loadings of one joint; a jump is no relief for a knee that must not bend deep."""


def same_joint(stress: JointStress) -> frozenset[JointStress]:
    """All the ways in which the joint of a loading is loaded, that one among them.

    >>> sorted(same_joint(JointStress.KNEE_IMPACT))
    [<JointStress.KNEE_DEEP_FLEXION: 'knee bent deep'>, <JointStress.KNEE_IMPACT: 'knee impact'>]
    """
    return next((frozenset(joint) for joint in _SAME_JOINT if stress in joint), frozenset({stress}))


def burdens_anew(exercise: Exercise, other: Exercise, limits: Iterable[JointLimit]) -> bool:
    """Whether another exercise loads a joint with a limit in a way that this one does not."""
    limited = {limit.stress for limit in limits}
    new = set(other.joint_stresses) - set(exercise.joint_stresses)
    return any(not joint.isdisjoint(limited) and not joint.isdisjoint(new) for joint in _SAME_JOINT)


def findings_for(
    session: PlannedSession,
    limits: Collection[JointLimit],
    overrides: Collection[LimitOverride] = (),
) -> tuple[Finding, ...]:
    """What a session loads that the client must avoid, regress or watch, strictest first.

    What the coach overrode by name comes last, with who did it, when and why.
    """
    found = []
    for prescription in session.prescriptions:
        for limit in limits:
            if _loads(prescription.exercise, limit):
                finding = limit_finding(prescription.exercise, limit, overrides)
                decided = _decided(prescription.exercise, limit, overrides)
                found.append((decided is not None, _STRICTEST.index(limit.action), finding))
    return tuple(finding for *_, finding in sorted(found, key=lambda entry: entry[:2]))


def is_easier_rung(one: Exercise, than: Exercise) -> bool:
    """Whether an exercise is a rung below another on the same ladder."""
    return bool(than.ladder) and one.ladder == than.ladder and one.rung < than.rung


def _loads(exercise: Exercise, limit: JointLimit) -> bool:
    return limit.stress in exercise.joint_stresses


def _comparable(exercise: Exercise, other: Exercise) -> bool:
    if exercise.ladder and other.ladder == exercise.ladder:
        return is_easier_rung(other, exercise)
    return other.pattern is exercise.pattern


def _rank(
    exercise: Exercise, other: Exercise, limits: Collection[JointLimit]
) -> tuple[int, bool, int, int]:
    how = sparing(exercise, other, limits)
    if is_easier_rung(other, exercise):
        return (how, False, 0, exercise.rung - other.rung)
    loaded = sum(_loads(other, limit) for limit in limits)
    other_plane = other.plane is not exercise.plane
    return (how, other_plane, loaded, abs(other.complexity - exercise.complexity))


_STRICTEST = list(LimitAction)
_WHAT_TO_DO = {
    LimitAction.AVOID: "which this client avoids: swap it, or override the limit by name.",
    LimitAction.REGRESS: "which this client regresses: plan an easier rung, or swap it.",
    LimitAction.WATCH: "which this client watches: ask how it felt.",
}


def _decided(
    exercise: Exercise, limit: JointLimit, overrides: Collection[LimitOverride]
) -> LimitOverride | None:
    """The override that settles a limit to avoid; the other limits need none."""
    if limit.action is not LimitAction.AVOID:
        return None
    return override_for(exercise, limit, overrides)


def limit_finding(
    exercise: Exercise, limit: JointLimit, overrides: Collection[LimitOverride] = ()
) -> Finding:
    """That an exercise loads a limit, and what is to be done or was decided about it."""
    override = _decided(exercise, limit, overrides)
    what = f"which this client avoids; {override}" if override else _WHAT_TO_DO[limit.action]
    note = (Evidence("Note", limit.note),) if limit.note else ()
    kept = (Evidence("Override", str(override)),) if override else ()
    since = (
        (Evidence("Holds since", f"{limit.since.day} {limit.since:%b %Y}"),) if limit.since else ()
    )
    return Finding(
        kind=FindingKind.JOINT_LIMIT,
        sentence=f"{exercise.name} loads {limit}, {what}",
        evidence=(
            Evidence("Loads", str(limit.stress)),
            Evidence("Joint limit", f"{limit.action} {limit}"),
            *since,
            *note,
            *kept,
        ),
        rule=f"{RULE} {CAUTION}",
        source_key="common-practice",
        exercise=exercise.key,
        could_not_know="How the joint is today; only the client can say.",
        action=limit.action,
        about=f"{limit.action} {limit}{' decided' if override else ''}",
        question=f"How did {limit} feel during {exercise.name}, and how was it next morning?",
    )
