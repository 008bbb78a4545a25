"""Targets, load, tempo, rest and RIR as coaches write them, and as the block's page shows them.

Whatever a cell shows may be typed: 3 × 40 s, 8-7-7, +7.5 kg, 2 min, RIR 2.
"""

import re
from collections.abc import Callable, Mapping
from math import isfinite
from typing import cast

from coaching.blocks.editing.values import (
    HEAVIEST,
    LONGEST_REST,
    LONGEST_SET,
    MOST_RIR,
    MOST_SETS,
    LineValues,
    Raw,
    whole,
)
from coaching.blocks.errors import BlockError, FieldsError
from coaching.blocks.snapshots import Line
from coaching.rules.numbers import TEMPO_LONGEST_COUNT
from coaching.rules.plan import Exercise, LoadKind, Measure, Tempo

_LONGEST_TEXT = 200
_EXAMPLES = {
    Measure.REPS: ("5 × 7", "8-7-7-7-7"),
    Measure.SECONDS: ("3 × 40 s", "40-30-30 s"),
}
_UNIT = re.compile(r"(?<=[0-9])\s*(s|sec|seconds|reps?)\b")
_SHORT = re.compile(r"([0-9]{1,2})\s*[x×*]\s*([0-9]{1,3})")
_BETWEEN_SETS = re.compile(r"\s*[-–−,;]\s*|\s+")
_NUMBER = re.compile(r"[0-9]{1,9}")
_LOAD = re.compile(r"\+?([0-9]{1,6}(?:[.,][0-9]{1,6})?)\s*(?:kg)?\s*(?:help)?")
_REST = re.compile(
    r"(?:(?P<min>[0-9]{1,3})\s*(?:min|m|'|′)\s*)?(?:(?P<s>[0-9]{1,4})\s*(?:s|sec|seconds|\"|″)?)?"
)
_CLOCK = re.compile(r"(?P<min>[0-9]{1,3}):(?P<s>[0-5][0-9])(?:\s*min)?")
_HALVES = re.compile(r"([0-9]{1,2})[.,]5\s*(?:min|m)")


def examples_of(measure: Measure) -> tuple[str, str]:
    """How targets are written: the same in every set, and set by set."""
    return _EXAMPLES[measure]


def read_targets(text: str, *, measure: Measure = Measure.REPS, sets: int = 1) -> list[int]:
    """Targets set by set, written 8-7-7-7-7, 8 7 7 7 7, 5 × 7, or 3 × 40 s.

    One number alone holds for all the ``sets`` that are planned. Raises BlockError that shows
    how targets of this kind are written.

    >>> read_targets("8-7-7"), read_targets("3 x 10"), read_targets("9", sets=2)
    ([8, 7, 7], [10, 10, 10], [9, 9])
    >>> read_targets("2 × 40 s", measure=Measure.SECONDS)
    [40, 40]
    """
    typed = text.strip()[:_LONGEST_TEXT]
    same, each = _EXAMPLES[measure]
    plain = typed.lower().removesuffix("each side").strip()
    _refuse_other_unit(plain, measure)
    body = _UNIT.sub("", plain)
    short = _SHORT.fullmatch(body)
    if short:
        return [int(short.group(2))] * int(short.group(1))
    if _NUMBER.fullmatch(body):
        return [int(body)] * sets
    parts = _BETWEEN_SETS.split(body)
    if all(_NUMBER.fullmatch(part) for part in parts):
        return [int(part) for part in parts]
    if any(parts) and all(not part or _NUMBER.fullmatch(part) for part in parts):
        message = f"“{typed}” breaks off; write every set like {each}, or all of them like {same}."
        raise BlockError(message)
    message = f"“{typed}” is not targets; write them like {each} or {same}."
    raise BlockError(message)


def _refuse_other_unit(plain: str, measure: Measure) -> None:
    units = {found[0] for found in _UNIT.findall(plain)}
    if units & ({"s"} if measure is Measure.REPS else {"r"}):
        counted = "repetitions" if measure is Measure.REPS else "seconds"
        message = f"This exercise is counted in {counted}; write {_EXAMPLES[measure][0]}."
        raise BlockError(message)


def checked_targets(text: str, *, measure: Measure = Measure.REPS, sets: int = 1) -> list[int]:
    """Targets that a session can hold."""
    targets = read_targets(text, measure=measure, sets=sets)
    if not 1 <= len(targets) <= MOST_SETS:
        message = f"Sets: {len(targets)} is not between 1 and {MOST_SETS}."
        raise BlockError(message)
    if not all(1 <= target <= LONGEST_SET for target in targets):
        message = f"Targets: each set needs a number from 1 to {LONGEST_SET}."
        raise BlockError(message)
    return targets


def is_one_number(text: str) -> bool:
    """Whether targets are one number for all sets, however many a week has."""
    return bool(_NUMBER.fullmatch(_UNIT.sub("", text.strip().lower())))


def read_rest(text: str) -> int:
    """Seconds of rest, written 90 s, 90, 2 min, 2:30, 2 min 30 s or 1.5 min.

    >>> read_rest("2 min"), read_rest("2:00"), read_rest("90s")
    (120, 120, 90)
    """
    typed = text.strip()[:_LONGEST_TEXT]
    seconds = _seconds(typed.lower()) if typed else None
    if seconds is None:
        message = f"Rest: “{typed}” is no rest; write it like 90 s, 2 min or 2:30."
        raise BlockError(message)
    if not 0 <= seconds <= LONGEST_REST:
        message = f"Rest: {seconds} s is not between 0 and {LONGEST_REST} s."
        raise BlockError(message)
    return seconds


def _seconds(plain: str) -> int | None:
    halves = _HALVES.fullmatch(plain)
    if halves:
        return int(halves[1]) * 60 + 60 // 2
    found = _CLOCK.fullmatch(plain) or _REST.fullmatch(plain)
    return int(found["min"] or 0) * 60 + int(found["s"] or 0) if found else None


def read_tempo(text: str) -> str:
    """Four counts, none longer than one phase lasts."""
    try:
        tempo = Tempo.parse(text[:_LONGEST_TEXT])
    except ValueError as error:
        raise BlockError(str(error)) from error
    longest = int(TEMPO_LONGEST_COUNT.value)
    if max(tempo.eccentric, tempo.bottom, tempo.concentric, tempo.top) > longest:
        message = f"Tempo: {tempo} has a count over {longest} s; write counts from 0 to {longest}."
        raise BlockError(message)
    return str(tempo)


def _load(text: str, exercise: Exercise) -> float:
    if not text.strip():
        return 0.0
    found = _LOAD.fullmatch(text.strip().lower())
    load = round(float(found.group(1).replace(",", ".")), 2) if found else float("nan")
    if not isfinite(load) or load > HEAVIEST:
        message = f"Load: “{text[:_LONGEST_TEXT]}” is no load from 0 to {HEAVIEST} kg."
        raise BlockError(message)
    if load and exercise.load_kind is LoadKind.NONE:
        message = f"Load: {exercise.name} takes none; leave it empty, or swap the exercise."
        raise BlockError(message)
    return load


def _rir(text: str) -> int | None:
    plain = text.strip().upper().removeprefix("RIR").strip()
    return whole(plain, "RIR", 0, MOST_RIR) if plain else None


def line_values(raw: Raw, line: Line, exercise: Exercise) -> LineValues:
    """The values that an act gives a line, those that are named in it and no other.

    Raises FieldsError that says of every wrong field why. What stands in the plan already is
    taken as it is.
    """
    readers: Mapping[str, Callable[[str], object]] = {
        "targets": lambda text: checked_targets(
            text, measure=exercise.measure, sets=len(line["targets"])
        ),
        "load_kg": lambda text: _load(text, exercise),
        "tempo": lambda text: text if text == line["tempo"] else read_tempo(text),
        "rest_s": read_rest,
        "rir": _rir,
    }
    values: dict[str, object] = {}
    wrong: dict[str, str] = {}
    for name, read in readers.items():
        if name not in raw:
            continue
        try:
            values[name] = read(raw[name])
        except BlockError as error:
            wrong[name] = str(error)
    if wrong:
        raise FieldsError(wrong)
    return cast("LineValues", values)
