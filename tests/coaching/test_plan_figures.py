"""Figures that are kept and added up are those that the rules give for the whole week."""

from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.blocks.plan_figures import KEPT_SESSIONS, plan_figures, week_figures
from coaching.rules.balance import planned_week_balance
from coaching.rules.balance_findings import findings_for as leans_of
from coaching.rules.plan import JointAction, Muscle, Part, Pattern, Plane
from coaching.rules.volume import planned_week_volume
from tests.rules.examples import day, make_exercise, make_prescription, make_session, make_week

EXERCISES = [
    make_exercise("press", joint_actions=[JointAction.ELBOW_EXTENSION]),
    make_exercise(
        "row",
        Pattern.PULL,
        muscles={Muscle.LATS: 1.0, Muscle.BICEPS: 0.5},
        joint_actions=[JointAction.ELBOW_FLEXION],
    ),
    make_exercise(
        "pull-up", Pattern.PULL, plane=Plane.VERTICAL, muscles={Muscle.LATS: 1.0}, body_share=1.0
    ),
    make_exercise(
        "turn",
        Pattern.PREHAB,
        plane=Plane.NONE,
        muscles={Muscle.ROTATOR_CUFF: 1.0},
        joint_actions=[JointAction.SHOULDER_EXTERNAL_ROTATION],
    ),
]
lines = st.lists(
    st.tuples(
        st.sampled_from(EXERCISES),
        st.lists(st.integers(0, 12), min_size=1, max_size=5),
        st.sampled_from(Part),
    ),
    max_size=5,
)
weeks = st.lists(lines, min_size=1, max_size=4)


def week_of(planned):
    return make_week(
        *(
            make_session(
                *(make_prescription(one, targets, part=part) for one, targets, part in given),
                on=day(at),
                key=f"s{at}",
            )
            for at, given in enumerate(planned)
        )
    )


def counts(figures):
    """Sets and repetitions; kilograms are sums of parts and differ in their last digit."""
    return {
        muscle: (one.direct_sets, one.indirect_sets, one.fractional_sets, one.direct_reps)
        for muscle, one in figures.volume.items()
    }


@given(weeks)
@settings(max_examples=50)
def test_a_week_is_the_sum_of_its_sessions(planned):
    week = week_of(planned)

    figures = week_figures(week)

    assert figures.volume == planned_week_volume(week, body_weight=1.0)
    assert figures.balance == planned_week_balance(week)
    assert figures.leans == leans_of(week, planned_week_balance(week))


@given(weeks, st.randoms(use_true_random=False))
@settings(max_examples=50)
def test_moving_exercises_between_sessions_keeps_the_week(planned, chance):
    moved: list[list[object]] = [[] for _ in planned]
    for given_lines in planned:
        for line in given_lines:
            chance.choice(moved).append(line)

    before, after = week_figures(week_of(planned)), week_figures(week_of(moved))

    assert counts(after) == counts(before)
    assert after.leans == before.leans
    assert (after.working_sets, after.reps) == (before.working_sets, before.reps)


@given(lines.filter(lambda given: len(given) >= 2))
@settings(max_examples=50)
def test_pairing_two_exercises_never_lengthens_a_session(given_lines):
    made = [make_prescription(one, targets, part=part) for one, targets, part in given_lines]
    first, second, *others = made

    apart = week_figures(make_week(make_session(first, second, *others)))
    paired = week_figures(make_week(make_session((first, second), *others)))

    if first.part is second.part:
        assert paired.sessions[0].minutes.total <= apart.sessions[0].minutes.total + 1e-9
    assert paired.working_sets == apart.working_sets


def written(sets):
    """A plan of one session, in objects of its own."""
    line = {"uid": "l", "exercise": 1, "name": "Press", "targets": [8] * sets}
    line |= {"load_kg": 0.0, "tempo": "3-0-1-0", "rest_s": 90, "rir": 2}
    pair = {"letter": "A", "part": "primary", "lines": [line]}
    session = {"uid": "s", "name": "Day 1", "on": "2026-03-09", "pairs": [pair]}
    return {"weeks": [{"starts_on": "2026-03-09", "kind": "build", "sessions": [session]}]}


def test_a_session_in_the_place_of_one_that_is_gone_has_its_own_figures():
    # Memory is used again: a plan that is thrown away leaves its ids to those after it.
    for number in range(2 * KEPT_SESSIONS):
        sets = number % 7 + 1
        (week,) = plan_figures(written(sets), {1: EXERCISES[0]})
        assert week.working_sets == sets


def test_the_same_session_is_read_again_when_its_exercise_is_another():
    plan = written(4)
    (before,) = plan_figures(plan, {1: EXERCISES[0]})

    (after,) = plan_figures(plan, {1: EXERCISES[1]})

    assert Muscle.LATS not in before.volume
    assert after.volume.keys() == {Muscle.LATS, Muscle.BICEPS}
