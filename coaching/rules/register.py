"""What a number of the trade is, before any rule uses it: a value that can be looked up.

``numbers`` holds the numbers of training, ``block_numbers`` those by which a block is judged while
it is written, ``body_numbers`` those of the body, ``log_numbers``
those by which a log is checked, ``ability_numbers`` and ``fall_numbers`` those by which
strength is followed through it, ``forecast_numbers`` those by which it is told ahead,
``next_block_numbers`` those of the block after the last; the page of sources shows them all to the coach.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

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
        _refuse_unknown(self.meaning, self.source_key)

    @property
    def source(self) -> Source:
        """The citation."""
        return SOURCES[self.source_key]


@dataclass(frozen=True, slots=True)
class NumberTable:
    """Published values that belong together: rows of the same columns, in the same unit.

    Columns of different units name theirs in the column's title, and the unit of the table
    then reads "as headed". A row may cite a source of its own.

    >>> help_of = NumberTable(
    ...     ("slack", "stretched"), {"thin": (5, 15), "thick": (10, 25)}, "kg", "help of a band",
    ...     NumberKind.HOUSE_CHOICE, "house")
    >>> help_of.value("thick", "stretched")
    25
    """

    columns: tuple[str, ...]
    rows: Mapping[str, tuple[float, ...]]
    unit: str
    meaning: str
    kind: NumberKind
    source_key: str
    row_sources: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Refuse a row of another width, a source that is not registered or has no row."""
        _refuse_unknown(self.meaning, self.source_key, *self.row_sources.values())
        odd = [row for row, values in self.rows.items() if len(values) != len(self.columns)]
        stray = sorted(set(self.row_sources) - set(self.rows))
        if odd or stray:
            message = f"“{self.meaning}”: rows of another width {odd}, sources of no row {stray}."
            raise ValueError(message)
        object.__setattr__(self, "rows", MappingProxyType(dict(self.rows)))
        object.__setattr__(self, "row_sources", MappingProxyType(dict(self.row_sources)))

    @property
    def source(self) -> Source:
        """The citation of the table as a whole."""
        return SOURCES[self.source_key]

    def source_of(self, row: str) -> Source:
        """The citation of one row: its own, or else the table's."""
        return SOURCES[self.row_sources.get(row, self.source_key)]

    def value(self, row: str, column: str) -> float:
        """One value [unit of the table or of the column] by the names of its row and column."""
        return self.rows[row][self.columns.index(column)]


def _refuse_unknown(meaning: str, *source_keys: str) -> None:
    for key in source_keys:
        if key not in SOURCES:
            message = f"“{meaning}” cites “{key}”, which is no registered source."
            raise ValueError(message)
