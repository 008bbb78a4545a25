"""Weights as coaches type them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from clients.load_words import (
    KG_PER_POUND,
    WeightsError,
    read_bands,
    read_weight,
    read_weights,
    say_bands,
    say_loads,
    say_weights,
)


@pytest.mark.parametrize(
    ("typed", "weights"),
    [
        ("", ()),
        ("5, 7.5, 10", (5, 7.5, 10)),
        ("10;5;7.5 kg", (5, 7.5, 10)),
        ("5 7.5 10", (5, 7.5, 10)),
        ("4 x 2.5, 2×10", (2.5, 2.5, 2.5, 2.5, 10, 10)),
        ("10 to 20 by 2.5", (10, 12.5, 15, 17.5, 20)),
        ("2-6 by 2 kg", (2, 4, 6)),
        ("5,\n7.5", (5, 7.5)),
        ("5, 10,", (5, 10)),
    ],
)
def test_weights_are_read_the_way_they_are_typed(typed, weights):
    assert read_weights(typed) == weights


def test_pounds_become_kilograms_by_the_international_pound():
    # International yard and pound agreement, 1 July 1959: 1 lb = 0.453 592 37 kg exactly.
    assert Fraction(str(KG_PER_POUND)) == Fraction(45359237, 100_000_000)
    assert read_weights("45 lb, 2 x 10 lbs") == (4.54, 4.54, 20.41)


@pytest.mark.parametrize(
    ("typed", "entry"),
    [
        ("5, ten", "“ten”"),
        ("5, 7,5", "“7,5”"),
        ("0", "“0”"),
        ("501", "“501”"),
        ("-5", "“-5”"),
        ("0 x 5", "“0 x 5”"),
        ("20 to 10 by 5", "“20 to 10 by 5”"),
        ("1 to 500 by 0.1", "“1 to 500 by 0.1”"),
        ("999 x 5", "“999 x 5”"),
        ("150 x 1, 150 x 2", "“150 x 2”"),
        ("1.2.3 4", "“1.2.3”"),
    ],
)
def test_a_bad_entry_is_named(typed, entry):
    with pytest.raises(WeightsError) as refused:
        read_weights(typed)

    assert entry in str(refused.value)


def test_a_bar_has_one_weight():
    assert (read_weight("20"), read_weight(" "), read_weight("45 lb")) == (20, 0, 20.41)
    with pytest.raises(WeightsError, match="more than one weight"):
        read_weight("20, 15")


@pytest.mark.parametrize(
    ("typed", "bands"),
    [
        ("", ()),
        ("10, 20 35", (10, 20, 35)),
        ("10-25", ((10, 25),)),
        ("25 – 10 kg", ((10, 25),)),
        ("20 to 35; 5", (5, (20, 35))),
        ("22-44 lb", ((9.98, 19.96),)),
        ("2 × 10, 5 to 15 by 5", (5, 10, 10, 10, 15)),
    ],
)
def test_a_band_is_one_number_or_what_it_gives_at_both_ends(typed, bands):
    assert read_bands(typed) == bands


@pytest.mark.parametrize(("typed", "entry"), [("10-", "“10-”"), ("0-10", "“0-10”")])
def test_a_band_that_cannot_be_is_named(typed, entry):
    with pytest.raises(WeightsError) as refused:
        read_bands(typed)

    assert entry in str(refused.value)


def test_more_bands_than_a_gym_has_are_refused():
    with pytest.raises(WeightsError, match="more than 200 pieces"):
        read_bands(", ".join(["5-10"] * 201))


QUARTERS = st.lists(st.integers(1, 400).map(lambda n: n / 4), max_size=30)


@given(QUARTERS)
def test_what_is_said_of_pieces_reads_back_as_the_same_pieces(pieces):
    assert read_weights(say_weights(pieces)) == tuple(sorted(pieces))


@given(QUARTERS)
def test_what_is_said_of_loads_means_the_same_loads(pieces):
    loads = sorted(set(pieces))

    said = say_loads(loads).removesuffix(" kg").replace("–", " to ")

    assert list(read_weights(said)) == loads


BANDS = st.lists(
    st.one_of(
        st.integers(1, 400).map(lambda n: n / 4),
        st.tuples(st.integers(1, 200), st.integers(201, 400)).map(lambda t: (t[0] / 4, t[1] / 4)),
    ),
    max_size=20,
)


@given(BANDS)
def test_what_is_said_of_bands_reads_back_as_the_same_bands(bands):
    said = say_bands(bands)

    assert sorted(map(str, read_bands(said))) == sorted(str(_float(one)) for one in bands)
    assert say_bands(read_bands(said)) == said


def _float(band):
    return tuple(map(float, band)) if isinstance(band, tuple) else float(band)
