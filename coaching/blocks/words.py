"""Prescriptions in the words that coaches write them in, units always shown."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from coaching.rules.findings import listed
from coaching.rules.load_to_choose import needs_load
from coaching.rules.plan import (
    Exercise,
    Laterality,
    LoadKind,
    Measure,
    Pair,
    Prescription,
    WeekKind,
)


def targets_text(targets: tuple[int, ...], exercise: Exercise) -> str:
    """Targets set by set, short when all are the same: 5 × 7, 8-7-7-7-7, 3 × 20 s each side."""
    text = short_targets(targets)
    unit = " s" if exercise.measure is Measure.SECONDS else ""
    side = " each side" if exercise.laterality is Laterality.UNILATERAL else ""
    return f"{text}{unit}{side}"


def short_targets(targets: Sequence[int]) -> str:
    """Targets without their unit: 5 × 7, or 8-7-7-7-7 when they differ.

    >>> short_targets([7, 7, 7]), short_targets([8, 7, 7])
    ('3 × 7', '8-7-7')
    """
    if len(set(targets)) > 1:
        return "-".join(str(target) for target in targets)
    return f"{len(targets)} × {targets[0]}" if targets else "no sets"


def kilograms(value: float) -> str:
    """A load without needless zeros: 7.5 kg."""
    return f"{value:.2f}".rstrip("0").rstrip(".") + " kg"


def load_text(load: float, exercise: Exercise) -> str:
    """A load as it is meant: +7.5 kg, 20 kg, 15 kg help; empty where none is written."""
    match exercise.load_kind:
        case LoadKind.NONE:
            return ""
        case LoadKind.ADDED:
            if load:
                return f"+{kilograms(load)}"
            return "load to be found" if needs_load(exercise) else ""
        case LoadKind.ASSISTED:
            return f"{kilograms(load)} help" if load else "help to be found"
        case LoadKind.EXTERNAL:
            return kilograms(load) if load else "load to be found"


def rest_text(seconds: int) -> str:
    """A rest in the unit in which coaches say it: 2 min, 90 s."""
    if seconds >= 120 and seconds % 60 == 0:
        return f"{seconds // 60} min"
    return f"{seconds} s"


NO_REST = "no rest"


def rest_words(seconds: int) -> str:
    """A rest where nothing else says what it is.

    >>> rest_words(90), rest_words(0)
    ('rest 90 s', 'no rest')
    """
    return f"rest {rest_text(seconds)}" if seconds else NO_REST


_WEEK_KINDS: Mapping[str, str] = {WeekKind.BUILD: "usual", WeekKind.DELOAD: "light"}


def week_kind_text(kind: str) -> str:
    """What a week is for, as the pages say it: usual, light or test.

    >>> week_kind_text("deload"), week_kind_text("build")
    ('light', 'usual')
    """
    return _WEEK_KINDS.get(kind, str(kind))


def detail_text(prescription: Prescription) -> str:
    """All of a prescription but its rest: 5 × 6 · +7.5 kg · 3-0-1-0 · RIR 2."""
    rir = "" if prescription.rir is None else f"RIR {prescription.rir}"
    parts = (
        targets_text(prescription.targets, prescription.exercise),
        load_text(prescription.load, prescription.exercise),
        str(prescription.tempo),
        rir,
    )
    return " · ".join(part for part in parts if part)


def unchanging_text(prescription: Prescription) -> str:
    """What usually stays from week to week: 3-0-1-0 · RIR 2 · load to be found."""
    rir = "" if prescription.rir is None else f" · RIR {prescription.rir}"
    side = " · each side" if prescription.exercise.laterality is Laterality.UNILATERAL else ""
    missing = "" if prescription.load else load_text(0.0, prescription.exercise)
    return f"{prescription.tempo}{rir}{side}{f' · {missing}' if missing else ''}"


def pair_rest_text(pair: Pair) -> str:
    """The rest of a letter, one number when both exercises rest alike: 2 min, or 0 s, 30 s."""
    rests = [one.rest for one in pair.prescriptions]
    return ", ".join(rest_text(rest) for rest in (rests[:1] if len(set(rests)) == 1 else rests))


def weeks_named(numbers: Sequence[int]) -> str:
    """Weeks in words: week 3; weeks 3, 4 and 6; weeks 2 to 6.

    >>> weeks_named([3]), weeks_named([3, 4, 6]), weeks_named([2, 3, 4])
    ('week 3', 'weeks 3, 4 and 6', 'weeks 2 to 4')
    """
    weeks = sorted(set(numbers))
    told = listed(list(_in_runs(weeks)))
    return f"{'week' if len(weeks) == 1 else 'weeks'} {told}" if told else ""


def _in_runs(numbers: Sequence[int]) -> Iterator[str]:
    """Three weeks and more that follow one another are told by the first and the last."""
    runs = groupby(enumerate(numbers), key=lambda each: each[1] - each[0])
    for _, run in runs:
        weeks = [number for _, number in run]
        if len(weeks) > 2:
            yield f"{weeks[0]} to {weeks[-1]}"
        else:
            yield from (str(number) for number in weeks)
