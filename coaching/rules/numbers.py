"""Every number of the trade that the rules use, with its unit, kind and source.

A rule never writes such a number itself: it names the entry here, and the page
of sources shows all entries to the coach.
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


def all_numbers() -> dict[str, Number]:
    """Every entry of this module by its name."""
    return {k: v for k, v in globals().items() if isinstance(v, Number)}


DIRECT_SHARE = Number(
    1.0,
    "sets",
    "What a set counts for the muscle that moves it",
    NumberKind.EVIDENCE,
    "pelland-2024",
)
INDIRECT_SHARE = Number(
    0.5,
    "sets",
    "What a set counts for a muscle that assists",
    NumberKind.EVIDENCE,
    "pelland-2024",
)
DELOAD_SHARE = Number(
    0.40,
    "share of usual reps",
    "Volume of a light week",
    NumberKind.CONVENTION,
    "common-practice",
)
