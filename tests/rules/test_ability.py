"""The model of ability on logs whose course is known, and against published rests."""

from dataclasses import replace
from math import exp, log
from statistics import fmean

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.ability import Ability, Believed, believe, read_ability
from coaching.rules.ability_observing import tire
from coaching.rules.ability_sets import rest_between
from coaching.rules.log import LoggedSession
from coaching.rules.plan import WeekKind
from tests.rules.examples import day, make_exercise, make_logged_session, make_pull_up, make_sets
from tests.rules.simulated_client import EXERCISES, SimulatedClient, drop

PULL_UP = make_pull_up()
# Body weight of the examples [kg]; a pull-up moves all of it.
BODY = 80.0


def pull_ups(*reps: int, rir: int | None = None, load: float = 0.0, every: int = 3, **more):
    """One session of a set each, with a target that was met."""
    return [
        make_logged_session(
            make_sets(PULL_UP, [one], load, targets=[one], rir=rir), on=day(every * i), **more
        )
        for i, one in enumerate(reps)
    ]


def after(sessions: list[LoggedSession]) -> Believed:
    believed = believe(sessions)
    assert believed is not None
    return believed


def level(sessions: list[LoggedSession], key: str = "pull-up") -> float:
    return after(sessions).exercises[key].level


# --- what a set says -----------------------------------------------------------


def test_sets_to_failure_show_strength_by_epleys_formula():
    # Epley 1985: 8 repetitions to failure at 80 kg show 80 (1 + 8/30) = 101.3 kg; a set that
    # missed its target by one had about 0.7 more, and what is left said of failure is little.
    tried = [
        make_logged_session(make_sets(PULL_UP, [8], targets=[9]), on=day(3 * i)) for i in range(30)
    ]

    shown = exp(level(tried))

    assert BODY * (1 + 8 / 30) <= shown <= BODY * (1 + 9.5 / 30)


def test_a_set_that_stopped_at_its_target_never_takes_strength_away():
    known = pull_ups(*[8] * 10, rir=2)
    easy = [replace(s, on=day(30 + 3 * i)) for i, s in enumerate(pull_ups(*[4] * 10))]

    before, later = after(known).exercises["pull-up"], after([*known, *easy]).exercises["pull-up"]

    assert later.level > before.level - 0.01
    assert later.level_spread > before.level_spread


def test_a_missed_target_does():
    known = pull_ups(*[8] * 4, rir=2)
    weak = [
        make_logged_session(make_sets(PULL_UP, [6], targets=[8]), on=day(12 + 3 * i))
        for i in range(3)
    ]

    assert level([*known, *weak]) < level(known) - 0.03


def test_more_in_reserve_is_more_strength():
    assert level(pull_ups(*[8] * 8, rir=4)) > level(pull_ups(*[8] * 8, rir=1)) + 0.03


def test_stated_reserve_is_taken_for_one_too_few():
    # Halperin 2022: 0.95 repetitions more are left than clients say.
    assert after(pull_ups(8, rir=2)).exercises["pull-up"].level == pytest.approx(
        log(BODY * (1 + (8 + 2 + 0.95) / 30)), abs=0.02
    )


def test_none_in_reserve_said_of_a_met_target_never_takes_more_than_the_set_showed():
    # Epley 1985: eight done, so 80 (1 + 8/30) kg at least, however often no more is said to be left.
    said = exp(level(pull_ups(*[8] * 30, rir=0)))

    assert BODY * (1 + 8 / 30) <= said < exp(level(pull_ups(*[8] * 30, rir=2)))


def test_who_goes_past_every_target_is_not_taken_to_have_stopped_at_it():
    def sessions(reps: int) -> list[LoggedSession]:
        sets = make_sets(PULL_UP, [reps] * 3, targets=[5] * 3)
        return [make_logged_session(sets, on=day(3 * i)) for i in range(20)]

    # Eight repetitions three times over, five asked: little can have been left of the last.
    assert exp(level(sessions(8))) < BODY * (1 + 13 / 30)


def test_a_load_typed_in_pounds_moves_nothing():
    known = pull_ups(*[8] * 10, rir=2, load=20)
    typed = make_logged_session(make_sets(PULL_UP, [8], 200, targets=[8]), on=day(31))

    assert level([*known, typed]) == pytest.approx(level(known), abs=0.01)


def test_a_load_that_comes_twice_is_believed():
    known = pull_ups(*[8] * 6, rir=2)
    heavy = [
        make_logged_session(make_sets(PULL_UP, [5], 60, targets=[5], rir=2), on=day(20 + 3 * i))
        for i in range(10)
    ]

    assert level([*known, *heavy]) > level(known) + 0.1


def test_body_weight_is_part_of_what_is_moved():
    # The same repetitions at 5 kg more are more strength, not a fall or nothing.
    light = pull_ups(*[8] * 10, rir=2)
    heavier = [
        replace(s, on=day(30 + 3 * i), body_weight=85.0)
        for i, s in enumerate(pull_ups(*[8] * 10, rir=2))
    ]

    assert level([*light, *heavier]) == pytest.approx(level(light) + log(85 / 80), abs=0.02)


# --- sets tire -----------------------------------------------------------------


@pytest.mark.parametrize(("rest", "total"), [(60, 17.1), (120, 21.6), (300, 25.7)])
def test_four_sets_to_failure_give_the_published_totals(rest, total):
    # Willardson & Burkett 2005, bench press, 4 sets at 8RM, rests of 1, 2 and 5 minutes; the
    # totals are from memory, consistent with the published +26 % and +50 %.
    # An 8RM is anything from 8 to just under 9.
    totals = [repetitions(8 + part / 10, rest) for part in range(10)]

    assert fmean(totals) == pytest.approx(total, abs=0.8)


def repetitions(fresh: float, rest: float) -> int:
    """Whole repetitions of four sets to failure."""
    fast = slow = 0.0
    done = 0
    for _ in range(4):
        done += int(fresh * exp(-(fast + slow)))
        fast, slow = tire(rest, 1.0, fast, slow)
    return done


def test_sets_far_from_failure_hardly_tire():
    near, far = tire(120, 1.0, 0, 0), tire(120, 0.5, 0, 0)

    assert sum(far) < sum(near) / 4


def test_a_partner_in_the_pair_lengthens_the_rest():
    assert rest_between(120, paired=True) > 2 * rest_between(120, paired=False)


# --- time and plan ---------------------------------------------------------------


def test_a_gap_widens_the_band():
    known = pull_ups(*[8] * 10, rir=2)
    ability, rested = Ability(), Ability()
    for one in known:
        ability.take(one)
        rested.take(one)
    rested.take(replace(known[-1], on=day(27 + 40), sets=()))

    state, later = ability.state, rested.state
    place = state.known["pull-up"].place

    assert later.bank.cov[place, place] > state.bank.cov[place, place]


def test_a_jump_in_load_is_no_fall_and_widens_the_band():
    light = pull_ups(*[8] * 12, rir=2)
    heavy = [
        make_logged_session(make_sets(PULL_UP, [5], 10, targets=[5], rir=2), on=day(36 + 3 * i))
        for i in range(6)
    ]

    course = read_ability([*light, *heavy])

    assert max(one.fall for one in course[12:]) < 0.2
    assert max(one.exercises["pull-up"].dropped for one in course[12:]) < 0.5


def test_a_new_exercise_begins_with_a_wide_band_of_its_own():
    known = pull_ups(*[8] * 12, rir=2)
    other = make_exercise("row", body_share=0.6)
    new = make_logged_session(make_sets(other, [8], targets=[8], rir=2), on=day(36))

    found = after([*known, new]).exercises

    assert found["row"].level_spread > 2 * found["pull-up"].level_spread
    assert found["pull-up"].level == pytest.approx(level(known), abs=0.01)


def test_a_deload_is_explained():
    client = SimulatedClient(2, kinds={12: WeekKind.DELOAD})

    course = read_ability(client.sessions(14))

    assert max(one.fall for one in course[36:39]) < 0.2


def test_a_shared_fall_is_found_and_dated_and_measured():
    keys = {exercise.key for exercise in EXERCISES}
    client = SimulatedClient(1, "all", change=drop(84, 0.10, keys))

    believed = after(client.sessions(14))

    assert believed.fall_of_several > 0.9
    assert believed.since is not None
    assert abs((believed.since - day(84)).days) <= 7
    assert believed.share == pytest.approx(0.10, abs=0.03)


def test_the_fall_of_one_exercise_is_its_own():
    client = SimulatedClient(1, "all", change=drop(84, 0.14, {"dip"}))

    believed = after(client.sessions(14))

    assert believed.exercises["dip"].dropped > 0.5
    assert believed.fall_of_several < 0.2


# --- habits ------------------------------------------------------------------------


def test_a_noisy_client_is_learned_to_be_noisy():
    calm, noisy = Ability(), Ability()
    for client, ability in ((SimulatedClient(0, "all", day_noise=0.005), calm),
                            (SimulatedClient(0, "all", day_noise=0.04), noisy)):  # fmt: skip
        for session in client.sessions(40):
            ability.take(session)

    assert noisy.state.day_noise.variance > 2 * calm.state.day_noise.variance


def test_habits_are_named_with_their_units():
    habits = Ability().state.habits

    assert habits["repetitions left beyond those said"] == (0.95, "reps")
    assert all(unit for _, unit in habits.values())


# --- anything that may be logged ---------------------------------------------------


@given(
    st.lists(
        st.tuples(
            st.integers(0, 40),
            st.integers(0, 200),
            st.floats(0, 300),
            st.one_of(st.none(), st.integers(0, 10)),
            st.one_of(st.none(), st.integers(1, 10)),
        ),
        max_size=25,
    )
)
def test_no_log_breaks_it(rows):
    on, ability = 0, Ability()
    for gap, reps, load, rir, rpe in rows:
        on += gap
        sets = make_sets(PULL_UP, [reps, 5], load, targets=[8, 8], rir=rir)
        ability.take(make_logged_session(sets, on=day(on), rpe=rpe))

    believed = ability.believed

    assert believed is None or (0 <= believed.fall <= 1 and 0 <= believed.fall_of_several <= 1)
    assert (ability.state.bank.cov.diagonal() >= 0).all()


def test_sessions_must_come_oldest_first():
    ability = Ability()
    ability.take(pull_ups(8)[0])

    with pytest.raises(ValueError, match="oldest first"):
        ability.take(replace(pull_ups(8)[0], on=day(-3)))


def test_without_a_session_nothing_is_believed():
    assert believe([]) is None
    assert read_ability([]) == ()
