"""Numbers as a page sends them, and what is said where one is missing."""

from uuid import UUID

from coaching.blocks.editing.sent_acts import Sent
from coaching.blocks.errors import BlockError

MOST_DIGITS = 9
LATER = "This page is older than the plan. Load it again."


def number_in(text: str) -> int | None:
    """A whole number, none when it is none or too long to be one of ours."""
    return int(text) if text.isdecimal() and len(text) <= MOST_DIGITS else None


def revision_in(text: str) -> int:
    """The revision that a page was made from; BlockError where it says none."""
    revision = number_in(text)
    if revision is None:
        raise BlockError(LATER)
    return revision


def sent_in(text: str) -> Sent | None:
    """The id of an act: its window and its number with a point between; none where it is none."""
    window, _, number = text.partition(".")
    count = number_in(number)
    try:
        return None if count is None else Sent(UUID(window), count)
    except ValueError:
        return None


def numbers_in(text: str) -> frozenset[int]:
    """The whole numbers of a list with commas; what is none of ours is passed by."""
    found = (number_in(one) for one in text.split(","))
    return frozenset(one for one in found if one is not None)
