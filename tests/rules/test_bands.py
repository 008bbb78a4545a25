"""Elastic bands: help is a range over the movement, and so is what is told of strength."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coaching.rules.bands import BandHelp, SystemLoad, band_help, system_load_band
from coaching.rules.findings import NoAnswer
from coaching.rules.loads import EquipmentItem, available_loads, band_for, loads_of
from coaching.rules.plan import EquipmentKind as Kind
from coaching.rules.plan import LoadKind
from coaching.rules.strength import Estimate, estimate_one_rm
from tests.rules.examples import make_exercise, make_pull_up

ASSISTED = make_pull_up(load_kind=LoadKind.ASSISTED)
kilograms = st.integers(0, 200).map(lambda n: n / 4)


@given(kilograms, kilograms)
def test_the_middle_lies_between_the_ends_whichever_is_named_first(bottom, top):
    found = band_help(bottom, top)

    assert found == band_help(top, bottom)
    assert found.low <= found.mean <= found.high
    assert found.mean - found.low == found.high - found.mean


def test_a_band_that_pushes_the_wrong_way_is_refused():
    with pytest.raises(ValueError, match="both ends"):
        band_help(-5, 10)


def test_the_most_help_leaves_the_least_load():
    # By hand: 80 kg on a bar, helped by 25 kg at the bottom and 10 kg at the top.
    assert system_load_band(ASSISTED, band_help(25, 10), 80) == SystemLoad(62.5, 55, 70)


def test_a_band_that_resists_adds_its_most():
    pull_apart = make_exercise(body_share=0, load_kind=LoadKind.EXTERNAL)

    assert system_load_band(pull_apart, band_help(2, 6), 80) == SystemLoad(4, 2, 6)


def test_strength_with_a_band_is_told_as_widely_as_the_band_pulls():
    moved = system_load_band(ASSISTED, band_help(25, 10), 80)

    steady = estimate_one_rm(moved.mean, 5, 0)
    banded = estimate_one_rm(moved.mean, 5, 0, span=(moved.low, moved.high))

    # By hand: the same set at 55 kg and at 70 kg all along.
    least, most = estimate_one_rm(55, 5, 0), estimate_one_rm(70, 5, 0)
    assert isinstance(steady, Estimate)
    assert isinstance(banded, Estimate)
    assert isinstance(least, Estimate)
    assert isinstance(most, Estimate)
    assert banded.value == steady.value
    assert (banded.low, banded.high) == (least.low, most.high)


def test_a_band_that_carries_the_whole_body_shows_no_strength():
    moved = system_load_band(ASSISTED, band_help(90, 40), 80)

    found = estimate_one_rm(moved.mean, 5, 0, span=(moved.low, moved.high))

    assert isinstance(found, NoAnswer)
    assert "not above 0 kg" in found.reason


def test_a_span_that_leaves_the_load_out_is_a_mistake():
    with pytest.raises(ValueError, match="not between"):
        estimate_one_rm(50, 5, 0, span=(55, 70))


def test_a_plan_names_the_middle_of_a_band():
    bands = EquipmentItem(Kind.BANDS, (5,), ranges=((10, 25), (20, 40)))

    assert loads_of(bands) == (5, 17.5, 30)
    assert available_loads(ASSISTED, [bands]) == (30, 17.5, 5)


def test_the_load_of_a_plan_leads_back_to_the_range_of_the_band():
    bands = [EquipmentItem(Kind.BANDS, (5,), ranges=((10, 25), (15, 20)))]

    assert band_for(17.5, bands) == BandHelp(17.5, 10, 25)
    assert band_for(5, bands) == BandHelp(5, 5, 5)


def test_the_ends_of_a_band_are_bounded_like_every_weight():
    with pytest.raises(ValueError, match="not between 0 and 500 kg"):
        EquipmentItem(Kind.BANDS, ranges=((10, 501),))
    with pytest.raises(ValueError, match="at most 200 pieces"):
        EquipmentItem(Kind.BANDS, (5,) * 100, ranges=((5, 10),) * 101)
