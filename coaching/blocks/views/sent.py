"""Numbers as a page sends them."""

MOST_DIGITS = 9


def number_in(text: str) -> int | None:
    """A whole number, none when it is none or too long to be one of ours."""
    return int(text) if text.isdecimal() and len(text) <= MOST_DIGITS else None
