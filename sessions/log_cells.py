"""What one cell of a log says: text in, a value out, or a sentence on how to mend it."""

import re
from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from typing import TypeVar

Value = TypeVar("Value")
Reader = Callable[[str], Value]

EARLIEST_YEAR = 1970
_NUMBER = re.compile(r"[+-]?[0-9]{1,9}(?:[.,][0-9]{1,9})?")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_TRUTHS = {"1": True, "yes": True, "true": True, "0": False, "no": False, "false": False}


class CellError(ValueError):
    """A cell cannot be read; the message says what is wrong and how to mend it."""


def whole(least: int, most: int) -> Reader[int]:
    """A reader of whole numbers from least to most; ``8.0`` is 8."""
    remedy = f"Write a whole number from {least} to {most}."

    def read(text: str) -> int:
        number = _within(text, least, most, remedy)
        if number != number.to_integral_value():
            message = f"{text} is no whole number. {remedy}"
            raise CellError(message)
        return int(number)

    return read


def decimal(least: int, most: int, *, unit: str, step: str) -> Reader[Decimal]:
    """A reader of numbers with a point or a comma before the decimals, rounded to a step."""
    remedy = f"Write a number from {least} to {most}{unit}."

    def read(text: str) -> Decimal:
        return _within(text, least, most, remedy).quantize(Decimal(step))

    return read


def _within(text: str, least: int, most: int, remedy: str) -> Decimal:
    if not _NUMBER.fullmatch(text):
        message = f"“{text}” is no number. {remedy}"
        raise CellError(message)
    number = Decimal(text.replace(",", "."))
    if number < least:
        message = f"{text} is below {least}. {remedy}"
        raise CellError(message)
    if number > most:
        message = f"{text} is above {most}. {remedy}"
        raise CellError(message)
    return number


def day(today: date) -> Reader[date]:
    """A reader of dates such as 2026-03-11 that are not after today."""
    example = f"Write year-month-day, such as {today.isoformat()}."

    def read(text: str) -> date:
        try:
            found = date.fromisoformat(text) if _DAY.fullmatch(text) else None
        except ValueError:
            found = None
        if found is None:
            message = f"“{text}” is no date. {example}"
            raise CellError(message)
        if found > today:
            message = f"{text} lies in the future. Write a day up to {today.isoformat()}."
            raise CellError(message)
        if found.year < EARLIEST_YEAR:
            message = f"{text} is before {EARLIEST_YEAR}. Check the year."
            raise CellError(message)
        return found

    return read


def words(longest: int, *, one_line: bool = True) -> Reader[str]:
    """A reader of text; doubled spaces in a name do not count."""

    def read(text: str) -> str:
        found = " ".join(text.split()) if one_line else text
        if any(not sign.isprintable() and sign not in "\n\r\t" for sign in found):
            message = "It holds a sign that cannot be shown. Write it again without."
            raise CellError(message)
        if len(found) > longest:
            message = f"It has {len(found)} characters. Shorten it to {longest}."
            raise CellError(message)
        return found

    return read


def one_of(choices: Mapping[str, Value]) -> Reader[Value]:
    """A reader of one of a few words; capitals do not count."""
    remedy = f"Write {', '.join(list(choices)[:-1])} or {list(choices)[-1]}."

    def read(text: str) -> Value:
        try:
            return choices[text.casefold()]
        except KeyError as error:
            message = f"“{text}” is not known here. {remedy}"
            raise CellError(message) from error

    return read


yes_or_no: Reader[bool] = one_of(_TRUTHS)
