"""How one exercise stood in a block, what it may become, and what is most like it in work."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.joint_limits import JointLimit
from coaching.rules.next_block_numbers import HARDER_TO_COORDINATE
from coaching.rules.numbers import PAIN_LIMIT
from coaching.rules.plan import Exercise, Level, Muscle, Prescription, Tempo
from coaching.rules.progression import Exposure, NextTarget, Step


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
    ``load_known`` that the client has done it with that load.
    """

    exercise: Exercise
    reason: str
    load: float
    tempo: Tempo
    levels_apart: int = 0
    load_known: bool = False


@dataclass(frozen=True)
class LastBlock:
    """How one exercise stood in the last block, and what could be in its place.

    ``target`` is what the log asks for next, none when it was not trained; ``rung`` is the exercise
    that target changes to, if it does. ``forbidden`` says why the exercise cannot be done any
    more; ``held`` that strength falls for a cause that another exercise does not cure. ``others``
    holds only what equipment, joints and level allow.
    """

    asked: Prescription
    exposures: tuple[Exposure, ...] = ()
    target: NextTarget | None = None
    rung: Exercise | None = None
    trend: Finding | None = None
    blocks_alike: int = 1
    serves_goal: bool = False
    forbidden: str = ""
    held: bool = False
    limits: tuple[JointLimit, ...] = ()
    level: Level = Level.INTERMEDIATE
    others: tuple[Other, ...] = ()

    @property
    def exercise(self) -> Exercise:
        """The exercise it is about."""
        return self.asked.exercise

    @property
    def hurt(self) -> int:
        """In how many sessions of the block it hurt above the limit."""
        return sum(self._worst(one) > PAIN_LIMIT.value for one in self.exposures)

    def _worst(self, exposure: Exposure) -> int:
        mine = (one for one in exposure.sets if one.exercise.key == self.exercise.key)
        return max((one.pain or 0 for one in mine), default=0)

    @property
    def progresses(self) -> bool:
        """Whether it goes up: by its course, or by what the log asks for next."""
        up = self.target is not None and self.target.step is Step.STEP_UP
        return up or (self.trend is not None and self.trend.kind is FindingKind.PROGRESSING)


@dataclass(frozen=True)
class LineChoice:
    """What one exercise becomes, with the numbers, the rule and its source.

    ``exercise`` is none when it is left out; ``why`` is the reason in a word or two. ``load``
    is in [kg].
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


def ranked(line: LastBlock) -> tuple[Other, ...]:
    """What may take the place of an exercise, that which is most like it in work first."""
    return tuple(sorted(line.others, key=lambda one: _unlike(line, one)))


def sparing_first(line: LastBlock, free: Sequence[Other]) -> list[Other]:
    """Those that load the fewest of the same joints first."""
    stresses = set(line.exercise.joint_stresses)
    return sorted(free, key=lambda one: len(stresses & set(one.exercise.joint_stresses)))


def varied(line: LastBlock, free: Sequence[Other]) -> list[Other]:
    """Those that are really another exercise and not much harder to coordinate."""
    own = line.exercise
    most = own.complexity + HARDER_TO_COORDINATE.value
    return [
        one
        for one in free
        if not (own.ladder and one.exercise.ladder == own.ladder)
        if one.exercise.pattern is own.pattern and one.exercise.complexity <= most
    ]


_Unlike = tuple[bool, bool, bool, bool, bool, bool, bool, int, float, int, bool, float, str]


def _unlike(line: LastBlock, other: Other) -> _Unlike:
    """How another exercise differs in work: what trains the same muscles as much comes first."""
    asked, given = line.exercise, other.exercise
    return (
        given.plane is not asked.plane,
        given.multi_joint is not asked.multi_joint,
        given.measure is not asked.measure,
        other.tempo.explosive is not line.asked.tempo.explosive,
        _movers(asked) != _movers(given),
        given.load_kind is not asked.load_kind,
        given.sides != asked.sides,
        other.levels_apart + abs(given.complexity - asked.complexity),
        _muscles_apart(asked, given),
        len(set(given.joint_stresses) - set(asked.joint_stresses)),
        not other.load_known,
        abs(given.body_share - asked.body_share),
        given.key,
    )


def _movers(exercise: Exercise) -> frozenset[Muscle]:
    return frozenset(share.muscle for share in exercise.muscles if share.is_direct)


def _muscles_apart(one: Exercise, other: Exercise) -> float:
    """How much of a set goes to other muscles, summed over all of them."""
    shares: dict[Muscle, float] = defaultdict(float)
    for share in one.muscles:
        shares[share.muscle] += share.share
    for share in other.muscles:
        shares[share.muscle] -= share.share
    return sum(abs(share) for share in shares.values())
