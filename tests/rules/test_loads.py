"""Which loads equipment can make: against counting every combination, one by one."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.loads import (
    EquipmentItem,
    available_loads,
    can_do,
    loads_of,
    missing_equipment,
    next_load_down,
    next_load_up,
)
from coaching.rules.plan import EquipmentKind as Kind
from coaching.rules.plan import LoadKind
from tests.rules.examples import make_exercise, make_pull_up

quarters = st.integers(0, 80).map(lambda n: n / 4)


@given(st.lists(quarters, max_size=8))
def test_a_belt_carries_every_sum_of_its_pieces_and_no_other(pieces):
    item = EquipmentItem(Kind.BELT, tuple(pieces))

    loads = loads_of(item)

    by_hand = {sum(c) for n in range(len(pieces) + 1) for c in combinations(pieces, n)}
    assert loads == tuple(sorted(by_hand))


@given(st.lists(st.sampled_from([1.25, 2.5, 5.0, 10.0]), max_size=9), st.sampled_from([0, 10, 20]))
def test_a_barbell_carries_equal_plates_on_both_ends(plates, bar):
    item = EquipmentItem(Kind.BARBELL, tuple(plates), bar=bar)

    loads = loads_of(item)

    # By hand: choose any plates for the left end that can be matched on the right end.
    by_hand = {
        bar + 2 * sum(left)
        for n in range(len(plates) // 2 + 1)
        for left in combinations(plates, n)
        if all(2 * left.count(one) <= plates.count(one) for one in left)
    }
    assert loads == tuple(sorted(by_hand))


@pytest.mark.parametrize("kind", [Kind.DUMBBELLS, Kind.KETTLEBELLS, Kind.CABLE, Kind.BANDS])
def test_a_dumbbell_kettlebell_notch_or_band_is_one_choice_by_itself(kind):
    item = EquipmentItem(kind, (10, 7.5, 10, 12.5))

    loads = loads_of(item)

    assert loads == (7.5, 10.0, 12.5)


def test_pound_plates_add_up_before_they_are_rounded_to_the_quarter_kilogram():
    # 2.27 kg is 5 lb; four of them are 9.08 kg, nearest quarter 9.0.
    item = EquipmentItem(Kind.BELT, (2.27,) * 4)

    loads = loads_of(item)

    assert loads == (0.0, 2.25, 4.5, 6.75, 9.0)


def test_a_gym_full_of_plates_is_answered_as_fast_as_a_few():
    item = EquipmentItem(Kind.VEST, tuple(1 + n / 100 for n in range(200)))

    loads = loads_of(item)

    assert len(loads) <= 500 * 4 + 1
    assert max(loads) <= 500


@pytest.mark.parametrize("weight", [-1, 501, float("nan"), float("inf")])
def test_a_weight_that_cannot_be_is_refused_by_name(weight):
    with pytest.raises(ValueError, match="dumbbells"):
        EquipmentItem(Kind.DUMBBELLS, (10, weight))


def test_more_pieces_than_a_gym_has_are_refused():
    with pytest.raises(ValueError, match="at most 200"):
        EquipmentItem(Kind.BELT, (1.0,) * 201)


def test_added_load_begins_with_none_and_uses_belt_and_vest():
    equipment = [
        EquipmentItem(Kind.BELT, (5, 10)),
        EquipmentItem(Kind.VEST, (2, 2)),
        EquipmentItem(Kind.DUMBBELLS, (40,)),
    ]

    loads = available_loads(make_pull_up(), equipment)

    assert loads == (0, 2, 4, 5, 10, 15)


def test_added_load_is_held_when_there_is_neither_belt_nor_vest():
    equipment = [EquipmentItem(Kind.DUMBBELLS, (4, 6))]

    loads = available_loads(make_pull_up(), equipment)

    assert loads == (0, 4, 6)


def test_external_load_comes_from_the_implement_the_exercise_needs():
    curl = make_exercise(
        "curl", load_kind=LoadKind.EXTERNAL, body_share=0, equipment=(Kind.DUMBBELLS, Kind.BENCH)
    )
    equipment = [EquipmentItem(Kind.DUMBBELLS, (6, 8)), EquipmentItem(Kind.KETTLEBELLS, (12,))]

    assert available_loads(curl, equipment) == (6, 8)
    assert available_loads(curl, []) == ()


def test_assistance_begins_with_the_largest_help():
    assisted = make_pull_up(load_kind=LoadKind.ASSISTED)
    equipment = [EquipmentItem(Kind.BANDS, (10, 30, 20))]

    loads = available_loads(assisted, equipment)

    assert loads == (30, 20, 10)


def test_an_exercise_without_load_has_only_none():
    plain = make_exercise(load_kind=LoadKind.NONE)

    assert available_loads(plain, [EquipmentItem(Kind.BELT, (5,))]) == (0,)


@given(st.lists(quarters, min_size=1, unique=True), quarters, st.booleans())
def test_up_and_down_are_neighbours_with_nothing_between(loads, load, assisted):
    up = next_load_up(load, loads, assisted=assisted)
    down = next_load_down(load, loads, assisted=assisted)

    low, high = (up, down) if assisted else (down, up)
    assert low is None or low < load
    assert high is None or high > load
    passed_over = [one for one in loads if one != load and one not in {low, high}]
    assert all(
        (low is not None and one < low) or (high is not None and one > high) for one in passed_over
    )


def test_what_is_missing_is_named():
    dip = make_exercise("dip", equipment=(Kind.DIP_BARS, Kind.BELT))

    assert missing_equipment(dip, {Kind.BELT}) == (Kind.DIP_BARS,)
    assert not can_do(dip, {Kind.BELT})
    assert can_do(dip, {Kind.BELT, Kind.DIP_BARS, Kind.RINGS})
    assert can_do(make_exercise(), set())
