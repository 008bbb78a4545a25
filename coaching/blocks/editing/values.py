"""What an act is written in, read with care: each error names the field and the remedy."""

import re
from collections.abc import Iterable, Mapping
from datetime import date
from enum import StrEnum
from typing import TypedDict
from unicodedata import category

from coaching.blocks.errors import BlockError
from coaching.blocks.words import week_kind_text
from coaching.rules.plan import Part, WeekKind

Raw = Mapping[str, str]
"""An act as a page posts it and as it is kept: words only."""

MOST_SETS = 12
LONGEST_SET = 600
HEAVIEST = 999
LONGEST_REST = 900
LONGEST_SESSION = 240
REST_STEP = 15
MOST_RIR = 10
LONGEST_NAME = 80
MOST_WEEKS = 8
_LONGEST_TEXT = 200
_MOST_DIGITS = 9
_WHOLE = re.compile(rf"[+-]?[0-9]{{1,{_MOST_DIGITS}}}")
_UNSHOWABLE = {"Cc", "Cs"}


class Reach(StrEnum):
    """How far an act goes: its own week, this one and the later ones, or those of them alike.

    Alike are later weeks in which what is changed stands just as in this one.
    """

    WEEK = "week"
    ONWARD = "onward"
    ALIKE = "alike"


class LineValues(TypedDict, total=False):
    """What may be changed of a line."""

    targets: list[int]
    load_kg: float
    tempo: str
    rest_s: int
    rir: int | None


def refuse_unshowable(texts: Iterable[str], label: str) -> None:
    """Refuse control characters: no page shows them, and not every database keeps them."""
    if any(category(one) in _UNSHOWABLE and not one.isspace() for text in texts for one in text):
        message = f"{label} holds a character that cannot be shown; write it anew."
        raise BlockError(message)


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
    if not _WHOLE.fullmatch(digits):
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


def reach_of(raw: Raw, *, may_be_alike: bool = False) -> Reach:
    """How far an act goes; its own week only when nothing is said."""
    text = raw.get("reach", "") or Reach.WEEK.value
    if text not in set(Reach) or (text == Reach.ALIKE and not may_be_alike):
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
        message = f"Kind of week: “{text}” is none; choose one of {', '.join(map(week_kind_text, WeekKind))}."
        raise BlockError(message)
    return WeekKind(text)


def name_of(raw: Raw) -> str:
    """The name of a session."""
    if not raw.get("name", "").strip():
        message = "Name: it is empty; write one."
        raise BlockError(message)
    name = " ".join(text_of(raw, "name", "Name").split())
    if len(name) > LONGEST_NAME:
        message = f"Name: {len(name)} characters are too many; write at most {LONGEST_NAME}."
        raise BlockError(message)
    return name
