"""What of the exercises to come loads a joint that hurts, and how it is asked until that has settled.

Common practice, no source, beside the limit of pain itself. Pain told in one exercise is no
diagnosis: which joint it is, and whether another exercise hurts too, only the client can say.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import IntEnum, auto

from coaching.rules.findings import Evidence
from coaching.rules.joint_limits import is_easier_rung
from coaching.rules.log import LoggedSession, LoggedSet
from coaching.rules.numbers import PAIN_LIMIT
from coaching.rules.plan import Exercise, Part
from coaching.rules.progression import STEADY, NextTarget, Step, answer
from coaching.rules.progression_case import Case
from coaching.rules.progression_loads import load_after_pain
from coaching.rules.progression_words import CAUTION, PAIN_RULE

REACH_RULE = (
    "Pain above 5 of 10 on one exercise: what loads the same joint in the same way steps back too, "
    "and what loads it otherwise does not step up, until it has settled."
)
_ITSELF = "{name} hurt [pain] of 10: "
_STEPS_BACK = "{name} loads the [joint] as [other] does, which hurt [pain] of 10: "
_RUNG = "step back to {to}, {goal}."
_LIGHTER = "step back to a lighter load, {goal}."
_FEWER = "not more than {goal}, and leave it out until you know more."
_NO_STEP_UP = (
    "{name} loads the [joint] too, and [other] hurt [pain] of 10: hold {goal} until it has settled."
)

_JOINTS = {
    "shoulder": ("shoulder", "scapul", "rotator", "collarbone", "collar bone"),
    "elbow": ("elbow", "forearm"),
    "wrist": ("wrist", "hand", "thumb", "finger", "forearm"),
    "back": ("back", "spine", "lumbar", "trunk"),
    "hip": ("hip", "groin"),
    "knee": ("knee", "shin"),
    "ankle": ("ankle", "achilles", "heel", "foot", "calf"),
    "neck": ("neck",),
}
"""How people name the place of a pain, by joint."""
_LOADED = {
    "shoulder": ("shoulder", "scapular"),
    "elbow": ("elbow",),
    "wrist": ("wrist", "grip"),
    "back": ("trunk", "lower back"),
    "hip": ("hip",),
    "knee": ("knee",),
    "ankle": ("ankle", "achilles"),
    "neck": ("neck",),
}
"""How joint actions and loadings of a joint begin."""


class Reach(IntEnum):
    """How far the pain of one exercise reaches another."""

    NONE = auto()
    LOADS_IT = auto()
    ALIKE = auto()


@dataclass(frozen=True)
class Hurt:
    """An exercise that hurt above the limit when it was last done, and where."""

    exercise: Exercise
    pain: int
    where: str
    on: date

    @property
    def joints(self) -> tuple[str, ...]:
        """The joints that the place names; none when it names no joint.

        >>> from coaching.rules.pain_reach import joints_named
        >>> joints_named("left shoulder, front"), joints_named("all over")
        (('shoulder',), ())
        """
        return joints_named(self.where)


def joints_named(where: str) -> tuple[str, ...]:
    """The joints that the words for a place name."""
    said = where.lower()
    return tuple(joint for joint, words in _JOINTS.items() if any(word in said for word in words))


def hurts_in(sessions: Sequence[LoggedSession], since: date) -> tuple[Hurt, ...]:
    """What hurt above the limit the last time it was done, from a day on."""
    worst: dict[str, tuple[date, LoggedSet]] = {}
    for session in sessions:
        if session.on < since:
            continue
        latest: dict[str, LoggedSet] = {}
        for one in session.sets:
            held = latest.get(one.exercise.key)
            if held is None or (one.pain or 0) > (held.pain or 0):
                latest[one.exercise.key] = one
        worst |= {key: (session.on, one) for key, one in latest.items()}
    return tuple(
        Hurt(one.exercise, one.pain or 0, one.pain_where, on)
        for on, one in worst.values()
        if (one.pain or 0) > PAIN_LIMIT.value
    )


def reach(hurt: Hurt, one: Exercise) -> Reach:
    """How far the pain of an exercise reaches another.

    Alike is what stands as high or higher on the same ladder, and what is of the same pattern and
    works or loads the painful joint in a way in which the other does. An easier rung is what one
    steps back to: it does not step up. Without a joint named the leading joint action counts.
    """
    asked = hurt.exercise
    if one.key == asked.key:
        return Reach.ALIKE
    if is_easier_rung(one, asked):
        return Reach.LOADS_IT
    if asked.ladder and one.ladder == asked.ladder:
        return Reach.ALIKE
    same_pattern = one.pattern is asked.pattern
    if not hurt.joints:
        leads = asked.joint_actions[:1] == one.joint_actions[:1] and bool(asked.joint_actions)
        return Reach.ALIKE if same_pattern and leads else Reach.NONE
    mine, theirs = _at(asked, hurt.joints), _at(one, hurt.joints)
    if same_pattern and not mine.isdisjoint(theirs):
        return Reach.ALIKE
    return Reach.LOADS_IT if theirs else Reach.NONE


def _at(exercise: Exercise, joints: Sequence[str]) -> frozenset[str]:
    """How an exercise works and loads those joints."""
    begins = tuple(word for joint in joints for word in _LOADED[joint])
    said = (*exercise.joint_actions, *exercise.joint_stresses)
    return frozenset(str(one) for one in said if str(one).lower().startswith(begins))


def may_step_back_to(rung: Exercise, hurts: Sequence[Hurt]) -> bool:
    """Whether an easier rung is easier than all of its ladder that hurts."""
    return all(
        is_easier_rung(rung, one.exercise)
        for one in hurts
        if one.exercise.ladder and one.exercise.ladder == rung.ladder
    )


def reaching(exercise: Exercise, hurts: Sequence[Hurt]) -> tuple[Reach, Hurt] | None:
    """The pain that reaches an exercise the furthest; none when none does."""
    all_ = [(reach(one, exercise), one) for one in hurts]
    found = max(all_, key=lambda entry: (entry[0], entry[1].pain), default=None)
    return found if found and found[0] is not Reach.NONE else None


def steps_back(exercise: Exercise, part: Part, hurts: Sequence[Hurt]) -> bool:
    """Whether an exercise to come steps back for a pain, whatever its own log says."""
    found = reaching(exercise, hurts)
    return found is not None and found[0] is Reach.ALIKE and part not in STEADY


def spared(target: NextTarget, case: Case, hurts: Sequence[Hurt]) -> NextTarget:
    """What the log asks for, as long as nothing hurts a joint that the exercise loads."""
    found = reaching(case.exercise, hurts)
    if found is None or target.rule == PAIN_RULE or target.step is Step.STEP_BACK:
        return target
    hurt = found[1]
    if steps_back(case.exercise, case.asked.part, hurts):
        return _step_back(case, hurt)
    if target.step is Step.HOLD:
        return target
    return _told(case, Step.HOLD, _NO_STEP_UP, hurt, case.asked.targets)


def _step_back(case: Case, hurt: Hurt) -> NextTarget:
    """The easier rung from one as high as what hurts, else a lighter load, else fewer of it."""
    asked, easier = case.asked, case.easier
    said = _ITSELF if hurt.exercise.key == case.exercise.key else _STEPS_BACK
    fewest = (min(case.range.bottom, *asked.targets),) * asked.sets
    is_rung = bool(case.exercise.ladder) and case.exercise.ladder == hurt.exercise.ladder
    lighter = load_after_pain(case)
    if lighter is not None and not (is_rung and easier):
        return _told(case, Step.STEP_BACK, said + _LIGHTER, hurt, fewest, lighter)
    if easier is not None:
        goal = (case.bottom_of(easier),) * asked.sets
        load = case.rung_loads.get(easier.key, (0.0,))[0]
        return _told(case, Step.STEP_BACK, said + _RUNG, hurt, goal, load, easier)
    step = Step.HOLD if fewest == asked.targets else Step.STEP_BACK
    return _told(case, step, said + _FEWER, hurt, fewest)


def _told(
    case: Case,
    step: Step,
    sentence: str,
    hurt: Hurt,
    targets: tuple[int, ...],
    load: float | None = None,
    exercise: Exercise | None = None,
) -> NextTarget:
    joint = " and ".join(hurt.joints) or "same joint"
    said = {"[joint]": joint, "[other]": hurt.exercise.name, "[pain]": str(hurt.pain)}
    for gap, word in said.items():
        sentence = sentence.replace(gap, word)
    return answer(
        case,
        step,
        sentence + CAUTION,
        REACH_RULE,
        targets=targets,
        load=load,
        exercise=exercise,
        source_key="common-practice",
        more=(
            Evidence(
                f"{hurt.exercise.name}, {hurt.on.day} {hurt.on:%b}", f"pain {hurt.pain} of 10"
            ),
        ),
    )
