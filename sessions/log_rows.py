"""Reads a log from a CSV file, one set a row, and names everything in it that cannot be.

The practice is not asked here: ``queries_log_import`` compares the rows with what it holds.
"""

import csv
import io
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from coaching.library.own_exercise_checks import folded_name
from coaching.rules.plan import Part, Pattern
from sessions.errors import LogFileError, RowFault
from sessions.log_cells import CellError, Reader, day, decimal, one_of, whole, words, yes_or_no

REQUIRED = ("client", "date", "exercise", "set", "reps", "load_kg")
OPTIONAL = (
    "target_reps",
    "rir",
    "session_rpe",
    "body_weight_kg",
    "pattern",
    "role",
    "planned_deload",
    "pain",
    "note",
)
OF_THE_SESSION = ("session_rpe", "body_weight_kg", "planned_deload")
"""What is said of a whole session and stands in any of its rows."""
ROLES = {part.value: part for part in Part if part is not Part.WARM_UP}
PATTERNS = {pattern.value: pattern for pattern in Pattern}

_READERS: Mapping[str, Reader[Any]] = {
    "client": words(120),
    "exercise": words(100),
    "set": whole(1, 50),
    "reps": whole(0, 999),
    "load_kg": decimal(0, 1000, unit=" kg", step="0.01"),
    "target_reps": whole(0, 999),
    "rir": whole(0, 10),
    "session_rpe": decimal(0, 10, unit="", step="0.1"),
    # The practice keeps no other body weights.
    "body_weight_kg": decimal(25, 300, unit=" kg", step="0.01"),
    "pattern": one_of(PATTERNS),
    "role": one_of(ROLES),
    "planned_deload": yes_or_no,
    "pain": whole(0, 10),
    "note": words(500, one_line=False),
}
_EMPTY_REMEDY = {
    "client": "Write the client's name.",
    "date": "Write the day as year-month-day.",
    "exercise": "Write the exercise's name.",
    "set": "Number the sets of an exercise on a day from 1.",
    "reps": "Write how many were done; 0 for none.",
    "load_kg": "Write the load; 0 where nothing was added.",
}
_PLACEHOLDERS: Mapping[str, Any] = {
    **dict.fromkeys(("client", "exercise", "note"), ""),
    **dict.fromkeys(("set", "reps"), 0),
    "date": date.min,
    "load_kg": Decimal(0),
}

Day = tuple[str, date]
"""A client, folded, and a date: what a logged session is known by."""


@dataclass(frozen=True, slots=True)
class LogRow:
    """One row: one set. ``bad`` are the columns that could not be read; they hold a stand-in."""

    line: int
    client: str
    on: date
    exercise: str
    number: int
    reps: int
    load_kg: Decimal
    target_reps: int | None
    rir: int | None
    session_rpe: Decimal | None
    body_weight_kg: Decimal | None
    pattern: Pattern | None
    role: Part | None
    planned_deload: bool | None
    pain: int | None
    note: str
    client_key: str
    exercise_key: str
    bad: frozenset[str] = frozenset()

    @property
    def day(self) -> Day:
        """The session it belongs to."""
        return self.client_key, self.on

    def names(self, *columns: str) -> bool:
        """Whether these columns could be read."""
        return self.bad.isdisjoint(columns)


@dataclass(frozen=True)
class Log:
    """The rows of a file in its order, and what is wrong in single cells."""

    rows: tuple[LogRow, ...]
    faults: tuple[RowFault, ...]


@dataclass(frozen=True)
class Said:
    """A value of a whole session, and the line that says it first."""

    value: Any
    line: int


def text_of(path: Path) -> str:
    """The text of a file in UTF-8, with or without a byte-order mark.

    Raises:
        LogFileError: It is not there, cannot be read, or is no UTF-8.
    """
    try:
        return path.read_bytes().decode("utf-8-sig")
    except FileNotFoundError as error:
        message = f"There is no file {path}; check the name and the folder."
        raise LogFileError(message) from error
    except OSError as error:
        message = f"{path} cannot be read ({error.strerror}); check that it is a file and yours."
        raise LogFileError(message) from error
    except UnicodeDecodeError as error:
        message = f"{path} is not in UTF-8; save it again as “CSV UTF-8”."
        raise LogFileError(message) from error


def read_log(text: str, today: date) -> Log:
    """The rows of a log; columns are parted by commas, or by semicolons.

    Raises:
        LogFileError: It is empty, lacks a column, or has one that is not known.
    """
    header, records = _header_and_records(text)
    readers = {**_READERS, "date": day(today)}
    cached = [(name, cache(_reading(name, readers[name]))) for name in header]
    absent = {name: _PLACEHOLDERS.get(name) for name in OPTIONAL if name not in header}
    folded = cache(folded_name)
    rows: list[LogRow] = []
    faults: list[RowFault] = []
    for line, cells in records:
        if len(cells) != len(header):
            faults.append(_wrong_width(line, len(cells), len(header)))
            continue
        values: dict[str, Any] = dict(absent)
        bad: dict[str, str] = {}
        for (name, read), cell in zip(cached, cells, strict=True):
            values[name], wrong = read(cell)
            if wrong:
                bad[name] = wrong
        faults.extend(RowFault(line, name, wrong) for name, wrong in bad.items())
        values["client_key"] = folded(values["client"])
        values["exercise_key"] = folded(values["exercise"])
        on, number = values.pop("date"), values.pop("set")
        rows.append(LogRow(line=line, on=on, number=number, bad=frozenset(bad), **values))
    return Log(tuple(rows), tuple(faults))


def _reading(name: str, reader: Reader[Any]) -> Reader[tuple[Any, str]]:
    def read(cell: str) -> tuple[Any, str]:
        stand_in = _PLACEHOLDERS.get(name)
        text = cell.strip()
        if not text:
            return stand_in, f"It is empty. {_EMPTY_REMEDY[name]}" if name in REQUIRED else ""
        try:
            return reader(text), ""
        except CellError as error:
            return stand_in, str(error)

    return read


def _wrong_width(line: int, found: int, wanted: int) -> RowFault:
    message = (
        f"It has {found} values and the header {wanted} columns. Leave a value empty rather than "
        "out, and put a text that holds the separator in double quotes."
    )
    return RowFault(line, "row", message)


def _header_and_records(text: str) -> tuple[list[str], Iterator[tuple[int, list[str]]]]:
    first = next((line for line in text.splitlines() if line.strip(" ,;\t")), "")
    if not first:
        message = f"The file is empty; its first line must name the columns {', '.join(REQUIRED)}."
        raise LogFileError(message)
    separator = ";" if first.count(";") > first.count(",") else ","
    records = _records(text, separator)
    header = [name.strip().casefold() for name in next(records)[1]]
    _check_header(header)
    rows = list(records)
    if not rows:
        message = "The file holds a header and no row; add one row for each set."
        raise LogFileError(message)
    return header, iter(rows)


def _records(text: str, separator: str) -> Iterator[tuple[int, list[str]]]:
    """Each record that is not empty with the line it begins in."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    begins = 1
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                yield begins, cells
            begins = reader.line_num + 1
    except csv.Error as error:
        message = (
            f"The record that begins in line {begins} cannot be taken apart ({error}); check its "
            "double quotes: a text begins and ends with one, and one inside is written twice."
        )
        raise LogFileError(message) from error


def _check_header(header: Sequence[str]) -> None:
    known = (*REQUIRED, *OPTIONAL)
    missing = [name for name in REQUIRED if name not in header]
    unknown = [f"“{name}”" if name else "without a name" for name in header if name not in known]
    twice = sorted({f"“{name}”" for name in header if header.count(name) > 1})
    parts = [
        f"the columns {', '.join(missing)} are missing" if missing else "",
        f"the columns {', '.join(unknown)} are not known" if unknown else "",
        f"the columns {', '.join(twice)} stand there twice" if twice else "",
    ]
    found = " and ".join(part for part in parts if part)
    if found:
        message = (
            f"In the header {found}; it takes {', '.join(REQUIRED)}, and if you like "
            f"{', '.join(OPTIONAL)}, parted by commas or semicolons."
        )
        raise LogFileError(message)


def doubled_sets(rows: Iterable[LogRow], same: Mapping[str, Hashable]) -> Iterator[RowFault]:
    """Sets that stand in two rows; ``same`` is what an exercise's folded name stands for."""
    first: dict[tuple[Day, Hashable, int], int] = {}
    for row in rows:
        if not row.names("client", "date", "exercise", "set"):
            continue
        key = (row.day, same.get(row.exercise_key, row.exercise_key), row.number)
        there = first.setdefault(key, row.line)
        if there != row.line:
            message = (
                f"Set {row.number} of “{row.exercise}” for {row.client} on {row.on} stands in line "
                f"{there} already. Number one of them anew, or take one row away."
            )
            yield RowFault(row.line, "set", message)


def said_of_sessions(rows: Iterable[LogRow]) -> tuple[dict[Day, dict[str, Said]], list[RowFault]]:
    """What the rows say of their whole session, and where two rows of one say different things."""
    found: dict[Day, dict[str, Said]] = {}
    faults: list[RowFault] = []
    for row in rows:
        if not row.names("client", "date"):
            continue
        session = found.setdefault(row.day, {})
        for column in OF_THE_SESSION:
            value = getattr(row, column)
            if value is None or not row.names(column):
                continue
            said = session.setdefault(column, Said(value, row.line))
            if said.value != value:
                message = (
                    f"{shown(value)} differs from {shown(said.value)} in line {said.line}, and both are of "
                    f"{row.client}'s session on {row.on}. Write the same, or leave one empty."
                )
                faults.append(RowFault(row.line, column, message))
    return found, faults


def shown(value: Any) -> str:
    """A value as it is written in a log."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value.normalize():f}" if isinstance(value, Decimal) else str(value)
