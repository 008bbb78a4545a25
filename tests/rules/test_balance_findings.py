"""Where a week leans; all of it common practice, the thresholds are house choices."""

from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.balance import planned_week_balance
from coaching.rules.balance_findings import findings_for
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.plan import JointAction, Part, Pattern, Plane, PlannedSession
from tests.rules.examples import (
    day,
    make_exercise,
    make_prescription,
    make_pull_up,
    make_session,
    make_week,
)

INWARD = JointAction.SHOULDER_INTERNAL_ROTATION
OUTWARD = JointAction.SHOULDER_EXTERNAL_ROTATION
PUSH_UP = make_exercise(joint_actions=[JointAction.ELBOW_EXTENSION])
ROW = make_exercise("row", Pattern.PULL, joint_actions=[JointAction.ELBOW_FLEXION])
PULL_UP = make_pull_up()


def told(*sessions: PlannedSession) -> tuple[Finding, ...]:
    week = make_week(*sessions)
    return findings_for(week, planned_week_balance(week))


def pair(push_sets: int, pull_sets: int, pull: object = ROW) -> PlannedSession:
    return make_session(
        make_prescription(PUSH_UP, [7] * push_sets),
        make_prescription(pull, [7] * pull_sets),  # type: ignore[arg-type]
    )


def test_an_even_week_has_nothing_to_tell() -> None:
    assert told(pair(5, 5), pair(5, 5)) == ()


def test_a_week_with_more_pushing_says_so_with_its_numbers() -> None:
    (found,) = told(pair(6, 5))

    assert found.kind is FindingKind.BALANCE
    assert found.sentence == ("The week has more pushing than pulling: 6 push sets, 5 pull sets.")
    assert [(e.label, e.value) for e in found.evidence] == [
        ("Pushing", "6 sets, 42 reps"),
        ("Pulling", "5 sets, 35 reps"),
    ]
    assert found.source_key == "house"


def test_an_even_week_can_be_out_of_proportion_by_plane() -> None:
    # Ten horizontal pushing sets beside ten vertical pulling ones.
    sentences = [one.sentence for one in told(pair(10, 10, PULL_UP))]

    assert sentences == [
        "Horizontal work is mostly pushing: 10 push sets, 0 pull sets.",
        "Vertical work is mostly pulling: 0 push sets, 10 pull sets.",
        "Shoulder adduction has 10 sets, shoulder abduction none.",
    ]


def test_rotation_in_is_set_against_rotation_out() -> None:
    press = make_exercise("press", Pattern.CORE, plane=Plane.NONE, joint_actions=[INWARD])
    turn = make_exercise("turn", Pattern.PREHAB, plane=Plane.NONE, joint_actions=[OUTWARD])

    def week(outward: int) -> tuple[Finding, ...]:
        return told(
            make_session(
                make_prescription(press, [8] * 8),
                make_prescription(turn, [8] * outward, part=Part.PREHAB),
            )
        )

    assert [one.sentence for one in week(3)] == [
        "Shoulder internal rotation has 8 sets, shoulder external rotation 3."
    ]
    # One set more, and inward has just twice outward.
    assert week(4) == ()


def test_prehab_makes_up_for_a_lack_and_is_never_a_surplus() -> None:
    turn = make_exercise("turn", Pattern.PREHAB, plane=Plane.NONE, joint_actions=[OUTWARD])

    assert told(make_session(make_prescription(turn, [8] * 12, part=Part.PREHAB))) == ()


def test_few_sets_are_not_judged() -> None:
    curl = make_exercise(
        "curl", Pattern.CORE, plane=Plane.NONE, joint_actions=[JointAction.ELBOW_FLEXION]
    )

    assert told(make_session(make_prescription(curl, [10] * 7))) == ()
    assert len(told(make_session(make_prescription(curl, [10] * 8)))) == 1


def test_the_shoulder_blade_is_told_and_not_judged() -> None:
    hang = make_exercise(
        "hang", Pattern.CORE, plane=Plane.NONE, joint_actions=[JointAction.SCAPULAR_DEPRESSION]
    )

    assert told(make_session(make_prescription(hang, [10] * 12))) == ()


work = st.lists(
    st.tuples(
        st.sampled_from([PUSH_UP, ROW, PULL_UP]), st.integers(1, 8), st.sampled_from([0, 2, 4])
    ),
    max_size=8,
)


@given(work, st.randoms(use_true_random=False))
def test_where_in_the_week_an_exercise_stands_makes_no_difference(planned, chance) -> None:
    def week(placed):
        by_day = {at: [p for p, on in placed if on == at] for at in (0, 2, 4)}
        return told(*(make_session(*lines, on=day(at)) for at, lines in by_day.items()))

    lines = [(make_prescription(one, [6] * sets), at) for one, sets, at in planned]
    moved = [(one, chance.choice([0, 2, 4])) for one, _ in lines]

    assert week(lines) == week(moved)
