"""The exact search behind a light week: whole sets and whole repetitions.

For every exercise of the week the search picks how many sets stay and how much work
they hold in all, so that the shares hold, pushing equals pulling, and as little as
possible is lost. It is a small integer programme, solved to proven optimality, not
rounding: rounding each exercise by itself misses the share of a muscle that many
short exercises work, and puts pushing and pulling out of balance.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import floor, inf

import numpy as np

# What the search pays for. These order wishes; they are no numbers of the trade. A set
# of difference between pushing and pulling costs more than losing several exercises,
# that more than repetitions out of balance, that more than an exercise a little off its share.
PRICE_SET_BETWEEN_SIDES = 1000.0
PRICE_DROPPED_EXERCISE = 100.0
PRICE_REP_BETWEEN_SIDES = 10.0
PRICE_REP_OFF_SHARE = 4.0
PRICE_SET_OFF_SHARE = 2.0
# Only when not all shares can hold: a point of share beyond a window.
PRICE_POINT_OUTSIDE = 2000.0
# The search is stopped after so many branches, and then says that it is not proven.
MOST_NODES = 200


@dataclass(frozen=True, slots=True)
class Room:
    """How far one exercise of the week may be lightened.

    ``caps`` is the most each set may hold, largest first; ``floor`` the least a kept
    set holds; both in whole units of ``reps_per_unit`` repetitions (holds are counted in
    steps of seconds). ``wanted_sets`` and ``wanted_units`` are where the share would put it.
    ``side`` is 1 for pushing, -1 for pulling, 0 otherwise. ``fixed_units`` is none
    unless the coach set the work itself.
    """

    caps: tuple[int, ...]
    floor: int
    min_sets: int
    max_sets: int
    min_units: int
    wanted_sets: float
    wanted_units: float
    side: int = 0
    reps_per_unit: float = 1.0
    counts_reps: bool = True
    fixed_units: int | None = None


@dataclass(frozen=True, slots=True)
class Window:
    """A weighted sum of units that must lie between ``low`` and ``high`` [share of usual].

    ``weights`` are per exercise and already divided by the usual sum, so that the
    sum is a share.
    """

    weights: tuple[float, ...]
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Found:
    """Sets and units of every exercise; ``proven`` when no better answer exists."""

    sets: tuple[int, ...]
    units: tuple[int, ...]
    proven: bool


@dataclass(slots=True)
class _Programme:
    """Rows and columns of an integer programme, filled one by one."""

    cost: list[float] = field(default_factory=list)
    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    whole: list[int] = field(default_factory=list)
    cells: list[tuple[int, int, float]] = field(default_factory=list)
    row_low: list[float] = field(default_factory=list)
    row_high: list[float] = field(default_factory=list)

    def column(
        self, *, cost: float = 0.0, low: float = 0.0, high: float = inf, whole: bool = False
    ) -> int:
        """Add an unknown and return its number."""
        self.cost.append(cost)
        self.low.append(low)
        self.high.append(high)
        self.whole.append(int(whole))
        return len(self.cost) - 1

    def row(self, cells: Mapping[int, float], low: float = -inf, high: float = inf) -> None:
        """Ask that a weighted sum lies between two values."""
        number = len(self.row_low)
        self.cells.extend((number, column, weight) for column, weight in cells.items() if weight)
        self.row_low.append(low)
        self.row_high.append(high)

    def distance(self, of: int, centre: float, price: float) -> None:
        """Pay for each whole step that an unknown is away from ``centre``.

        The third row joins the two whole numbers around the centre, which makes the
        relaxed programme as tight as a whole one and the search short.
        """
        away = self.column(cost=price)
        self.row({away: 1.0, of: -1.0}, low=-centre)
        self.row({away: 1.0, of: 1.0}, low=centre)
        below = floor(centre)
        part = centre - below
        self.row({away: 1.0, of: -(1 - 2 * part)}, low=part - (1 - 2 * part) * below)

    def difference(self, cells: Mapping[int, float], price: float) -> None:
        """Pay for a weighted sum being away from zero."""
        away = self.column(cost=price)
        self.row({**cells, away: 1.0}, low=0.0)
        self.row({**cells, away: -1.0}, high=0.0)


def cheapest(rooms: Sequence[Room], windows: Sequence[Window]) -> Found:
    """The cheapest whole sets and units with every share in its window.

    When no answer keeps all windows, the one that leaves them least is returned.
    """
    if not rooms:
        return Found((), (), proven=True)
    found = _solve(rooms, windows, strict=True)
    return found or _solve(rooms, windows, strict=False) or _as_it_would_be(rooms)


def price(rooms: Sequence[Room], sets: Sequence[int], units: Sequence[int]) -> float:
    """What an answer costs, apart from the windows. The smaller the better."""
    total = 0.0
    for room, count, work in zip(rooms, sets, units, strict=True):
        if room.fixed_units is None:
            total += PRICE_DROPPED_EXERCISE * (count == 0)
            total += PRICE_SET_OFF_SHARE * abs(count - room.wanted_sets)
            off = abs(work - room.wanted_units)
            total += PRICE_REP_OFF_SHARE * room.reps_per_unit * off
    by_sets, by_reps = _compared(rooms)
    total += PRICE_SET_BETWEEN_SIDES * abs(sum(rooms[i].side * sets[i] for i in by_sets))
    total += PRICE_REP_BETWEEN_SIDES * abs(sum(rooms[i].side * units[i] for i in by_reps))
    return total


def _compared(rooms: Sequence[Room]) -> tuple[list[int], list[int]]:
    """Exercises whose sets, and whose repetitions, are compared between the sides."""
    sided = [i for i, room in enumerate(rooms) if room.side]
    counted = [i for i in sided if rooms[i].counts_reps]
    return tuple(  # type: ignore[return-value]
        group if len({rooms[i].side for i in group}) == 2 else [] for group in (sided, counted)
    )


def _solve(rooms: Sequence[Room], windows: Sequence[Window], *, strict: bool) -> Found | None:
    programme = _Programme()
    columns = [_add_room(programme, room) for room in rooms]
    by_sets, by_reps = _compared(rooms)
    if by_sets:
        cells = {columns[i][0]: float(rooms[i].side) for i in by_sets}
        programme.difference(cells, PRICE_SET_BETWEEN_SIDES)
    if by_reps:
        cells = {columns[i][1]: float(rooms[i].side) for i in by_reps}
        programme.difference(cells, PRICE_REP_BETWEEN_SIDES)
    for window in windows:
        cells = {units: w for (_, units), w in zip(columns, window.weights, strict=True) if w}
        if strict:
            programme.row(cells, window.low, window.high)
        else:
            outside = programme.column(cost=100 * PRICE_POINT_OUTSIDE)
            programme.row({**cells, outside: 1.0}, low=window.low)
            programme.row({**cells, outside: -1.0}, high=window.high)
    return _run(programme, columns)


def _add_room(programme: _Programme, room: Room) -> tuple[int, int]:
    if room.fixed_units is not None:
        exact = float(room.fixed_units)
        sets = programme.column(low=room.min_sets, high=room.max_sets, whole=True)
        return sets, programme.column(low=exact, high=exact, whole=True)
    most = sum(room.caps[: room.max_sets])
    sets = programme.column(low=room.min_sets, high=room.max_sets, whole=True)
    units = programme.column(low=min(room.min_units, most), high=most, whole=True)
    programme.row({units: 1.0, sets: -float(room.floor)}, low=0.0)
    # The largest work of so many sets is a concave staircase: one row for each slope.
    seen: set[int] = set()
    for before, cap in enumerate(room.caps):
        if cap not in seen:
            seen.add(cap)
            programme.row(
                {units: 1.0, sets: -float(cap)}, high=float(sum(room.caps[:before]) - cap * before)
            )
    if room.min_sets == 0:
        dropped = programme.column(cost=PRICE_DROPPED_EXERCISE, high=1.0, whole=True)
        programme.row({dropped: 1.0, sets: 1.0}, low=1.0)
    programme.distance(sets, room.wanted_sets, PRICE_SET_OFF_SHARE)
    programme.distance(units, room.wanted_units, PRICE_REP_OFF_SHARE * room.reps_per_unit)
    return sets, units


def _run(programme: _Programme, columns: Sequence[tuple[int, int]]) -> Found | None:
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415 - slow to import
    from scipy.sparse import csr_array  # noqa: PLC0415

    shape = (len(programme.row_low), len(programme.cost))
    rows, cols, weights = zip(*programme.cells, strict=True) if programme.cells else ((), (), ())
    answer = milp(
        np.array(programme.cost),
        constraints=LinearConstraint(
            csr_array((weights, (rows, cols)), shape=shape),
            np.array(programme.row_low),
            np.array(programme.row_high),
        ),
        integrality=np.array(programme.whole),
        bounds=Bounds(np.array(programme.low), np.array(programme.high)),
        options={"mip_rel_gap": 0.0, "node_limit": MOST_NODES},
    )
    if answer.x is None:
        return None
    return Found(
        tuple(round(float(answer.x[sets])) for sets, _ in columns),
        tuple(round(float(answer.x[units])) for _, units in columns),
        proven=answer.status == 0,
    )


def _as_it_would_be(rooms: Sequence[Room]) -> Found:
    """Each exercise rounded by itself, should the search be stopped before any answer."""
    sets, units = [], []
    for room in rooms:
        count = min(max(round(room.wanted_sets), room.min_sets), room.max_sets)
        most = sum(room.caps[:count])
        least = max(room.floor * count, min(room.min_units, most))
        work = room.fixed_units
        sets.append(count)
        units.append(min(max(round(room.wanted_units), least), most) if work is None else work)
    return Found(tuple(sets), tuple(units), proven=False)
