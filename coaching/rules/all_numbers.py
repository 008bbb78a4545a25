"""Both registers as one, for whoever shows or checks every number."""

from coaching.rules import body_numbers, numbers
from coaching.rules.register import Number


def all_numbers() -> dict[str, Number]:
    """Every registered number by its name, in the order in which it is written down."""
    entries = {**vars(numbers), **vars(body_numbers)}
    return {name: one for name, one in entries.items() if isinstance(one, Number)}
