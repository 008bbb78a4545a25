"""Values as geometry: a week's sets per muscle on the two sides of the spine.

The review and the deload page draw the same chart; ``templates/_shared/_spine_volume.html``
puts it on the page.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from coaching.rules.balance import Tally
from coaching.rules.plan import Muscle
from coaching.rules.volume_range import VolumeLine, VolumeVerdict

PUSH_SIDE = (
    Muscle.CHEST,
    Muscle.FRONT_DELT,
    Muscle.SIDE_DELT,
    Muscle.TRICEPS,
    Muscle.QUADRICEPS,
    Muscle.CALVES,
)
PULL_SIDE = (
    Muscle.UPPER_BACK,
    Muscle.LATS,
    Muscle.REAR_DELT,
    Muscle.BICEPS,
    Muscle.HAMSTRINGS,
    Muscle.GLUTES,
    Muscle.FOREARMS,
)
CENTRE = (Muscle.ABS, Muscle.LOWER_BACK, Muscle.ROTATOR_CUFF)
"""Where each muscle stands: those that push left, those that pull right, the others below."""

COUNTED_ONLY = frozenset({Muscle.FOREARMS, *CENTRE})
"""Muscles that mostly hold and assist: their sets are told but not judged (a house choice)."""

NOTE = (
    "Working sets of the week: 1 for the main mover, 0.5 for a muscle that assists. "
    "Brackets hold the usual range."
)
LIGHT_NOTE = (
    "Working sets of the week: 1 for the main mover, 0.5 for a muscle that assists. "
    "Light by plan, so no range applies."
)
_WIDEST = 98.0
"""How far the longest bar or bracket reaches [% of a side], so that its end stays visible."""


@dataclass(frozen=True, slots=True)
class VolumeSide:
    """One muscle on one side; lengths are distances from the axis [% of the side].

    ``low_x`` and ``high_x`` are none where no range applies; then ``usual`` is empty.
    ``changed`` says what the last edit did to the value: +1.
    """

    label: str
    value_text: str
    bar: float
    low_x: float | None
    high_x: float | None
    outside: bool
    usual: str
    changed: str = ""


@dataclass(frozen=True, slots=True)
class VolumeRow:
    """Two muscles facing each other; either side may be empty."""

    left: VolumeSide | None
    right: VolumeSide | None


@dataclass(frozen=True, slots=True)
class CentreVolume:
    """A muscle that neither pushes nor pulls, told as a number below the axis."""

    label: str
    value_text: str
    outside: bool
    usual: str
    changed: str = ""


@dataclass(frozen=True, slots=True)
class SpineVolume:
    """All that the shared template of the spine's volume chart reads."""

    id: str
    title: str
    rows: tuple[VolumeRow, ...]
    centre: tuple[CentreVolume, ...]
    balance: str
    note: str


def spine_volume(
    lines: Iterable[VolumeLine],
    *,
    chart_id: str,
    title: str,
    balance: Tally | None = None,
    note: str | None = None,
    widest: float | None = None,
    changed: Mapping[Muscle, str] | None = None,
) -> SpineVolume:
    """A week's sets per muscle around the spine, so that a lean is seen.

    The count that was judged is drawn: what was done, else what is planned. Both sides
    share one scale. A muscle pair of which neither side occurs is left out.

    Args:
        lines: Muscles with counts [sets a week] and ranges, as ``judge_volume`` gives them.
        chart_id: A word that is unique on the page.
        title: What the chart shows, such as “Week 2, sets per muscle”.
        balance: Pushing against pulling, said in words below the axis.
        note: A sentence below the chart; left out, it says how sets are counted.
        widest: Sets a week that reach the outer edge, for two charts on one scale;
            left out, the largest count or range decides (see ``widest_of``).
        changed: What the last edit did to some of the counts, in words: +1.
    """
    edits = changed or {}
    by_muscle = {line.muscle: line for line in lines}
    scale = _WIDEST / (widest or widest_of(by_muscle.values()))
    is_light = any(one.verdict is VolumeVerdict.LIGHT_BY_PLAN for one in by_muscle.values())
    return SpineVolume(
        id=chart_id,
        title=title,
        rows=tuple(_rows(by_muscle, scale, edits)),
        centre=tuple(_centre(by_muscle[one], edits) for one in CENTRE if one in by_muscle),
        balance=balance_words(balance) if balance else "",
        note=note if note is not None else LIGHT_NOTE if is_light else NOTE,
    )


def widest_of(lines: Iterable[VolumeLine]) -> float:
    """The largest count or end of a range [sets a week]; 1 when there is nothing."""
    shown = [one for one in lines if one.muscle not in CENTRE]
    ends = [one.high for one in shown if has_range(one)]
    return max([1.0, *ends, *(counted(one) for one in shown)])


def counted(line: VolumeLine) -> float:
    """The count that was judged [sets a week]: what was done, else what is planned."""
    return line.planned if line.done is None else line.done


def has_range(line: VolumeLine) -> bool:
    """Whether a range applies: not in a light week, and not to muscles that only assist."""
    return line.verdict is not VolumeVerdict.LIGHT_BY_PLAN and line.muscle not in COUNTED_ONLY


def is_outside(line: VolumeLine) -> bool:
    """Whether a muscle gets less or more than its range."""
    return has_range(line) and line.verdict is not VolumeVerdict.WITHIN


def sets_text(value: float) -> str:
    """A count of sets without needless decimals.

    >>> sets_text(14.0), sets_text(7.5)
    ('14', '7.5')
    """
    return f"{round(value, 1):g}"


def signed(value: float) -> str:
    """A difference with its sign and without needless decimals.

    >>> signed(1.0), signed(-0.5)
    ('+1', '−0.5')
    """
    rounded = round(value, 1)
    return f"−{abs(rounded):g}" if rounded < 0 else f"+{rounded:g}"


def range_text(line: VolumeLine) -> str:
    """The range in words, empty where none applies: 10–20."""
    return f"{sets_text(line.low)}–{sets_text(line.high)}" if has_range(line) else ""


def balance_words(tally: Tally) -> str:
    """Pushing against pulling: push 28 sets · pull 28 sets · 1.00."""
    ratio = "" if tally.ratio is None else f" · {tally.ratio:.2f}"
    return f"push {tally.push_sets} sets · pull {tally.pull_sets} sets{ratio}"


def _rows(
    by_muscle: Mapping[Muscle, VolumeLine], scale: float, changed: Mapping[Muscle, str]
) -> Iterable[VolumeRow]:
    for index in range(max(len(PUSH_SIDE), len(PULL_SIDE))):
        left, right = (
            _side(by_muscle.get(side[index]), scale, changed) if index < len(side) else None
            for side in (PUSH_SIDE, PULL_SIDE)
        )
        if left or right:
            yield VolumeRow(left, right)


def _side(
    line: VolumeLine | None, scale: float, changed: Mapping[Muscle, str]
) -> VolumeSide | None:
    if line is None:
        return None
    ranged = has_range(line)
    return VolumeSide(
        label=line.muscle.value,
        value_text=sets_text(counted(line)),
        bar=_length(counted(line), scale),
        low_x=_length(line.low, scale) if ranged else None,
        high_x=_length(line.high, scale) if ranged else None,
        outside=is_outside(line),
        usual=range_text(line),
        changed=changed.get(line.muscle, ""),
    )


def _length(sets: float, scale: float) -> float:
    return round(min(sets * scale, 100.0), 2)


def _centre(line: VolumeLine, changed: Mapping[Muscle, str]) -> CentreVolume:
    return CentreVolume(
        label=line.muscle.value,
        value_text=sets_text(counted(line)),
        outside=is_outside(line),
        usual=range_text(line),
        changed=changed.get(line.muscle, ""),
    )
