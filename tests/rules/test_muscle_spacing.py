"""Time between sessions that load the same muscle; 48 h and all else here is common practice."""

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.findings import FindingKind
from coaching.rules.muscle_spacing import (
    close_of_week,
    close_sessions,
    findings_for,
    session_load,
)
from coaching.rules.plan import Muscle, Part, PlannedSession
from tests.rules.examples import (
    MONDAY,
    day,
    make_exercise,
    make_prescription,
    make_pull_up,
    make_session,
    make_week,
)

PUSH_UP = make_exercise()
PULL_UP = make_pull_up()
CALVES = make_exercise("calf-raise", muscles={Muscle.CALVES: 1.0})


def upper(offset: int, sets: int = 5, **more: object) -> PlannedSession:
    lines = (make_prescription(PUSH_UP, [7] * sets), make_prescription(PULL_UP, [5] * sets))
    return make_session(lines, on=day(offset), name=f"Upper {offset}", **more)  # type: ignore[arg-type]


def test_two_days_running_are_too_close_and_a_day_between_is_enough() -> None:
    # Common practice, no source: 48 h; Monday to Tuesday is 24 h, Monday to Wednesday 48 h.
    (found,) = findings_for(make_week(upper(0), upper(1)))

    assert found.kind is FindingKind.SPACING
    assert found.sentence == (
        "Upper 0 (Mon) and Upper 1 (Tue) both load chest and lats: "
        "about 24 h between, 48 h is usual."
    )
    assert [(one.label, one.value) for one in found.evidence] == [
        ("Chest", "5 sets, then 5"),
        ("Lats", "5 sets, then 5"),
    ]
    assert findings_for(make_week(upper(0), upper(2))) == ()


def test_a_muscle_is_loaded_by_more_than_four_fractional_sets() -> None:
    # A house choice. By hand: 8 sets give triceps 8 x 0.5 = 4 sets, 9 sets give 4.5.
    eight, nine = (make_session(make_prescription(PUSH_UP, [6] * n)) for n in (8, 9))

    assert session_load(eight).sets == {Muscle.CHEST: 8}
    assert session_load(nine).sets == {Muscle.CHEST: 9, Muscle.TRICEPS: 4.5}


def test_a_light_day_after_a_hard_one_is_no_fault() -> None:
    assert findings_for(make_week(upper(0, sets=5), upper(1, sets=2))) == ()


def test_warm_up_prehab_and_calves_do_not_count() -> None:
    session = make_session(
        make_prescription(PUSH_UP, [10] * 5, part=Part.WARM_UP),
        make_prescription(PULL_UP, [8] * 5, part=Part.PREHAB),
        make_prescription(CALVES, [15] * 5),
    )

    assert session_load(session).sets == {}


def test_upper_and_lower_body_may_follow_each_other() -> None:
    squat = make_exercise("squat", muscles={Muscle.QUADRICEPS: 1.0})
    lower = make_session(make_prescription(squat), on=day(1))

    assert findings_for(make_week(upper(0), lower, upper(3))) == ()


def test_two_sessions_on_one_day_are_no_hours_apart() -> None:
    (close,) = close_sessions([session_load(upper(0)), session_load(upper(0, key="second"))])

    assert close.hours == 0


def test_sunday_is_close_to_the_monday_that_follows() -> None:
    week = make_week(upper(6))
    following = make_week(upper(7), number=2, starts_on=day(7))

    (found,) = findings_for(week, following)

    assert found.sentence.startswith("Upper 6 (Sun) and Upper 7 (Mon)")
    assert findings_for(week) == ()
    # What stands inside the following week is told there.
    assert findings_for(week, make_week(upper(8), upper(9), number=2)) == ()


@pytest.mark.parametrize("name", ["Tuesday", "Tuesday, upper"])
def test_a_name_that_says_the_day_is_not_told_it_again(name: str) -> None:
    first = upper(0)
    second = make_session(*upper(1).pairs, on=day(1), name=name)

    (found,) = findings_for(make_week(first, second))

    assert found.sentence.startswith(f"Upper 0 (Mon) and {name} both load")


days = st.lists(st.tuples(st.integers(0, 13), st.integers(1, 10)), max_size=8)


@given(days, st.integers(0, 60))
def test_moving_all_sessions_alike_changes_nothing(planned: list[tuple[int, int]], by: int) -> None:
    here = close_sessions([session_load(upper(at, sets)) for at, sets in planned])
    later = close_sessions([session_load(upper(at + by, sets)) for at, sets in planned])

    assert [(c.hours, c.muscles) for c in here] == [(c.hours, c.muscles) for c in later]


@given(days)
def test_every_fault_is_told_in_exactly_one_week(planned: list[tuple[int, int]]) -> None:
    loads = [session_load(upper(at, sets)) for at, sets in planned]
    second_starts = MONDAY + timedelta(days=7)
    first = [one for one in loads if one.session.on < second_starts]
    second = [one for one in loads if one.session.on >= second_starts]

    told = [*close_of_week(first, second), *close_of_week(second)]

    assert len(told) == len(close_sessions(loads))


@given(days)
def test_who_trains_on_every_other_day_is_never_too_close(planned: list[tuple[int, int]]) -> None:
    spread = [upper(2 * place, sets) for place, (_, sets) in enumerate(planned)]

    assert close_sessions([session_load(one) for one in spread]) == ()
