"""All registers as one, for whoever shows or checks every number."""

from coaching.rules import (
    ability_numbers,
    block_numbers,
    body_numbers,
    fall_numbers,
    forecast_numbers,
    log_numbers,
    next_block_numbers,
    numbers,
    return_numbers,
)
from coaching.rules.register import Number, NumberTable


def all_numbers() -> dict[str, Number]:
    """Every registered number by its name, in the order in which it is written down."""
    return {name: one for name, one in _entries().items() if isinstance(one, Number)}


def all_tables() -> dict[str, NumberTable]:
    """Every registered table of numbers by its name, in the order in which it is written down."""
    return {name: one for name, one in _entries().items() if isinstance(one, NumberTable)}


def _entries() -> dict[str, object]:
    registers = (
        numbers,
        block_numbers,
        body_numbers,
        log_numbers,
        ability_numbers,
        fall_numbers,
        forecast_numbers,
        next_block_numbers,
        return_numbers,
    )
    return {name: one for register in registers for name, one in vars(register).items()}
