"""What a coach plans: exercises, prescriptions, pairs, sessions, weeks and blocks.

Plain frozen values. The database rows of the apps are turned into these before
any rule looks at them, so a rule can be read, tested and trusted on its own.
Units everywhere: kilograms, seconds, whole repetitions.
"""

import re
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import cached_property

from coaching.rules.numbers import DIRECT_SHARE, TEMPO_FAST_SECONDS


class Pattern(StrEnum):
    """What an exercise is for, as a coach sorts it."""

    PUSH = "push"
    PULL = "pull"
    LEGS = "legs"
    CORE = "core"
    PREHAB = "prehab"


class Plane(StrEnum):
    """Where a push or a pull goes; single-joint and other work has no plane."""

    HORIZONTAL = "horizontal"
    VERTICAL = "vertical"
    NONE = "none"


class Chain(StrEnum):
    """Closed: hands or feet are fixed and the body moves. Open: they move."""

    CLOSED = "closed"
    OPEN = "open"


class Laterality(StrEnum):
    """Both sides together, one side after the other, or in alternation."""

    BILATERAL = "bilateral"
    UNILATERAL = "unilateral"
    ALTERNATING = "alternating"


class LoadKind(StrEnum):
    """What the number in a load field means for an exercise."""

    NONE = "none"
    ADDED = "added"
    EXTERNAL = "external"
    ASSISTED = "assisted"


class Measure(StrEnum):
    """What a set counts: repetitions, or seconds of a hold."""

    REPS = "reps"
    SECONDS = "seconds"


class Muscle(StrEnum):
    """The muscles whose weekly volume a coach follows."""

    CHEST = "chest"
    FRONT_DELT = "front delt"
    SIDE_DELT = "side delt"
    TRICEPS = "triceps"
    QUADRICEPS = "quadriceps"
    CALVES = "calves"
    UPPER_BACK = "upper back"
    LATS = "lats"
    REAR_DELT = "rear delt"
    BICEPS = "biceps"
    FOREARMS = "forearms"
    HAMSTRINGS = "hamstrings"
    GLUTES = "glutes"
    ABS = "abs"
    LOWER_BACK = "lower back"
    ROTATOR_CUFF = "rotator cuff"


class JointAction(StrEnum):
    """Joint movements that an exercise works, in anatomical terms."""

    SHOULDER_HORIZONTAL_ADDUCTION = "shoulder horizontal adduction"
    SHOULDER_HORIZONTAL_ABDUCTION = "shoulder horizontal abduction"
    SHOULDER_FLEXION = "shoulder flexion"
    SHOULDER_EXTENSION = "shoulder extension"
    SHOULDER_ABDUCTION = "shoulder abduction"
    SHOULDER_ADDUCTION = "shoulder adduction"
    SHOULDER_EXTERNAL_ROTATION = "shoulder external rotation"
    SHOULDER_INTERNAL_ROTATION = "shoulder internal rotation"
    SCAPULAR_PROTRACTION = "scapular protraction"
    SCAPULAR_RETRACTION = "scapular retraction"
    SCAPULAR_ELEVATION = "scapular elevation"
    SCAPULAR_DEPRESSION = "scapular depression"
    ELBOW_EXTENSION = "elbow extension"
    ELBOW_FLEXION = "elbow flexion"
    WRIST_EXTENSION = "wrist extension"
    WRIST_FLEXION = "wrist flexion"
    TRUNK_FLEXION = "trunk flexion"
    TRUNK_EXTENSION = "trunk extension"
    TRUNK_ROTATION = "trunk rotation"
    TRUNK_LATERAL_FLEXION = "trunk lateral flexion"
    HIP_EXTENSION = "hip extension"
    HIP_FLEXION = "hip flexion"
    HIP_ABDUCTION = "hip abduction"
    HIP_ADDUCTION = "hip adduction"
    KNEE_EXTENSION = "knee extension"
    KNEE_FLEXION = "knee flexion"
    ANKLE_PLANTAR_FLEXION = "ankle plantar flexion"
    ANKLE_DORSIFLEXION = "ankle dorsiflexion"


class JointStress(StrEnum):
    """Loadings that a client may have to avoid, regress or watch."""

    SHOULDER_OVERHEAD = "shoulder overhead"
    SHOULDER_DEEP_EXTENSION = "shoulder behind the body"
    SHOULDER_STRAIGHT_ARM = "shoulder on straight arms"
    ELBOW_STRAIGHT_ARM = "elbow on straight arms"
    ELBOW_FLEXED_PULL = "elbow in hard bending"
    ELBOW_PRESS = "elbow in hard pressing"
    WRIST_EXTENSION = "wrist bent back under load"
    GRIP = "grip"
    NECK = "neck"
    LOWER_BACK_BENDING = "lower back bending or arching"
    LOWER_BACK_COMPRESSION = "lower back under load"
    HIP_DEEP_FLEXION = "hip bent deep"
    KNEE_DEEP_FLEXION = "knee bent deep"
    KNEE_IMPACT = "knee impact"
    ANKLE_DEEP_FLEXION = "ankle bent deep"
    ACHILLES = "Achilles tendon"


class EquipmentKind(StrEnum):
    """What a client can train with. A floor, a wall and a towel are always there."""

    PULL_UP_BAR = "pull-up bar"
    LOW_BAR = "low bar"
    DIP_BARS = "dip bars"
    RINGS = "rings"
    PARALLETTES = "parallettes"
    BOX = "box or step"
    BENCH = "bench"
    BANDS = "bands"
    DUMBBELLS = "dumbbells"
    KETTLEBELLS = "kettlebells"
    BARBELL = "barbell"
    RACK = "rack"
    BELT = "dip belt"
    VEST = "weight vest"
    CABLE = "cable machine"
    LEG_MACHINE = "leg machine"
    AB_WHEEL = "ab wheel"


class Posture(StrEnum):
    """How a body stands, hangs or lies in an exercise whose load is computed from it."""

    WALL_PUSH_UP = "push-up against a wall"
    PUSH_UP = "push-up on the toes"
    KNEE_PUSH_UP = "push-up on the knees"
    ARCHER_PUSH_UP = "archer push-up"
    ONE_ARM_PUSH_UP = "one-arm push-up"
    PLANCHE_LEAN = "planche lean"
    PIKE_PUSH_UP = "pike push-up"
    ROW = "inverted row"
    HANDS_ONLY = "both hands only"
    SHIFTED_HANDS = "both hands only, most on one"
    ONE_HAND_ONLY = "one hand only"
    TUCK_LEVER = "tuck lever"
    ADVANCED_TUCK_LEVER = "advanced tuck lever"
    ONE_LEG_LEVER = "one-leg lever"
    STRADDLE_LEVER = "straddle lever"
    HALF_LAY_LEVER = "half-lay lever"
    FULL_LEVER = "full lever"
    TUCK_SIT = "tuck sit"
    ONE_LEG_L_SIT = "one-leg L-sit"
    L_SIT = "L-sit"
    V_SIT = "V-sit"


class Level(StrEnum):
    """How far along a client is; it sets how much variety a block has."""

    ABSOLUTE_BEGINNER = "absolute beginner"
    BEGINNER = "beginner"
    INTERMEDIATE = "intermediate"
    ADVANCED = "advanced"


class Part(StrEnum):
    """The part of a session an exercise belongs to, in the order they are done."""

    WARM_UP = "warm-up"
    PRIMARY = "primary"
    SUPPLEMENTARY = "supplementary"
    ISOLATION = "isolation"
    PREHAB = "prehab"


class WeekKind(StrEnum):
    """What a week of a block is for."""

    BUILD = "build"
    DELOAD = "deload"
    TEST = "test"


@dataclass(frozen=True, slots=True)
class MuscleShare:
    """How much of a set counts for a muscle [0-1]: direct 1, indirect 0.5."""

    muscle: Muscle
    share: float

    @property
    def is_direct(self) -> bool:
        """Whether the muscle is the main mover."""
        return self.share >= DIRECT_SHARE.value


_TEMPO = re.compile(r"^(\d{1,2}|X)-(\d{1,2})-(\d{1,2}|X)-(\d{1,2})$")
_CLOSE_TEMPO = re.compile(r"^(\d)(\d)(\d|X)(\d)$")


@dataclass(frozen=True, slots=True)
class Tempo:
    """Four counts [s]: eccentric, bottom pause, concentric, top pause.

    ``X`` means as fast as possible and is counted as one second.

    >>> Tempo.parse("3-1-X-0").seconds_per_rep
    5
    """

    eccentric: int
    bottom: int
    concentric: int
    top: int
    explosive: bool = False

    @classmethod
    def parse(cls, text: str) -> "Tempo":
        """Read ``3-0-1-0`` or ``3010``; raise ValueError with the remedy when it is not one."""
        written = text.strip().upper()
        found = _TEMPO.match(written) or _CLOSE_TEMPO.match(written)
        if found is None or found.group(1) == "X":
            message = f"Tempo “{text}” is not four counts such as 3-0-1-0 or 3-1-X-0."
            raise ValueError(message)
        down, low, up, high = found.groups()
        fast = up == "X"
        concentric = int(TEMPO_FAST_SECONDS.value) if fast else int(up)
        return cls(int(down), int(low), concentric, int(high), fast)

    @property
    def seconds_per_rep(self) -> int:
        """Seconds that one repetition takes."""
        return self.eccentric + self.bottom + self.concentric + self.top

    def __str__(self) -> str:
        """Write it the way coaches do: 3-1-X-0."""
        up = "X" if self.explosive else str(self.concentric)
        return f"{self.eccentric}-{self.bottom}-{up}-{self.top}"


@dataclass(frozen=True, slots=True)
class Prerequisite:
    """What to be able to do before a rung is tried: so many reps or seconds of another exercise."""

    exercise: str
    amount: int


@dataclass(frozen=True)
class Exercise:
    """One exercise with everything the rules need to know of it.

    ``body_share`` [0-1] is the part of body weight that the muscles move;
    ``load_kind`` says what a prescribed or logged load [kg] adds to it, and
    ``added_share`` [0-1] how much of an added load they feel.
    With a ``posture`` both are estimated from the client's own body; ``hands_cm`` and
    ``feet_cm`` say how high hands (or the bar) and feet are above the floor.
    ``complexity`` [1-5] is how hard it is to coordinate.
    """

    key: str
    name: str
    pattern: Pattern
    plane: Plane
    chain: Chain
    multi_joint: bool
    laterality: Laterality
    body_share: float
    load_kind: LoadKind
    measure: Measure
    complexity: int
    joint_actions: tuple[JointAction, ...] = ()
    joint_stresses: tuple[JointStress, ...] = ()
    equipment: tuple[EquipmentKind, ...] = ()
    muscles: tuple[MuscleShare, ...] = ()
    ladder: str = ""
    rung: int = 0
    posture: Posture | None = None
    hands_cm: int = 0
    feet_cm: int = 0
    added_share: float = 1.0
    prerequisites: tuple[Prerequisite, ...] = ()

    @property
    def sides(self) -> int:
        """How often a set is done: twice when one side follows the other."""
        return 2 if self.laterality is Laterality.UNILATERAL else 1


@dataclass(frozen=True)
class Prescription:
    """One exercise as planned for one session.

    ``targets`` holds one number a set: repetitions, or seconds of a hold.
    ``load`` [kg] is what the exercise's load kind says; ``rest`` [s] follows
    each set; ``rir`` is how many repetitions should be left in reserve.
    """

    key: str
    exercise: Exercise
    targets: tuple[int, ...]
    load: float
    tempo: Tempo
    rest: int
    part: Part
    rir: int | None = None

    @property
    def sets(self) -> int:
        """Number of sets."""
        return len(self.targets)

    @property
    def reps(self) -> int:
        """Repetitions of all sets, or none for a timed hold."""
        return sum(self.targets) if self.exercise.measure is Measure.REPS else 0


@dataclass(frozen=True)
class Pair:
    """One exercise alone, or two done in alternation, under one letter."""

    letter: str
    part: Part
    prescriptions: tuple[Prescription, ...]

    def __post_init__(self) -> None:
        """Refuse anything that is not one or two exercises."""
        if not 1 <= len(self.prescriptions) <= 2:
            message = f"Pair {self.letter} holds {len(self.prescriptions)} exercises, not 1 or 2."
            raise ValueError(message)


@dataclass(frozen=True)
class PlannedSession:
    """What should be done on one day, in order."""

    key: str
    name: str
    on: date
    pairs: tuple[Pair, ...]

    @cached_property
    def prescriptions(self) -> tuple[Prescription, ...]:
        """All prescriptions in order."""
        return tuple(p for pair in self.pairs for p in pair.prescriptions)


@dataclass(frozen=True)
class PlannedWeek:
    """One week of a block; ``starts_on`` is its first day."""

    number: int
    kind: WeekKind
    starts_on: date
    sessions: tuple[PlannedSession, ...]


@dataclass(frozen=True)
class Block:
    """Four to six weeks of planned training for one client."""

    name: str
    weeks: tuple[PlannedWeek, ...]
