"""Where a client stands on a ladder, by constructed examples and by what must always hold.

The numbers a rung asks are common practice, no source: 5 × 8 and then something harder.
"""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.joint_limits import JointLimit, LimitAction
from coaching.rules.ladder_place import (
    Met,
    RungState,
    asks_of,
    goal_answer,
    place_on_ladder,
)
from coaching.rules.plan import JointStress, LoadKind, Measure, Pattern, Prerequisite
from tests.rules.examples import (
    day,
    make_exercise,
    make_logged_session,
    make_pull_up,
    make_sets,
)

TODAY = day(60)
assisted = make_pull_up("assisted", load_kind=LoadKind.ASSISTED, ladder="pull-up", rung=1)
chin_up = make_pull_up("chin-up", ladder="pull-up", rung=2)
pull_up = make_pull_up("pull-up", ladder="pull-up", rung=3)
high_pull_up = make_pull_up("chest-to-bar", ladder="pull-up", rung=4)
PULL_UPS = (assisted, chin_up, pull_up, high_pull_up)
hang = make_exercise("dead-hang", Pattern.PULL, measure=Measure.SECONDS)
dip = make_exercise("dip", ladder="dip", rung=1)
muscle_up = replace(
    make_pull_up("muscle-up", load_kind=LoadKind.NONE, ladder="muscle-up", rung=1),
    prerequisites=(Prerequisite("pull-up", 8), Prerequisite("dip", 8)),
    joint_stresses=(JointStress.SHOULDER_OVERHEAD,),
)
KNOWN = {one.key: one for one in (*PULL_UPS, hang, dip, muscle_up)}


def done(exercise, amounts, on=50, load=0.0, **how):
    return make_logged_session(make_sets(exercise, amounts, load, **how), on=day(on))


def place(*sessions, rungs=PULL_UPS, limits=()):
    return place_on_ladder(rungs, sessions, known=KNOWN, limits=limits, today=TODAY)


def states(found):
    return [one.state for one in found.rungs]


def answers(*sessions):
    return [one.met for one in place(*sessions, rungs=[muscle_up]).rungs[0].prerequisites]


def test_a_rung_asks_eight_reps_or_thirty_seconds():
    assert asks_of(pull_up) == 8
    assert asks_of(hang) == 30
    assert asks_of(replace(dip, pattern=Pattern.PREHAB)) == 8


def test_five_sets_of_eight_own_a_rung_and_those_below_it():
    found = place(done(pull_up, (8, 8, 8, 8, 8)))

    assert states(found) == [
        RungState.BELOW,
        RungState.BELOW,
        RungState.OWNED,
        RungState.UNKNOWN,
    ]
    assert found.here.exercise is pull_up
    assert found.sentence == "Stands on Pull up, rung 3 of 4: owned: 5 × 8, 22 Apr."


@pytest.mark.parametrize(
    "session",
    [
        done(pull_up, (8, 8)),
        done(pull_up, (9, 9, 9, 9, 7)),
        done(pull_up, (8, 8, 8), pain=6),
        done(pull_up, (8, 8, 8), warm_up=True),
        done(pull_up, (8, 8, 8), on=-306),
        done(pull_up, (8, 8, 8), on=61),
    ],
    ids=["two sets", "one set short", "pain", "warm-up", "over a year ago", "not yet"],
)
def test_less_than_that_does_not_own_it(session):
    assert RungState.OWNED not in states(place(session))


def test_added_load_owns_a_rung_and_help_does_not():
    loaded = place(done(pull_up, (8, 8, 8), load=5))
    helped = place(done(assisted, (8, 8, 8), load=10))
    unhelped = place(done(assisted, (8, 8, 8), load=0))

    assert loaded.rungs[2].sentence == "owned: 3 × 8 · +5 kg, 22 Apr"
    assert helped.rungs[0].state is RungState.TRIED
    assert helped.rungs[0].sentence == "best 3 × 8 · 10 kg of help, 22 Apr"
    assert unhelped.rungs[0].state is RungState.OWNED


def test_what_was_tried_shows_its_best_session():
    found = place(done(pull_up, (6, 6, 5), on=40), done(pull_up, (5, 5, 4), on=50))

    assert found.rungs[2].state is RungState.TRIED
    assert found.rungs[2].sentence == "best 6-6-5, 12 Apr"


def test_the_client_stands_on_the_rung_worked_on_lately_not_on_one_tried_once():
    work = (done(chin_up, (6, 6, 6), on=48), done(chin_up, (7, 6, 6), on=50))

    found = place(*work, done(high_pull_up, (1,), on=50))

    assert found.here.exercise is chin_up


def test_work_of_long_ago_is_a_try_and_no_place_above_what_is_done_now():
    old = (done(high_pull_up, (3,), on=1), done(high_pull_up, (3,), on=3))
    now = (done(chin_up, (6,), on=48), done(chin_up, (6,), on=50))

    assert place(*old).here.exercise is high_pull_up
    assert place(*old, *now).here.exercise is chin_up


def test_an_empty_log_is_unknown_and_not_a_no():
    found = place(rungs=[muscle_up])

    assert found.here is None
    assert found.rungs[0].state is RungState.UNKNOWN
    assert answers() == [Met.UNKNOWN, Met.UNKNOWN]
    assert "unknown" in found.sentence


def test_prerequisites_are_met_by_one_set_and_say_their_numbers():
    found = place(done(pull_up, (6, 5)), done(dip, (8,)), rungs=[muscle_up])

    sentences = [one.sentence for one in found.rungs[0].prerequisites]

    assert [one.met for one in found.rungs[0].prerequisites] == [Met.NOT_MET, Met.MET]
    assert sentences[0] == "Pull up, 8 reps: best 6 reps, 22 Apr"
    assert [one.name for one in found.rungs[0].missing] == ["Pull up"]


def test_an_owned_harder_rung_meets_a_prerequisite_and_a_single_try_does_not():
    assert answers(done(high_pull_up, (8, 8, 8)))[0] is Met.MET
    assert answers(done(high_pull_up, (8,)))[0] is Met.UNKNOWN


@pytest.mark.parametrize(
    ("session", "why"),
    [
        (done(pull_up, (8, 8), pain=7), "done only with pain above 5 of 10, 22 Apr"),
        (done(pull_up, (0,)), "tried, not one done, 22 Apr"),
    ],
)
def test_a_prerequisite_done_with_pain_or_missed_is_not_met(session, why):
    answer = place(session, rungs=[muscle_up]).rungs[0].prerequisites[0]

    assert (answer.met, answer.log_words) == (Met.NOT_MET, why)


def test_a_number_typed_wrong_meets_nothing():
    slip = done(pull_up, (88,), targets=(8,))

    assert answers(slip)[0] is Met.UNKNOWN
    assert goal_answer(pull_up, 20, [slip], today=TODAY).met is Met.UNKNOWN


def test_a_prerequisite_that_left_the_library_is_unknown():
    gone = replace(muscle_up, prerequisites=(Prerequisite("rope-climb", 1),))

    answer = place(rungs=[gone]).rungs[0].prerequisites[0]

    assert (answer.met, answer.log_words) == (Met.UNKNOWN, "not in the library any more")


def test_a_joint_limit_names_the_rungs_it_blocks():
    avoid = JointLimit(JointStress.SHOULDER_OVERHEAD, LimitAction.AVOID)
    watch = replace(avoid, action=LimitAction.WATCH)

    assert place(rungs=[muscle_up], limits=[avoid]).rungs[0].blocked_by == (avoid,)
    assert place(rungs=[muscle_up], limits=[watch]).rungs[0].blocked_by == ()


def test_of_two_exercises_on_one_rung_neither_makes_the_other_owned():
    other = make_pull_up("ring-pull-up", ladder="pull-up", rung=3)

    found = place(done(pull_up, (8, 8, 8)), rungs=(*PULL_UPS, other))

    assert [one.state for one in found.rungs if one.exercise is other] == [RungState.UNKNOWN]


def test_a_goal_is_done_on_the_first_day_that_holds_it():
    sessions = [done(pull_up, (7,), on=40), done(pull_up, (8, 6), on=45), done(pull_up, (9,))]

    found = goal_answer(pull_up, 8, sessions, today=TODAY)

    assert (found.met, found.on, found.best) == (Met.MET, day(45), 8)
    assert found.sentence == "Done: 8 reps in one set, 17 Apr."


def test_a_goal_not_yet_done_says_how_far_it_is():
    near = goal_answer(hang, 30, [done(hang, (24, 20))], today=TODAY)
    never = goal_answer(hang, 30, [done(dip, (8,))], today=TODAY)
    helped = goal_answer(assisted, 5, [done(assisted, (8,), load=10)], today=TODAY)

    assert near.sentence == "Best set 24 s, 22 Apr: 6 s to go."
    assert (never.met, never.sentence) == (Met.UNKNOWN, "Not logged in the last year.")
    assert helped.sentence == "So far done with help only, 22 Apr."


exercises = st.sampled_from([*PULL_UPS, dip, hang])
sessions = st.builds(
    lambda exercise, amounts, on, load, pain: done(exercise, amounts, on, load, pain=pain),
    exercises,
    st.lists(st.integers(0, 12), min_size=1, max_size=6),
    st.integers(-400, 60),
    st.sampled_from([0.0, 2.5, 10.0]),
    st.integers(0, 10) | st.none(),
)
logs = st.lists(sessions, max_size=8)
ORDER = list(RungState)
MET_ORDER = [Met.UNKNOWN, Met.NOT_MET, Met.MET]


@given(logs, st.randoms(use_true_random=False))
def test_the_order_in_which_sessions_come_changes_nothing(log, rng):
    shuffled = list(log)
    rng.shuffle(shuffled)

    assert place(*shuffled) == place(*log)


@given(logs, sessions)
def test_another_session_never_takes_a_rung_or_a_prerequisite_away(log, more):
    before, after = place(*log), place(*log, more)
    asked, then = answers(*log), answers(*log, more)

    assert all(
        ORDER.index(now) >= ORDER.index(was)
        for was, now in zip(states(before), states(after), strict=True)
    )
    assert all(
        MET_ORDER.index(now) >= MET_ORDER.index(was) for was, now in zip(asked, then, strict=True)
    )


@given(logs)
def test_below_an_owned_rung_everything_counts_as_owned(log):
    found = place(*log)
    owned = [one.exercise.rung for one in found.rungs if one.state is RungState.OWNED]

    below = [one for one in found.rungs if one.exercise.rung < max(owned, default=0)]

    assert all(one.is_owned for one in below)
    assert found.here is None or found.here.exercise.rung >= max(owned, default=0)


@given(logs)
def test_unknown_means_that_nothing_of_it_is_logged_in_the_year(log):
    logged = {s.exercise.key for one in log if day(-305) <= one.on <= TODAY for s in one.sets}

    found = place(*log)

    assert all(
        (one.state is RungState.UNKNOWN) <= (one.exercise.key not in logged) for one in found.rungs
    )
    assert all(answer is Met.UNKNOWN for answer in answers(*log)) or logged


@given(logs, st.integers(1, 15))
def test_a_higher_goal_is_never_nearer(log, amount):
    lower = goal_answer(pull_up, amount, log, today=TODAY)
    higher = goal_answer(pull_up, amount + 1, log, today=TODAY)

    assert MET_ORDER.index(higher.met) <= MET_ORDER.index(lower.met)
    assert (
        lower.on is None or higher.on is None or higher.met is not Met.MET or lower.on <= higher.on
    )
