"""What an act is written in, read with care: each error names the field and the remedy."""

import re
from collections.abc import Callable, Mapping
from datetime import date
from enum import StrEnum
from math import isfinite
from typing import TypedDict, cast

from coaching.blocks.errors import BlockError
from coaching.rules.plan import Part, Tempo, WeekKind

Raw = Mapping[str, str]
"""An act as a page posts it and as it is kept: words only."""

MOST_SETS = 12
LONGEST_SET = 600
HEAVIEST = 999
LONGEST_REST = 900
REST_STEP = 15
MOST_RIR = 10
LONGEST_NAME = 80
MOST_WEEKS = 8
_LONGEST_TEXT = 200
_MOST_DIGITS = 9

_SHORT = re.compile(r"^(\d{1,2})\s*[x×]\s*(\d{1,3})$")
_LOAD = re.compile(r"^\+?(\d{1,6}(?:[.,]\d{1,6})?)(?:\s*kg)?$")


class Reach(StrEnum):
    """How far an act goes: its own week, or this one and the later ones."""

    WEEK = "week"
    ONWARD = "onward"


class LineValues(TypedDict, total=False):
    """What may be changed of a line."""

    targets: list[int]
    load_kg: float
    tempo: str
    rest_s: int
    rir: int | None


def text_of(raw: Raw, field: str, label: str) -> str:
    """A field that must be there."""
    text = raw.get(field, "").strip()
    if not text:
        message = f"{label}: nothing was sent; choose one."
        raise BlockError(message)
    if len(text) > _LONGEST_TEXT:
        message = f"{label}: this is too long; write at most {_LONGEST_TEXT} characters."
        raise BlockError(message)
    if not text.isprintable():
        message = f"{label}: it holds a character that cannot be shown; write it anew."
        raise BlockError(message)
    return text


def whole(text: str, label: str, low: int, high: int) -> int:
    """A whole number between two bounds."""
    digits = text.strip().replace("−", "-")
    plain = digits.lstrip("+-")
    if not plain.isascii() or not plain.isdigit() or len(plain) > _MOST_DIGITS:
        message = f"{label}: “{text[:_LONGEST_TEXT]}” is no whole number; write {low} to {high}."
        raise BlockError(message)
    number = int(digits)
    if not low <= number <= high:
        message = f"{label}: {number} is not between {low} and {high}."
        raise BlockError(message)
    return number


def row_of(raw: Raw, field: str, label: str) -> int:
    """The row id of an exercise."""
    return whole(text_of(raw, field, label), label, 1, 10**_MOST_DIGITS)


def step_of(raw: Raw) -> int:
    """One up or one down."""
    by = whole(text_of(raw, "by", "By"), "By", -1, 1)
    if not by:
        message = "By: 0 changes nothing; write +1 or -1."
        raise BlockError(message)
    return by


def day_of(raw: Raw, field: str, label: str) -> date:
    """A day as 2026-02-03."""
    text = text_of(raw, field, label)
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        message = f"{label}: “{text}” is no day; write it like 2026-02-03."
        raise BlockError(message) from error


def reach_of(raw: Raw) -> Reach:
    """How far an act goes; its own week only when nothing is said."""
    text = raw.get("reach", "") or Reach.WEEK.value
    if text not in set(Reach):
        message = f"Change: “{text}” is neither this week only nor from this week on; choose one."
        raise BlockError(message)
    return Reach(text)


def part_of(raw: Raw) -> Part | None:
    """A part of the session; none when nothing is said."""
    text = raw.get("part", "").strip()
    if not text:
        return None
    if text not in set(Part):
        message = f"Part: “{text}” is none; choose one of {', '.join(Part)}."
        raise BlockError(message)
    return Part(text)


def kind_of(raw: Raw) -> WeekKind:
    """What a week is for."""
    text = text_of(raw, "kind", "Kind of week")
    if text not in set(WeekKind):
        message = f"Kind of week: “{text}” is none; choose one of {', '.join(WeekKind)}."
        raise BlockError(message)
    return WeekKind(text)


def name_of(raw: Raw) -> str:
    """The name of a session."""
    name = " ".join(text_of(raw, "name", "Name").split())
    if len(name) > LONGEST_NAME:
        message = f"Name: {len(name)} characters are too many; write at most {LONGEST_NAME}."
        raise BlockError(message)
    return name


def line_values(raw: Raw) -> LineValues:
    """The values that an act gives a line, those that are named in it and no other."""
    readers: Mapping[str, Callable[[str], object]] = {
        "targets": checked_targets,
        "load_kg": _load,
        "tempo": _tempo,
        "rest_s": lambda text: whole(text, "Rest in seconds", 0, LONGEST_REST),
        "rir": lambda text: whole(text, "RIR", 0, MOST_RIR) if text.strip() else None,
    }
    return cast("LineValues", {key: read(raw[key]) for key, read in readers.items() if key in raw})


def read_targets(text: str) -> list[int]:
    """Targets set by set, written 8-7-7-7-7, 8 7 7 7 7, or 5 × 7.

    Raises BlockError that shows both ways of writing them.

    >>> read_targets("8-7-7"), read_targets("3 x 10")
    ([8, 7, 7], [10, 10, 10])
    """
    short = _SHORT.match(text.strip())
    if short:
        return [int(short.group(2))] * int(short.group(1))
    parts = [part for part in re.split(r"[\s,;–-]+", text) if part]
    digits = all(p.isascii() and p.isdigit() and len(p) <= _MOST_DIGITS for p in parts)
    if not parts or not digits:
        message = f"“{text.strip()}” is not targets; write them like 8-7-7-7-7 or 5 × 7."
        raise BlockError(message)
    return [int(part) for part in parts]


def checked_targets(text: str) -> list[int]:
    """Targets that a session can hold."""
    targets = read_targets(text[:_LONGEST_TEXT])
    if not 1 <= len(targets) <= MOST_SETS:
        message = f"Sets: {len(targets)} is not between 1 and {MOST_SETS}."
        raise BlockError(message)
    if not all(1 <= target <= LONGEST_SET for target in targets):
        message = f"Targets: each set needs a number from 1 to {LONGEST_SET}."
        raise BlockError(message)
    return targets


def _load(text: str) -> float:
    if not text.strip():
        return 0.0
    found = _LOAD.match(text.strip())
    load = round(float(found.group(1).replace(",", ".")), 2) if found else float("nan")
    if not isfinite(load) or load > HEAVIEST:
        message = f"Load: “{text[:_LONGEST_TEXT]}” is no load from 0 to {HEAVIEST} kg."
        raise BlockError(message)
    return load


def _tempo(text: str) -> str:
    try:
        return str(Tempo.parse(text[:_LONGEST_TEXT]))
    except ValueError as error:
        raise BlockError(str(error)) from error
