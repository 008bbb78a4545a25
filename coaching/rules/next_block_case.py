"""How one exercise stood in a block, and what it may become."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.joint_limits import JointLimit
from coaching.rules.numbers import PAIN_LIMIT
from coaching.rules.plan import Exercise, JointStress, Level, Prescription, Tempo
from coaching.rules.progression import Exposure, NextTarget, Step
from coaching.rules.stand_in import NOTHING, Known


class Outcome(StrEnum):
    """What becomes of one exercise in the next block."""

    KEEP = "keep"
    STEP_UP = "step up"
    STEP_BACK = "step back"
    SWAP = "swap"
    LEAVE_OUT = "leave out"


@dataclass(frozen=True)
class Other:
    """An exercise that may take the place of another, with the load to begin with [kg].

    ``tempo`` is its own; ``levels_apart`` says how many levels of client lie between the two;
    ``load_known`` that the load follows from the client's own log of it, ``load_from`` how in
    words, ``load_equal`` that the load makes it as heavy for the muscles as the exercise in whose
    place it comes; ``hurt`` that it hurt above the limit when it was last done.
    """

    exercise: Exercise
    reason: str
    load: float
    tempo: Tempo
    levels_apart: int = 0
    load_known: bool = False
    load_equal: bool = False
    load_from: str = ""
    hurt: bool = False


@dataclass(frozen=True)
class LastBlock:
    """How one exercise stood in the last block, and what could be in its place.

    ``target`` is what the log asks for next, none when it was not trained; ``rung`` is the exercise
    that target changes to, if it does; ``following`` is what would be asked after a target that
    the block holds already. ``forbidden`` says why the exercise cannot be done any
    more; ``sore`` that it loads a joint that hurt in another one; ``hurt_on`` on which days the
    exercise hurt in another line of the block, ``sore_joints`` what those load that hurt; ``held``
    that strength falls for a cause that another exercise does not cure; ``limits`` are those that
    hold on one of the ``days`` on which it would stand, ``known`` the levels of client and exercises. ``others`` holds only what
    equipment, joints and level allow.
    """

    asked: Prescription
    exposures: tuple[Exposure, ...] = ()
    target: NextTarget | None = None
    rung: Exercise | None = None
    following: NextTarget | None = None
    trend: Finding | None = None
    blocks_alike: int = 1
    serves_goal: bool = False
    forbidden: str = ""
    held: bool = False
    limits: tuple[JointLimit, ...] = ()
    days: Collection[date] = ()
    known: Known = NOTHING
    level: Level = Level.INTERMEDIATE
    others: tuple[Other, ...] = ()
    body_weight: float | None = None
    sore: bool = False
    hurt_on: frozenset[date] = frozenset()
    sore_joints: frozenset[JointStress] = frozenset()

    @property
    def exercise(self) -> Exercise:
        """The exercise it is about."""
        return self.asked.exercise

    @property
    def hurt(self) -> int:
        """On how many days of the block the exercise hurt above the limit, wherever it stood."""
        return len(self.own_hurt_on | self.hurt_on)

    @property
    def own_hurt_on(self) -> frozenset[date]:
        """On which days it hurt above the limit here."""
        return frozenset(one.on for one in self.exposures if self._worst(one) > PAIN_LIMIT.value)

    def _worst(self, exposure: Exposure) -> int:
        mine = (one for one in exposure.sets if one.exercise.key == self.exercise.key)
        return max((one.pain or 0 for one in mine), default=0)

    def spares(self, exercise: Exercise) -> bool:
        """Whether another exercise loads no joint anew that is limited, watched or sore."""
        guarded = self.sore_joints | {one.stress for one in self.limits}
        anew = set(exercise.joint_stresses) - set(self.exercise.joint_stresses)
        return guarded.isdisjoint(anew)

    @property
    def progresses(self) -> bool:
        """Whether it goes up: by its course, or by what the log asks for next."""
        up = self.target is not None and self.target.step is Step.STEP_UP
        return up or (self.trend is not None and self.trend.kind is FindingKind.PROGRESSING)


def with_sore(lines: Mapping[str, LastBlock]) -> dict[str, LastBlock]:
    """The lines of a block, with those marked that load a joint that hurt in any of them."""
    hurt: dict[str, frozenset[date]] = {}
    for one in lines.values():
        hurt[one.exercise.key] = hurt.get(one.exercise.key, frozenset()) | one.own_hurt_on
    sore = {stress for one in lines.values() if one.hurt for stress in one.exercise.joint_stresses}
    return {
        key: replace(
            one,
            sore=not sore.isdisjoint(one.exercise.joint_stresses),
            hurt_on=hurt[one.exercise.key],
            sore_joints=frozenset(sore),
        )
        for key, one in lines.items()
    }


@dataclass(frozen=True)
class LineChoice:
    """What one exercise becomes, with the numbers, the rule and its source.

    ``exercise`` is none when it is left out; ``why`` is the reason in a word or two. ``load``
    is in [kg]; ``load_is_open`` says that the coach is to choose it, ``as_it_was`` that every
    line comes over with what it asks itself.
    """

    outcome: Outcome
    exercise: Exercise | None
    targets: tuple[int, ...]
    load: float
    tempo: Tempo
    why: str
    sentence: str
    rule: str
    evidence: tuple[Evidence, ...] = ()
    source_key: str = "common-practice"
    could_not_know: str = ""
    load_is_open: bool = False
    as_it_was: bool = False
