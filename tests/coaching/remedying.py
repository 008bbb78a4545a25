"""A week in which something is found, for tests of what settles it."""

from coaching.blocks.block_findings import scene_of
from coaching.blocks.plan_figures import week_figures
from coaching.blocks.remedies import remedied
from coaching.rules.findings import FindingKind
from coaching.rules.plan import (
    Muscle,
    Part,
    Pattern,
    Plane,
    WeekKind,
)
from tests.coaching.effecting import FACTS, PUSH, ROW
from tests.coaching.wholes import whole_of
from tests.rules.examples import (
    MONDAY,
    day,
    make_exercise,
    make_prescription,
    make_session,
    make_week,
)

CRUNCH = make_exercise("crunch", Pattern.CORE, plane=Plane.NONE, muscles={Muscle.ABS: 1.0})
CALF = make_exercise("calf-raise", Pattern.LEGS, plane=Plane.NONE, muscles={Muscle.CALVES: 1.0})
RAISE = make_exercise(
    "side-raise", plane=Plane.NONE, multi_joint=False, muscles={Muscle.SIDE_DELT: 1.0}
)
CURL = make_exercise(
    "curl", Pattern.PULL, plane=Plane.NONE, multi_joint=False, muscles={Muscle.BICEPS: 1.0}
)
CUFF = make_exercise("cuff", Pattern.PREHAB, plane=Plane.NONE, muscles={Muscle.REAR_DELT: 1.0})
KNEES = make_exercise("knee-push-up", ladder="push-up", rung=1)


def line(exercise, sets=3, reps=10, part=Part.ISOLATION, rest=60, **more):
    return make_prescription(
        exercise, [reps] * sets, part=part, rest=rest, key=exercise.key, **more
    )


def pair_of(sets=5):
    return (
        make_prescription(PUSH, [6] * sets, key="push"),
        make_prescription(ROW, [6] * sets, key="row"),
    )


def found_in(*pairs, facts=FACTS, shelf=None, following=(), kind=WeekKind.BUILD):
    session = make_session(*pairs, on=MONDAY, key="s", name="Monday")
    weeks = [week_figures(make_week(session, number=1, kind=kind, starts_on=MONDAY))]
    if following:
        later = make_session(*following, on=day(7), key="s2", name="Monday")
        weeks.append(week_figures(make_week(later, number=2, starts_on=day(7))))
    return remedied(scene_of(weeks, weeks[0], facts), whole_of(weeks, facts, shelf))


def of_kind(found, kind):
    return [one for one in (*found.findings, *found.volume) if one.finding.kind is kind]


def words(placed):
    return [one.words for one in placed.remedies]


def minutes_of(*pairs, facts):
    (told,) = of_kind(found_in(*pairs, facts=facts), FindingKind.SESSION_MINUTES)
    return told


# 8 min of warm-up; push and row 2 x 5 x (6 x 4 + 120) s = 24 min, crunch 3 x (10 x 4 + 60) s = 5,
# and three times the time to set up.
LONG = (pair_of(), line(CRUNCH))
