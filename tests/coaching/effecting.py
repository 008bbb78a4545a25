"""Blocks of a few sessions, for tests of what they do."""

from coaching.blocks.block_effects import block_effects
from coaching.blocks.block_findings import ClientFacts
from coaching.blocks.plan_figures import week_figures
from coaching.rules.joint_limits import Joints
from coaching.rules.plan import JointStress, Level, Muscle, Pattern, WeekKind
from tests.coaching.wholes import whole_of
from tests.rules.examples import (
    MONDAY,
    day,
    make_exercise,
    make_prescription,
    make_session,
    make_week,
)

PUSH = make_exercise(joint_stresses=[JointStress.WRIST_EXTENSION])
ROW = make_exercise("row", Pattern.PULL, muscles={Muscle.LATS: 1.0, Muscle.BICEPS: 0.5})
FACTS = ClientFacts(Level.INTERMEDIATE, 60, Joints(), today=MONDAY)


def session(at, push=5, pull=5, name="", **more):
    lines = (
        make_prescription(PUSH, [6] * push, key=f"{at}-push"),
        make_prescription(ROW, [6] * pull, key=f"{at}-row"),
    )
    return make_session(lines, on=day(at), key=f"s{at}", name=name or f"Day {at}", **more)


def week(number, *sessions, kind=WeekKind.BUILD):
    start = 7 * (number - 1)
    given = sessions or (session(start), session(start + 3))
    return week_figures(make_week(*given, number=number, kind=kind, starts_on=day(start)))


def effects(*weeks, **more):
    facts = more.pop("facts", FACTS)
    return block_effects(weeks, facts, whole=whole_of(weeks, facts), **{"chosen": 1, **more})


def row(found, label):
    (one,) = (one for one in found.rows if one.label == label)
    return one


def kinds(found):
    return [one.finding.kind for one in found.findings]
