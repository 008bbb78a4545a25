"""Weights as a coach types them and as a page says them; kilograms inside."""

import re
from collections.abc import Sequence

from coaching.rules.loads import HEAVIEST, MOST_PIECES
from coaching.rules.numbers import POUND

KG_PER_POUND = POUND.value
"""The international avoirdupois pound."""

_ENTRY = re.compile(
    r"^(?:(\d{1,3})\s*[x×*]\s*)?(\d{1,3}(?:\.\d{1,3})?)\s*(kg|lb|lbs)?$", re.IGNORECASE
)
_RANGE = re.compile(
    r"^(\d{1,3}(?:\.\d+)?)\s*(?:-|–|to)\s*(\d{1,3}(?:\.\d+)?)\s*by\s*(\d{1,3}(?:\.\d+)?)\s*(?:kg)?$",
    re.IGNORECASE,
)
_ENDS = re.compile(
    r"^(\d{1,3}(?:\.\d{1,3})?)\s*(?:-|–|to)\s*(\d{1,3}(?:\.\d{1,3})?)\s*(kg|lb|lbs)?$",
    re.IGNORECASE,
)
_SPACED = re.compile(r"^[\d.]+(?:\s+[\d.]+)+$")
_COMMA_INSIDE = re.compile(r"\d,\d")


class WeightsError(ValueError):
    """An entry is not a weight; the message names it and the remedy."""


def read_weights(text: str) -> tuple[float, ...]:
    """Weights [kg] from what was typed, each as often as it is owned, lightest first.

    Entries stand between commas, semicolons or line ends: ``5``, ``4 × 2.5``, ``10 lb``,
    ``10 to 30 by 2.5``.

    >>> read_weights("2 × 5, 7.5; 10 to 15 by 2.5")
    (5.0, 5.0, 7.5, 10.0, 12.5, 15.0)
    """
    weights: list[float] = []
    for entry in _entries(text):
        weights += _weights_of(entry)
        _refuse_too_many(entry, len(weights))
    return tuple(sorted(weights))


def read_bands(text: str) -> tuple[float | tuple[float, float], ...]:
    """Bands from what was typed: one number [kg], or what one gives at both ends of a movement.

    >>> read_bands("10, 10-25, 20 to 40 by 10")
    (10.0, (10.0, 25.0), 20.0, 30.0, 40.0)
    """
    bands: list[float | tuple[float, float]] = []
    for entry in _entries(text):
        ends = _ENDS.match(entry)
        bands += [_ends(entry, *ends.groups())] if ends else _weights_of(entry)
        _refuse_too_many(entry, len(bands))
    return tuple(sorted(bands, key=_middle))


def read_weight(text: str) -> float:
    """One weight [kg], 0 when nothing was typed."""
    weights = read_weights(text)
    if len(weights) > 1:
        message = f"“{text.strip()}” is more than one weight; write one, such as 20."
        raise WeightsError(message)
    return weights[0] if weights else 0.0


def _entries(text: str) -> list[str]:
    parts = (part.strip() for part in re.split(r"[;\n]|,\s+|,$", text))
    return [part for part in parts if part]


def _refuse_too_many(entry: str, count: int) -> None:
    if count > MOST_PIECES:
        message = f"“{entry}” makes more than {MOST_PIECES} pieces; list fewer."
        raise WeightsError(message)


def _ends(entry: str, one: str, other: str, unit: str | None) -> tuple[float, float]:
    low, high = sorted((_in_kilograms(one, unit), _in_kilograms(other, unit)))
    return _possible(entry, low), _possible(entry, high)


def _middle(band: float | tuple[float, float]) -> tuple[float, float]:
    if isinstance(band, tuple):
        return sum(band) / 2, band[1] - band[0]
    return band, 0


def _in_kilograms(number: str, unit: str | None) -> float:
    pounds = unit is not None and unit.lower().startswith("lb")
    return round(float(number) * KG_PER_POUND, 2) if pounds else float(number)


def _weights_of(entry: str) -> list[float]:
    if _COMMA_INSIDE.search(entry):
        message = (
            f"“{entry}” can be read in two ways; write 7.5 with a point, "
            "and a space after the comma between two weights."
        )
        raise WeightsError(message)
    if _SPACED.match(entry):
        return [weight for one in entry.split() for weight in _weights_of(one)]
    if found := _RANGE.match(entry):
        return _range(entry, *(float(number) for number in found.groups()))
    found = _ENTRY.match(entry)
    if found is None:
        message = f"“{entry}” is not a weight; write it like 7.5, 4 × 2.5 or 10 to 30 by 2.5."
        raise WeightsError(message)
    count, number, unit = found.groups()
    return [_possible(entry, _in_kilograms(number, unit))] * _count(entry, count)


def _range(entry: str, start: float, end: float, step: float) -> list[float]:
    if step <= 0 or end < start or (end - start) / step > MOST_PIECES:
        message = f"“{entry}” does not climb; write it like 10 to 30 by 2.5."
        raise WeightsError(message)
    steps = int((end - start) / step + 1e-9)
    return [_possible(entry, round(start + n * step, 2)) for n in range(steps + 1)]


def _count(entry: str, count: str | None) -> int:
    number = int(count or 1)
    if not 1 <= number <= MOST_PIECES:
        message = f"“{entry}” counts {number} pieces; write 1 to {MOST_PIECES}."
        raise WeightsError(message)
    return number


def _possible(entry: str, weight: float) -> float:
    if not 0 < weight <= HEAVIEST:
        message = f"“{entry}” is not between 0 and {HEAVIEST} kg; correct it or leave it out."
        raise WeightsError(message)
    return weight


def say_weights(weights: Sequence[float]) -> str:
    """Owned pieces the way they are typed: 2 × 1.25, 4 × 5, 10.

    >>> say_weights([1.25, 1.25, 5, 10])
    '2 × 1.25, 5, 10'
    """
    counts = {weight: list(weights).count(weight) for weight in sorted(set(weights))}
    return ", ".join(
        f"{count} × {weight:g}" if count > 1 else f"{weight:g}" for weight, count in counts.items()
    )


def say_bands(bands: Sequence[float | tuple[float, float]]) -> str:
    """Owned bands the way they are typed: 10, 10–25.

    >>> say_bands([10, (10, 25)])
    '10, 10–25'
    """
    return ", ".join(
        f"{band[0]:g}–{band[1]:g}" if isinstance(band, tuple) else f"{band:g}"
        for band in sorted(bands, key=_middle)
    )


def say_loads(loads: Sequence[float]) -> str:
    """Loads in words, a run of equal steps as one: 5, 7.5, 10–30 kg by 2.5.

    >>> say_loads([20, 22.5, 25, 27.5, 40])
    '20–27.5 by 2.5, 40 kg'
    """
    runs: list[list[float]] = []
    for load in sorted(loads):
        if runs and _goes_on(runs[-1], load):
            runs[-1].append(load)
        else:
            runs.append([load])
    words = ", ".join(_run(run) for run in _mended(runs))
    return f"{words} kg" if words else ""


def _goes_on(run: list[float], load: float) -> bool:
    return len(run) == 1 or abs((load - run[-1]) - (run[1] - run[0])) < 1e-6


def _mended(runs: list[list[float]]) -> list[list[float]]:
    # Two neighbours say nothing about a step: they are written one by one.
    return [part for run in runs for part in ([run] if len(run) > 2 else [[one] for one in run])]


def _run(run: list[float]) -> str:
    if len(run) == 1:
        return f"{run[0]:g}"
    return f"{run[0]:g}–{run[-1]:g} by {run[1] - run[0]:g}"
