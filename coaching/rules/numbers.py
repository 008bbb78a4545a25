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
WORKING_SET_RESERVE = Number(
    4,
    "reps in reserve",
    "The most that an unplanned set may leave in reserve and still count as work",
    NumberKind.CONVENTION,
    "common-practice",
)
WEEKLY_SETS_MINIMUM = Number(
    4,
    "fractional sets a week",
    "The least that makes a muscle grow; below it the volume is too small",
    NumberKind.EVIDENCE,
    "iversen-2021",
)
WEEKLY_SETS_LOW = Number(
    10,
    "fractional sets a week",
    "Where the range for a muscle of a trained client starts (a trend, not proof)",
    NumberKind.EVIDENCE,
    "schoenfeld-2017",
)
WEEKLY_SETS_HIGH = Number(
    20,
    "fractional sets a week",
    "Where the range for a muscle ends; more is no fault, but seldom worth its time",
    NumberKind.EVIDENCE,
    "baz-valle-2022",
)
BALANCE_TOLERANCE = Number(
    0.10,
    "share of the larger side",
    "How far pushing and pulling sets may differ and still be called even",
    NumberKind.HOUSE_CHOICE,
    "house",
)
WARM_UP_SECONDS = Number(
    480,
    "s",
    "Warm-up before the first pair, the least that is allowed for",
    NumberKind.HOUSE_CHOICE,
    "house",
)
SET_UP_SECONDS = Number(
    60,
    "s",
    "Finding and setting up the equipment of one exercise",
    NumberKind.HOUSE_CHOICE,
    "house",
)
ONE_RM_SURE_REPS = Number(
    10,
    "reps to failure",
    "Up to here the published formulas estimate a one-repetition maximum well",
    NumberKind.EVIDENCE,
    "reynolds-2006",
)
ONE_RM_LAST_REPS = Number(
    15,
    "reps to failure",
    "Above this no one-repetition maximum is estimated",
    NumberKind.HOUSE_CHOICE,
    "house",
)
RESERVE_ERROR = Number(
    0.95,
    "reps",
    "How many more repetitions than they say clients have in reserve, on average",
    NumberKind.EVIDENCE,
    "halperin-2022",
)
RESERVE_SHORT_SET = Number(
    12,
    "reps to failure",
    "The longest set in which clients judge their reserve to about one repetition",
    NumberKind.EVIDENCE,
    "halperin-2022",
)
RESERVE_ERROR_LONG_SET = Number(
    3,
    "reps",
    "How far the reserve may be off in a longer set",
    NumberKind.HOUSE_CHOICE,
    "house",
)
