"""Which load is none, and which is one: what moves the body may stand at 0 (common practice)."""

import pytest

from coaching.blocks.words import load_text
from coaching.library.shared_catalogue import read_shared_catalogue
from coaching.rules.findings import FindingKind
from coaching.rules.load_to_choose import (
    is_left_open,
    is_to_choose,
    lines_to_choose,
    load_finding,
    needs_load,
)
from coaching.rules.plan import EquipmentKind, LoadKind, Pair, Part, PlannedSession
from coaching.rules.progression import Exposure, Step, next_target
from tests.rules.examples import MONDAY, make_exercise, make_prescription, make_sets

PUSH_UP = make_exercise()
PRESS = make_exercise("press", name="Bench press", body_share=0.0, load_kind=LoadKind.EXTERNAL)
CURL = make_exercise("curl", name="Curl", body_share=0.0, load_kind=LoadKind.EXTERNAL)


def session(*lines) -> PlannedSession:
    pairs = (
        Pair(letter, Part.SUPPLEMENTARY, (x,)) for letter, x in zip("ABC", lines, strict=False)
    )
    return PlannedSession("one", "Upper A", MONDAY, tuple(pairs))


@pytest.mark.parametrize(
    ("kind", "load", "to_choose"),
    [
        (LoadKind.NONE, 0.0, False),
        (LoadKind.ADDED, 0.0, False),
        (LoadKind.EXTERNAL, 0.0, True),
        (LoadKind.ASSISTED, 0.0, True),
        (LoadKind.EXTERNAL, 2.5, False),
        (LoadKind.ASSISTED, 15.0, False),
    ],
)
def test_no_load_is_told_from_a_load_that_is_not_chosen_by_what_the_exercise_needs(
    kind, load, to_choose
):
    assert is_to_choose(make_exercise(load_kind=kind), load) is to_choose


def test_a_session_names_every_exercise_without_a_load_and_points_at_the_first():
    press = make_prescription(PRESS, key="line-1")
    curl = make_prescription(CURL, key="line-2")
    found = load_finding(session(make_prescription(PUSH_UP), press, curl))

    assert found is not None
    assert found.kind is FindingKind.LOAD_TO_CHOOSE
    assert found.sentence == "Upper A: choose the loads of Bench press and Curl."
    assert found.line == "line-1"
    assert found.source_key == "common-practice"


def test_a_band_is_for_the_client_to_pick_and_no_coach_is_told():
    band = make_exercise("band", load_kind=LoadKind.EXTERNAL, equipment=[EquipmentKind.BANDS])

    assert is_to_choose(band, 0.0)
    assert load_finding(session(make_prescription(band))) is None


def test_it_goes_when_the_last_load_is_chosen():
    press = make_prescription(PRESS, load=40.0)
    chosen = session(make_prescription(PUSH_UP), press)

    assert not list(lines_to_choose(chosen))
    assert load_finding(chosen) is None


def test_a_load_that_was_left_to_find_goes_on_from_what_the_client_used():
    asked = make_prescription(PRESS, (8, 8, 8), part=Part.SUPPLEMENTARY)
    done = Exposure(MONDAY, make_sets(PRESS, (8, 8, 8), 40.0, targets=(8, 8, 8)), asked)

    found = next_target(
        asked, [done], loads=(20.0, 40.0, 42.5), harder=None, easier=None, body_weight=80.0
    )

    # Double progression, a repetition more at the same load: common practice.
    assert (found.step, found.targets, found.load) == (Step.STEP_UP, (9, 8, 8), 40.0)


NEEDS_A_WEIGHT = {
    "Goblet squat": "the weight before the chest is what tells it from a squat",
    "Kettlebell goblet squat": "the same, with a kettlebell",
    "Dumbbell walking lunge": "a lunge with a dumbbell in each hand",
}
"""What moves the body and is not itself without a weight, by name: common practice, no source."""
ANCHORS = {"Lowering Nordic curl", "Nordic curl"}
"""Here the bar holds the feet."""


def test_what_is_named_by_a_weight_needs_one_all_over_the_shared_exercises():
    every = [one.exercise for one in read_shared_catalogue()]
    by_kind = {kind: [one for one in every if one.load_kind is kind] for kind in LoadKind}
    weights = {EquipmentKind.DUMBBELLS, EquipmentKind.KETTLEBELLS, EquipmentKind.BARBELL}
    unloaded = {one.name for one in by_kind[LoadKind.NONE] if weights & set(one.equipment)}

    assert {one.name for one in by_kind[LoadKind.ADDED] if needs_load(one)} == set(NEEDS_A_WEIGHT)
    assert all(needs_load(one) for one in by_kind[LoadKind.EXTERNAL] + by_kind[LoadKind.ASSISTED])
    assert not any(needs_load(one) for one in by_kind[LoadKind.NONE])
    assert unloaded == ANCHORS


@pytest.mark.parametrize(
    ("equipment", "to_choose"),
    [
        ([EquipmentKind.DUMBBELLS], True),
        ([EquipmentKind.KETTLEBELLS], True),
        ([EquipmentKind.VEST], True),
        ([EquipmentKind.BOX], False),
        ([EquipmentKind.DIP_BARS], False),
        ([], False),
    ],
)
def test_a_load_on_top_of_the_body_is_to_choose_where_nothing_can_be_done_without_a_weight(
    equipment, to_choose
):
    squat = make_exercise("squat", load_kind=LoadKind.ADDED, equipment=equipment)

    assert is_to_choose(squat, 0.0) is to_choose
    assert is_left_open(squat, 0.0) is to_choose
    assert not is_to_choose(squat, 10.0)
    assert load_text(0.0, squat) == ("load to be found" if to_choose else "")
