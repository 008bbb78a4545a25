"""What a band helps or resists: never one number, because it pulls harder as it stretches.

Common practice, no source: the pull rises about evenly with the stretch. A plan needs one
number, so the middle of the movement is taken (house choice); whatever is estimated from a
set with a band keeps the whole range, because nobody knows at which point the set ended.
"""

from dataclasses import dataclass

from coaching.rules.plan import Exercise
from coaching.rules.volume import system_load


@dataclass(frozen=True, slots=True)
class BandHelp:
    """Help or resistance of a band [kg]: in the middle of the movement, least and most."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class SystemLoad:
    """What the muscles move [kg]: in the middle of the movement, least and most."""

    mean: float
    low: float
    high: float


def band_help(bottom_kg: float, top_kg: float) -> BandHelp:
    """What a band gives over a movement, from what it gives at its two ends [kg].

    Args:
        bottom_kg: At the bottom of the movement; a band under the feet helps most there.
        top_kg: At the top.

    Raises:
        ValueError: When an end is below 0 kg.

    >>> band_help(25, 10)
    BandHelp(mean=17.5, low=10, high=25)
    """
    low, high = sorted((bottom_kg, top_kg))
    if low < 0:
        message = f"A band cannot give {low:g} kg; weigh it at both ends of the movement."
        raise ValueError(message)
    return BandHelp((low + high) / 2, low, high)


def system_load_band(exercise: Exercise, band: BandHelp, body_weight: float) -> SystemLoad:
    """What the muscles move with a band [kg], with the range over the movement.

    Help takes load off, so the most help leaves the least load.

    Args:
        exercise: Says which share of body weight it moves, and whether a band helps or resists.
        band: What the band gives.
        body_weight: Weight of the client [kg], above 0.
    """
    ends = sorted(system_load(exercise, kg, body_weight) for kg in (band.low, band.high))
    return SystemLoad(system_load(exercise, band.mean, body_weight), ends[0], ends[-1])
