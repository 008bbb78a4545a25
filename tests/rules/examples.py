"""Small builders of plan and log values, so that a test states only what it is about."""

from collections.abc import Mapping, Sequence
from datetime import date, timedelta

from coaching.rules.log import LoggedSession, LoggedSet
from coaching.rules.plan import (
    Block,
    Chain,
    EquipmentKind,
    Exercise,
    JointAction,
    JointStress,
    Laterality,
    LoadKind,
    Measure,
    Muscle,
    MuscleShare,
    Pair,
    Part,
    Pattern,
    Plane,
    PlannedSession,
    PlannedWeek,
    Posture,
    Prescription,
    Tempo,
    WeekKind,
)

MONDAY = date(2025, 3, 3)
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def make_exercise(
    key: str = "push-up",
    pattern: Pattern = Pattern.PUSH,
    *,
    name: str = "",
    plane: Plane = Plane.HORIZONTAL,
    chain: Chain = Chain.CLOSED,
    multi_joint: bool = True,
    laterality: Laterality = Laterality.BILATERAL,
    body_share: float = 0.7,
    load_kind: LoadKind = LoadKind.ADDED,
    measure: Measure = Measure.REPS,
    complexity: int = 2,
    joint_actions: Sequence[JointAction] = (),
    joint_stresses: Sequence[JointStress] = (),
    equipment: Sequence[EquipmentKind] = (),
    muscles: Mapping[Muscle, float] | None = None,
    ladder: str = "",
    rung: int = 0,
    posture: Posture | None = None,
    hands_cm: int = 0,
) -> Exercise:
    """A push-up on the floor unless told otherwise."""
    shares = {Muscle.CHEST: 1.0, Muscle.TRICEPS: 0.5} if muscles is None else muscles
    return Exercise(
        key=key,
        name=name or key.replace("-", " ").capitalize(),
        pattern=pattern,
        plane=plane,
        chain=chain,
        multi_joint=multi_joint,
        laterality=laterality,
        body_share=body_share,
        load_kind=load_kind,
        measure=measure,
        complexity=complexity,
        joint_actions=tuple(joint_actions),
        joint_stresses=tuple(joint_stresses),
        equipment=tuple(equipment),
        muscles=tuple(MuscleShare(muscle, float(share)) for muscle, share in shares.items()),
        ladder=ladder,
        rung=rung,
        posture=posture,
        hands_cm=hands_cm,
    )


def make_pull_up(key: str = "pull-up", **changes: object) -> Exercise:
    """A strict pull-up: lats direct, biceps and upper back assisting, whole body moved."""
    usual: dict[str, object] = {
        "plane": Plane.VERTICAL,
        "body_share": 1.0,
        "muscles": {Muscle.LATS: 1.0, Muscle.BICEPS: 0.5, Muscle.UPPER_BACK: 0.5},
        "joint_actions": (JointAction.SHOULDER_ADDUCTION, JointAction.ELBOW_FLEXION),
        "equipment": (EquipmentKind.PULL_UP_BAR,),
    }
    return make_exercise(key, Pattern.PULL, **(usual | changes))  # type: ignore[arg-type]


def make_prescription(
    exercise: Exercise,
    targets: Sequence[int] = (7, 7, 7, 7, 7),
    load: float = 0,
    *,
    tempo: str = "3-0-1-0",
    rest: int = 120,
    part: Part = Part.PRIMARY,
    rir: int | None = None,
    key: str = "",
) -> Prescription:
    """Five sets of seven, two minutes of rest, unless told otherwise."""
    return Prescription(
        key=key or exercise.key,
        exercise=exercise,
        targets=tuple(targets),
        load=load,
        tempo=Tempo.parse(tempo),
        rest=rest,
        part=part,
        rir=rir,
    )


def make_session(
    *pairs: Pair | Prescription | Sequence[Prescription],
    on: date = MONDAY,
    key: str = "session",
    name: str = "Session",
) -> PlannedSession:
    """A session of pairs in order, lettered A, B, C; a lone prescription is a pair of one."""
    made: list[Pair] = []
    for letter, given in zip(LETTERS, pairs, strict=False):
        if isinstance(given, Pair):
            made.append(given)
            continue
        both = (given,) if isinstance(given, Prescription) else tuple(given)
        made.append(Pair(letter, both[0].part, both))
    return PlannedSession(key=key, name=name, on=on, pairs=tuple(made))


def make_week(
    *sessions: PlannedSession,
    kind: WeekKind = WeekKind.BUILD,
    number: int = 1,
    starts_on: date = MONDAY,
) -> PlannedWeek:
    """A week of the sessions given."""
    return PlannedWeek(number=number, kind=kind, starts_on=starts_on, sessions=tuple(sessions))


def make_block(*weeks: PlannedWeek, name: str = "Block") -> Block:
    """A block of the weeks given, in order."""
    return Block(name=name, weeks=tuple(weeks))


def make_sets(
    exercise: Exercise,
    amounts: Sequence[int],
    load: float = 0,
    *,
    targets: Sequence[int] | None = None,
    rir: int | None = None,
    pain: int | None = None,
    warm_up: bool = False,
) -> tuple[LoggedSet, ...]:
    """Sets as done, numbered from 1; ``targets`` makes them planned sets at that load."""
    asked: Sequence[int | None] = [None] * len(amounts) if targets is None else targets
    return tuple(
        LoggedSet(
            exercise=exercise,
            number=number,
            amount=amount,
            load=load,
            target=target,
            target_load=None if target is None else load,
            rir=rir,
            pain=pain,
            warm_up=warm_up,
        )
        for number, (amount, target) in enumerate(zip(amounts, asked, strict=True), start=1)
    )


def make_logged_session(
    *sets: Sequence[LoggedSet],
    on: date = MONDAY,
    body_weight: float = 80.0,
    kind: WeekKind = WeekKind.BUILD,
    rpe: float | None = None,
    name: str = "Session",
    finished: bool = True,
) -> LoggedSession:
    """A session as done, from groups of sets as ``make_sets`` gives them."""
    return LoggedSession(
        on=on,
        sets=tuple(one for group in sets for one in group),
        body_weight=body_weight,
        kind=kind,
        rpe=rpe,
        name=name,
        finished=finished,
    )


def day(offset: int) -> date:
    """The date so many days after the first Monday."""
    return MONDAY + timedelta(days=offset)
