"""Template filters that write dates, targets and quantities the way coaches do."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from django import template

register = template.Library()


@register.filter
def kg(value: Decimal | float | None) -> str:
    """A load with its unit and no needless zeros: 7.5 kg."""
    if value is None:
        return "–"
    return f"{float(value):.2f}".rstrip("0").rstrip(".") + " kg"


@register.filter
def targets(value: Iterable[int]) -> str:
    """Targets set by set, shortened when all are the same: 5 × 7, or 8-7-7-7-7."""
    numbers = list(value)
    if len(numbers) > 1 and len(set(numbers)) == 1:
        return f"{len(numbers)} × {numbers[0]}"
    return "-".join(str(n) for n in numbers)


@register.filter
def rest(seconds: int) -> str:
    """A rest in the unit in which coaches say it: 2 min, 90 s."""
    if seconds >= 120 and seconds % 60 == 0:
        return f"{seconds // 60} min"
    return f"{seconds} s"


@register.filter
def day(value: date | None) -> str:
    """A day with its weekday: Tue 17 Nov."""
    if value is None:
        return "–"
    return f"{value:%a} {value.day} {value:%b}"


@register.filter
def span(start: date, end: date) -> str:
    """From one day to another: 23–29 Nov, or 30 Nov – 6 Dec."""
    if start.month == end.month:
        return f"{start.day}–{end.day} {end:%b}"
    return f"{start.day} {start:%b} – {end.day} {end:%b}"
