"""What is asked next after a missed target, and after pain."""

from dataclasses import replace

from coaching.rules.plan import LoadKind, Part, WeekKind
from coaching.rules.progression import Exposure, Step, next_target
from tests.rules.asking import ask, curl, easier_rung, push_up
from tests.rules.examples import (
    day,
    make_exercise,
    make_prescription,
    make_pull_up,
    make_sets,
)

# Missing


def test_a_target_missed_once_is_repeated():
    found = ask(make_prescription(push_up), (7, 7, 7, 6, 6), easier=easier_rung)

    assert (found.step, found.targets) == (Step.HOLD, (7,) * 5)
    assert found.sentence.startswith("2 sets of Push up fell short, for the first time")


def test_a_target_missed_twice_is_stepped_back_and_says_where_to_look():
    found = ask(make_prescription(push_up), (7, 7, 7, 6, 6), (7, 7, 6, 6, 6))

    assert (found.step, found.targets) == (Step.STEP_BACK, (7, 7, 6, 6, 6))
    assert "sleep, pain and pacing" in found.sentence


def test_a_target_missed_twice_but_closer_is_held():
    found = ask(make_prescription(push_up), (6, 6, 6, 6, 6), (7, 7, 7, 6, 6))

    assert (found.step, found.targets) == (Step.HOLD, (7,) * 5)


def test_below_the_range_the_load_goes_down_before_the_rung():
    asked = make_prescription(make_pull_up(), (5,) * 5, 10)
    easier = make_pull_up("assisted", load_kind=LoadKind.NONE)

    lighter = ask(asked, (5, 5, 4, 4, 4), (5, 4, 4, 4, 4), loads=(0, 7.5, 10), easier=easier)
    rung = ask(replace(asked, load=0), (5, 4, 4, 4, 4), (4,) * 5, easier=easier)

    assert (lighter.step, lighter.targets, lighter.load) == (Step.STEP_BACK, (5,) * 5, 7.5)
    assert (rung.step, rung.exercise_key, rung.targets) == (Step.STEP_BACK, "assisted", (6,) * 5)


def test_far_below_the_range_the_load_goes_down_until_the_fewest_repetitions_can_be_done():
    """The formulas of Epley (1985) and Brzycki (1993), written out here once more."""

    def reps_at(load, reps, done_at):
        epley = 30 * (done_at * (1 + reps / 30) / load - 1)
        brzycki = 37 - 36 * load / (done_at * 36 / (37 - reps))
        return min(epley, brzycki)

    row = make_exercise("row", load_kind=LoadKind.EXTERNAL, body_share=0)
    loads = tuple(float(one) for one in range(1, 13))

    found = ask(
        make_prescription(row, (8,) * 3, 11, part=Part.SUPPLEMENTARY),
        (4, 4, 3),
        (3, 3, 3),
        loads=loads,
    )

    about_enough = [one for one in loads if one < 11 and reps_at(one, 3, 11) >= 8 - 1]
    assert (found.step, found.targets) == (Step.STEP_BACK, (8,) * 3)
    assert found.load == max(about_enough) == 9


def test_a_step_back_counts_the_reserve_that_was_left_and_the_one_that_is_asked_for():
    row = make_exercise("row", load_kind=LoadKind.EXTERNAL, body_share=0)
    loads = tuple(one / 2 for one in range(2, 25))
    asked = make_prescription(row, (8,) * 3, 11, part=Part.SUPPLEMENTARY)
    done = ((4, 4, 3), (3, 3, 3))

    to_failure = ask(asked, *done, loads=loads)
    reserve = ask(replace(asked, rir=1), *done, loads=loads)

    # By the formulas above 7.6 repetitions are to be expected at 9.5 kg, 9.2 at 9 kg.
    assert (to_failure.load, reserve.load) == (9.5, 9)


def test_where_no_lighter_load_will_do_the_easier_rung_comes_first():
    asked = make_prescription(push_up, (6,) * 5, 20)
    vest = replace(push_up, load_kind=LoadKind.ADDED)
    asked = replace(asked, exercise=vest)

    done = (3, 2, 2, 1, 1)
    rung = ask(asked, done, done, loads=(19.0, 20.0), easier=easier_rung)
    none = ask(asked, done, done, loads=(19.0, 20.0))

    assert (rung.step, rung.exercise_key) == (Step.STEP_BACK, easier_rung.key)
    assert (none.step, none.exercise_key, none.load) == (Step.STEP_BACK, vest.key, 19)


def test_sets_left_out_are_not_taken_for_weakness():
    found = ask(make_prescription(push_up), (7, 7, 7), (7, 7, 7))

    assert (found.step, found.targets) == (Step.HOLD, (7,) * 5)
    assert "3 of 5 sets" in found.sentence


def test_less_load_than_asked_is_a_miss():
    asked = make_prescription(curl, (8, 8, 8), 10, part=Part.ISOLATION)

    once = ask(asked, ((8, 8, 8), 8), loads=(8, 10))
    twice = ask(asked, ((8, 8, 8), 8), ((8, 8, 8), 8), loads=(8, 10))

    assert (once.step, once.load) == (Step.HOLD, 10)
    assert (twice.step, twice.load) == (Step.STEP_BACK, 8)


def test_reps_that_collapse_are_cured_by_a_shorter_first_set():
    # 9,8,6,5,4 is the trade's own picture of bad pacing against 7,7,7,7,7.
    found = ask(make_prescription(push_up), (9, 8, 6, 5, 4))

    assert (found.step, found.targets) == (Step.HOLD, (6,) * 5)
    assert "first set" in found.sentence


# Pain


def test_pain_above_five_steps_back_and_refers_to_a_licensed_practitioner():
    found = ask(make_prescription(push_up), (7,) * 5, pain=6, easier=easier_rung)

    assert (found.step, found.exercise_key) == (Step.STEP_BACK, "incline")
    assert "licensed practitioner" in found.sentence


def test_after_pain_the_muscles_move_a_tenth_less_or_as_little_as_can_be():
    dip = make_exercise("dip", load_kind=LoadKind.ADDED, body_share=1)
    row = make_exercise("row", load_kind=LoadKind.EXTERNAL, body_share=0)

    whole = ask(make_prescription(dip, (6,) * 5, 10), (6,) * 5, pain=7, loads=(0, 5, 7.5, 10))
    heavy = ask(make_prescription(dip, (6,) * 5, 10), (6,) * 5, pain=7, loads=(7.5, 10))
    small = ask(make_prescription(row, (8,) * 3, 11), (8,) * 3, pain=7, loads=(8, 9, 10, 11))

    # 80 + 10 kg less a tenth is 81 kg; 11 kg less a tenth is 9.9 kg.
    assert (whole.load, heavy.load, small.load) == (0, 7.5, 9)


def test_pain_the_time_before_still_holds():
    asked = make_prescription(push_up)
    hurt = Exposure(day(0), make_sets(push_up, (7,) * 5, pain=7), asked, WeekKind.DELOAD)
    well = Exposure(day(3), make_sets(push_up, (7,) * 5, pain=0), asked)

    found = next_target(asked, [hurt, well], loads=(0.0,), harder=None, easier=None, body_weight=80)

    assert (found.step, found.targets) == (Step.HOLD, (7,) * 5)
