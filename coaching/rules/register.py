"""What a number of the trade is, before any rule uses it: a value that can be looked up.

``numbers`` holds the numbers of training, ``body_numbers`` those of the body; the page of
sources shows both to the coach.
"""

from dataclasses import dataclass
from enum import StrEnum

from coaching.rules.sources import SOURCES, Source


class NumberKind(StrEnum):
    """What a number rests on."""

    EVIDENCE = "evidence"
    CONVENTION = "common practice"
    HOUSE_CHOICE = "house choice"


@dataclass(frozen=True, slots=True)
class Number:
    """A value with its unit, what it means, what it rests on, and its source key."""

    value: float
    unit: str
    meaning: str
    kind: NumberKind
    source_key: str

    def __post_init__(self) -> None:
        """Refuse a number whose source is not registered."""
        if self.source_key not in SOURCES:
            message = f"“{self.meaning}” cites “{self.source_key}”, which is no registered source."
            raise ValueError(message)

    @property
    def source(self) -> Source:
        """The citation."""
        return SOURCES[self.source_key]
