"""Which loads a client's equipment can make, so that nothing else is ever asked for.

Loads are kilograms, told to the quarter of a kilogram. What a load means for an
exercise (added, external, assistance) is said by its load kind.
"""

from collections import Counter
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from itertools import chain

from coaching.rules.bands import BandHelp, band_help
from coaching.rules.numbers import LOAD_GRAIN, LOAD_HEAVIEST, LOAD_MOST_PIECES
from coaching.rules.plan import EquipmentKind, Exercise, LoadKind

QUARTER = LOAD_GRAIN.value
HEAVIEST = int(LOAD_HEAVIEST.value)
MOST_PIECES = int(LOAD_MOST_PIECES.value)
"""Bounds that keep the work small whatever somebody typed in: kilograms, pieces."""

_GRAINS = 100
"""Sums are made in hundredths of a kilogram, so that pound plates add up right."""

_SUMMED = frozenset({EquipmentKind.BELT, EquipmentKind.VEST})
_HELD = frozenset({EquipmentKind.DUMBBELLS, EquipmentKind.KETTLEBELLS})
_HELPING = frozenset({EquipmentKind.BANDS, EquipmentKind.CABLE})
_IMPLEMENTS = _HELD | {
    EquipmentKind.BARBELL,
    EquipmentKind.CABLE,
    EquipmentKind.BANDS,
    EquipmentKind.LEG_MACHINE,
}


@dataclass(frozen=True)
class EquipmentItem:
    """One thing that a client owns, with what it weighs.

    ``pieces`` [kg] lists each weight as often as it is owned: dumbbells, plates,
    notches of a cable stack, the kilograms that a band helps or resists. ``bar``
    [kg] is the empty barbell, belt or vest. ``ranges`` [kg] lists bands that were weighed at
    both ends of the movement; the middle is the load that a plan names.

    Raises:
        ValueError: when a weight is below zero, above what anybody lifts, or there are
            more pieces than a gym has.
    """

    kind: EquipmentKind
    pieces: tuple[float, ...] = ()
    bar: float = 0.0
    ranges: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        """Refuse weights that cannot be."""
        count = len(self.pieces) + len(self.ranges)
        if count > MOST_PIECES:
            message = f"{self.kind}: list at most {MOST_PIECES} pieces, not {count}."
            raise ValueError(message)
        for weight in (self.bar, *self.pieces, *chain.from_iterable(self.ranges)):
            if not 0 <= weight <= HEAVIEST:
                message = f"{self.kind}: {weight:g} kg is not between 0 and {HEAVIEST} kg."
                raise ValueError(message)


def loads_of(item: EquipmentItem) -> tuple[float, ...]:
    """Every load one piece of equipment can make [kg], lightest first.

    Dumbbells, kettlebells, cable stacks and bands are one choice a piece; a belt or
    vest carries any sum of its pieces; a barbell carries pairs of equal plates.
    Work grows with the number of pieces, never with the number of their sums.

    >>> loads_of(EquipmentItem(EquipmentKind.BARBELL, (5, 5, 2.5, 2.5, 10), bar=20))
    (20.0, 25.0, 30.0, 35.0)
    """
    if item.kind in _SUMMED:
        return _sums(item.bar, item.pieces)
    if item.kind is EquipmentKind.BARBELL:
        counts = Counter(item.pieces)
        pairs = (2 * weight for weight, count in counts.items() for _ in range(count // 2))
        return _sums(item.bar, pairs)
    return _tidy((*item.pieces, *(band_help(*ends).mean for ends in item.ranges)))


def band_for(load: float, equipment: Iterable[EquipmentItem]) -> BandHelp:
    """What the band gives over the movement that a plan names by one load [kg].

    Without a range written down it is that load all along; of several bands with the same
    middle, the widest range counts.

    >>> band_for(17.5, [EquipmentItem(EquipmentKind.BANDS, (10,), ranges=((25, 10),))])
    BandHelp(mean=17.5, low=10, high=25)
    """
    owned = [one for one in equipment if one.kind is EquipmentKind.BANDS]
    bands = [band_help(*ends) for one in owned for ends in one.ranges]
    fitting = [one for one in bands if _tidy((one.mean,)) == _tidy((load,))]
    return max(fitting, key=lambda one: one.high - one.low, default=band_help(load, load))


def available_loads(exercise: Exercise, equipment: Iterable[EquipmentItem]) -> tuple[float, ...]:
    """The loads that can be written for an exercise [kg], easiest first.

    Added load starts at 0 and comes from the implement that the exercise names, else a
    belt or vest, else something held. Assistance comes with the largest help first.
    Empty when the client owns nothing that could load the exercise.
    """
    owned = tuple(equipment)
    named = frozenset(exercise.equipment)
    match exercise.load_kind:
        case LoadKind.NONE:
            return (0.0,)
        case LoadKind.ADDED:
            return _tidy((0.0, *_added(owned, named & _IMPLEMENTS)))
        case LoadKind.EXTERNAL:
            return _tidy(_all_of(owned, (named & _IMPLEMENTS) or _HELD))
        case LoadKind.ASSISTED:
            kinds = (named & _HELPING) or frozenset({EquipmentKind.BANDS})
            return _tidy(_all_of(owned, kinds))[::-1]


def loads_unknown(exercise: Exercise, equipment: Iterable[EquipmentItem]) -> bool:
    """Whether what loads an exercise is owned, with no weight of it written down."""
    owned = tuple(equipment)
    if any(available_loads(exercise, owned)):
        return False
    kinds = loading(exercise)
    return any(item.kind in kinds for item in owned)


def loading(exercise: Exercise) -> frozenset[EquipmentKind]:
    """The kinds of equipment that make the load of an exercise."""
    named = frozenset(exercise.equipment)
    match exercise.load_kind:
        case LoadKind.NONE:
            return frozenset()
        case LoadKind.ADDED:
            return named & _IMPLEMENTS or _SUMMED | _HELD
        case LoadKind.EXTERNAL:
            return named & _IMPLEMENTS or _HELD
        case LoadKind.ASSISTED:
            return named & _HELPING or frozenset({EquipmentKind.BANDS})


def next_load_up(load: float, loads: Iterable[float], *, assisted: bool = False) -> float | None:
    """The next harder load [kg], none when there is none; less help when assisted.

    >>> next_load_up(10, (7.5, 10, 12.5)), next_load_up(10, (5, 10), assisted=True)
    (12.5, 5)
    """
    if assisted:
        return max((one for one in loads if one < load), default=None)
    return min((one for one in loads if one > load), default=None)


def next_load_down(load: float, loads: Iterable[float], *, assisted: bool = False) -> float | None:
    """The next easier load [kg], none when there is none; more help when assisted.

    >>> next_load_down(10, (7.5, 10, 12.5)), next_load_down(5, (5, 10), assisted=True)
    (7.5, 10)
    """
    return next_load_up(load, loads, assisted=not assisted)


def can_do(exercise: Exercise, equipment_kinds: Collection[EquipmentKind]) -> bool:
    """Whether a client owns everything that an exercise needs."""
    return not missing_equipment(exercise, equipment_kinds)


def missing_equipment(
    exercise: Exercise, equipment_kinds: Collection[EquipmentKind]
) -> tuple[EquipmentKind, ...]:
    """What a client would have to get before doing an exercise, in the exercise's order."""
    return tuple(kind for kind in exercise.equipment if kind not in equipment_kinds)


def loads_made(exercise: Exercise, equipment: Collection[EquipmentItem]) -> tuple[float, ...]:
    """The loads that equipment makes for an exercise [kg]; none where what it needs is missing."""
    is_there = not missing_equipment(exercise, {item.kind for item in equipment})
    return available_loads(exercise, equipment) if is_there else ()


def _added(owned: tuple[EquipmentItem, ...], named: frozenset[EquipmentKind]) -> tuple[float, ...]:
    for kinds in (named, _SUMMED, _HELD):
        if found := _all_of(owned, kinds):
            return found
    return ()


def _all_of(owned: tuple[EquipmentItem, ...], kinds: frozenset[EquipmentKind]) -> tuple[float, ...]:
    return tuple(load for item in owned if item.kind in kinds for load in loads_of(item))


def _sums(empty: float, weights: Iterable[float]) -> tuple[float, ...]:
    # Bit n of `reached` says that n grains can be made. Adding a piece is one shift, so
    # forty plates cost forty shifts and not 2**40 sums.
    mask = (1 << HEAVIEST * _GRAINS + 1) - 1
    reached = 1 << round(empty * _GRAINS)
    for weight in weights:
        reached |= (reached << round(weight * _GRAINS)) & mask
    digits = bin(reached)[:1:-1]
    return _tidy(place / _GRAINS for place, digit in enumerate(digits) if digit == "1")


def _tidy(loads: Iterable[float]) -> tuple[float, ...]:
    return tuple(sorted({round(load / QUARTER) * QUARTER for load in loads}))
