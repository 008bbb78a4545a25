"""A small chart of the log: values by day, with words for both ends of both axes."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from clients.templatetags.in_words import day

WIDTH, HEIGHT = 300, 80
MARGIN = 6


@dataclass(frozen=True)
class ChartValue:
    """What came out on one day."""

    on: date
    value: float
    is_light: bool = False


@dataclass(frozen=True)
class Dot:
    """One value in the drawing."""

    x: float
    y: float
    is_light: bool


@dataclass(frozen=True)
class LogChart:
    """A line through values of days."""

    label: str
    high: str
    low: str
    first: str
    last: str
    dots: tuple[Dot, ...]
    width: int = WIDTH
    height: int = HEIGHT

    @property
    def points(self) -> str:
        """The line as SVG writes it."""
        return " ".join(f"{dot.x},{dot.y}" for dot in self.dots)

    @property
    def has_light(self) -> bool:
        """Whether a value stands in a light week."""
        return any(dot.is_light for dot in self.dots)


def log_chart(label: str, values: Sequence[ChartValue], unit: str) -> LogChart | None:
    """The chart of values in the order of their days, none when there is only one."""
    if len(values) < 2:
        return None
    first, last = values[0], values[-1]
    low, high = min(v.value for v in values), max(v.value for v in values)
    days = max((last.on - first.on).days, 1)
    dots = tuple(
        Dot(
            round((one.on - first.on).days / days * WIDTH, 1),
            round(_from_top(one.value, low, high), 1),
            one.is_light,
        )
        for one in values
    )
    return LogChart(
        label=(
            f"{label}, from {first.value:g} {unit} on {day(first.on)} "
            f"to {last.value:g} {unit} on {day(last.on)}, between {low:g} and {high:g}"
        ),
        high=f"{high:g} {unit}" if high > low else "",
        low=f"{low:g} {unit}",
        first=day(first.on),
        last=day(last.on),
        dots=dots,
    )


def _from_top(value: float, low: float, high: float) -> float:
    share = (value - low) / ((high - low) or 1)
    return HEIGHT - MARGIN - share * (HEIGHT - 2 * MARGIN)
