"""How a hold goes on: seconds, rungs and loads. Common practice, no source."""

from dataclasses import replace

import pytest

from coaching.rules.plan import LoadKind, Measure, Part
from coaching.rules.progression import Exposure, Step, next_target
from tests.rules.examples import (
    MONDAY,
    make_exercise,
    make_prescription,
    make_sets,
)

# A plank after another exercise, and a hold with more load: common practice, no source.


@pytest.mark.parametrize(("complexity", "seconds"), [(1, 20), (2, 10), (4, 10)])
def test_a_simple_hold_begins_longer_than_a_lever(complexity, seconds):
    harder = make_exercise("next", measure=Measure.SECONDS, complexity=complexity)
    asked = make_prescription(make_exercise("bug", measure=Measure.SECONDS), (30, 30, 30))
    asked = replace(asked, part=Part.SUPPLEMENTARY)
    done = Exposure(MONDAY, make_sets(asked.exercise, (30,) * 3, targets=(30,) * 3), asked)

    found = next_target(asked, [done], loads=(0.0,), harder=harder, easier=None, body_weight=80.0)

    assert (found.exercise_key, found.targets) == ("next", (seconds,) * 3)


@pytest.mark.parametrize(
    ("measure", "steps", "then"),
    [
        # No source: from a hold to repetitions nothing tells how many, so it is the coach's step.
        (Measure.SECONDS, (30, 35, 50), "Roll-out, is counted in repetitions"),
        (Measure.REPS, (12, 13, 16), "Roll-out, is counted in seconds"),
    ],
)
def test_a_rung_that_is_counted_otherwise_is_left_to_the_coach(measure, steps, then):
    other = Measure.REPS if measure is Measure.SECONDS else Measure.SECONDS
    plank = make_exercise("plank", measure=measure, load_kind=LoadKind.NONE)
    harder = make_exercise("roll-out", name="Roll-out", measure=other)
    top, longer, far = steps

    def asked_next(amount):
        asked = replace(make_prescription(plank, (amount,) * 3), part=Part.ISOLATION)
        done = Exposure(MONDAY, make_sets(plank, (amount,) * 3, targets=(amount,) * 3), asked)
        return next_target(
            asked, [done], loads=(0.0,), harder=harder, easier=None, body_weight=80.0
        )

    assert asked_next(top).targets == (longer, top, top)
    assert asked_next(far).step is Step.SWAP
    assert then in asked_next(far).sentence


@pytest.mark.parametrize(
    ("held", "share", "seconds"),
    [
        # House: of 80 kg 1.25 kg more is 1.6 %, which counts as 4.7 % of the seconds.
        (30, 1.0, 25),
        (50, 1.0, 45),
        # 1.25 on 5 kg is a quarter more: two thirds of the seconds are the least.
        (30, 0.0625, 20),
    ],
)
def test_a_hold_with_more_load_loses_the_seconds_that_the_load_costs(held, share, seconds):
    plank = make_exercise(
        "side-plank",
        measure=Measure.SECONDS,
        complexity=1,
        load_kind=LoadKind.ADDED,
        body_share=share,
    )
    asked = replace(make_prescription(plank, (held,) * 3), part=Part.ISOLATION)
    done = Exposure(MONDAY, make_sets(plank, (held,) * 3, targets=(held,) * 3), asked)

    found = next_target(
        asked, [done], loads=(0.0, 1.25), harder=None, easier=None, body_weight=80.0
    )

    assert (found.targets, found.load) == ((seconds,) * 3, 1.25)


def test_a_hold_goes_up_a_rung_before_it_is_loaded_and_is_loaded_where_there_is_none():
    plank, lever = (
        make_exercise(key, measure=Measure.SECONDS, complexity=1) for key in ("plank", "long-lever")
    )
    asked = replace(make_prescription(plank, (30,) * 3), part=Part.ISOLATION)
    done = Exposure(MONDAY, make_sets(plank, (30,) * 3, targets=(30,) * 3), asked)

    up, loaded = (
        next_target(asked, [done], loads=(0.0, 1.25), harder=rung, easier=None, body_weight=80.0)
        for rung in (lever, None)
    )

    assert (up.exercise_key, up.targets, up.load) == ("long-lever", (20,) * 3, 0)
    assert (loaded.exercise_key, loaded.targets, loaded.load) == ("plank", (25,) * 3, 1.25)
    assert loaded.source_key == "house"
    assert "is not published" in loaded.rule


def test_a_long_hold_is_made_as_long_on_every_set_before_it_is_loaded():
    plank = make_exercise("side-plank", measure=Measure.SECONDS, complexity=1)
    asked = replace(make_prescription(plank, (50, 50, 45)), part=Part.ISOLATION)
    done = Exposure(MONDAY, make_sets(plank, (50, 50, 45), targets=(50, 50, 45)), asked)

    found = next_target(
        asked, [done], loads=(0.0, 1.25), harder=None, easier=None, body_weight=80.0
    )

    assert (found.targets, found.load) == ((50, 50, 50), 0)


def test_a_hold_below_the_top_grows_by_seconds_though_a_rung_and_loads_are_there():
    plank = make_exercise("plank", measure=Measure.SECONDS)
    lever = make_exercise("long-lever", measure=Measure.SECONDS)
    asked = replace(make_prescription(plank, (25,) * 3), part=Part.ISOLATION)
    done = Exposure(MONDAY, make_sets(plank, (25,) * 3, targets=(25,) * 3), asked)

    found = next_target(
        asked, [done], loads=(0.0, 1.25), harder=lever, easier=None, body_weight=80.0
    )

    assert (found.exercise_key, found.targets) == ("plank", (30, 25, 25))
