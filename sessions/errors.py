"""What the services of sessions may refuse."""

from collections.abc import Iterable
from dataclasses import dataclass


class EntryError(Exception):
    """An entry from a phone cannot be kept as it is; the message says how to mend it."""


class ReviewError(Exception):
    """A decision cannot be carried out; the message names why and the remedy."""


@dataclass(frozen=True, order=True)
class RowFault:
    """One thing to mend in a log: its line and column, and what is wrong with the remedy."""

    line: int
    column: str
    message: str

    def __str__(self) -> str:
        """Write it as one line, place first."""
        return f"line {self.line}, {self.column}: {self.message}"


class LogFileError(Exception):
    """A file cannot be read as a log at all; the message is one sentence with the remedy."""


class LogImportError(Exception):
    """A log cannot be taken in; ``faults`` name each row, its column and the remedy."""

    def __init__(self, faults: Iterable[RowFault]) -> None:
        self.faults = tuple(sorted(faults))
        super().__init__("\n".join(str(fault) for fault in self.faults))
