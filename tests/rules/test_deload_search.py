"""The light week is the best there is: against every answer, counted out."""

from collections.abc import Iterator, Sequence
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coaching.rules.deload_search import Room, Window, cheapest, price


def all_answers(rooms: Sequence[Room]) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Every choice of whole sets and units that the rooms allow, counted out one by one."""
    options = [
        [
            (sets, units)
            for sets in range(room.min_sets, room.max_sets + 1)
            for units in range(room.floor * sets, sum(room.caps[:sets]) + 1)
            if units >= room.min_units
        ]
        for room in rooms
    ]
    for answer in product(*options):
        yield tuple(s for s, _ in answer), tuple(u for _, u in answer)


@st.composite
def tiny_weeks(draw) -> tuple[list[Room], list[Window]]:
    rooms = []
    for side in draw(st.sampled_from([(1, -1), (1, -1, 0), (1, -1, -1), (1, 1)])):
        caps = tuple(
            sorted(draw(st.lists(st.integers(2, 5), min_size=1, max_size=3)), reverse=True)
        )
        wanted = 0.4 * sum(caps)
        rooms.append(
            Room(
                caps=caps,
                floor=draw(st.integers(1, 2)),
                min_sets=draw(st.integers(0, 1)),
                max_sets=len(caps),
                min_units=0,
                wanted_sets=0.4 * len(caps),
                wanted_units=wanted,
                side=side,
            )
        )
    usual = sum(sum(room.caps) for room in rooms)
    week = Window((1 / usual,) * len(rooms), 0.35, 0.45)
    first = Window((1 / sum(rooms[0].caps),) + (0.0,) * (len(rooms) - 1), 0.2, 0.6)
    return rooms, [week, first]


def keeps(windows: Sequence[Window], units: Sequence[int]) -> bool:
    sums = [sum(w * u for w, u in zip(one.weights, units, strict=True)) for one in windows]
    return all(
        one.low - 1e-9 <= total <= one.high + 1e-9 for one, total in zip(windows, sums, strict=True)
    )


@settings(max_examples=60)
@given(tiny_weeks())
def test_the_search_finds_the_best_of_all_answers(week):
    rooms, windows = week
    allowed = [a for a in all_answers(rooms) if keeps(windows, a[1])]

    found = cheapest(rooms, windows)

    assert found.proven
    assert keeps(windows, found.units) == bool(allowed)
    if allowed:
        best = min(price(rooms, *answer) for answer in allowed)
        assert price(rooms, found.sets, found.units) == pytest.approx(best)
