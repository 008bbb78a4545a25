"""The headline of a next block: how many lines go where, and what the week loses."""

from collections import Counter
from collections.abc import Iterator, Mapping

from coaching.blocks import charts
from coaching.blocks.effects import WeekEffects
from coaching.rules.next_block import LineChoice, Outcome
from coaching.rules.volume_range import VolumeVerdict
from sessions.next_block_reading import NextReading
from sessions.next_block_week import FirstWeek

LOSSES_TOLD = 3
_UNDER = frozenset({VolumeVerdict.TOO_SMALL, VolumeVerdict.BELOW})
_COUNTED = {
    Outcome.STEP_UP: "up",
    Outcome.SWAP: "swapped",
    Outcome.STEP_BACK: "back",
    Outcome.LEAVE_OUT: "left out",
    Outcome.KEEP: "kept",
}
_FEWER = "with fewer sets"


def counted(reading: NextReading, choices: Mapping[str, LineChoice], first: FirstWeek) -> str:
    """How many of each: 6 up, 2 swapped, 5 kept; what has fewer sets in every session is no step up."""
    cuts: dict[str, list[int | None]] = {}
    for *_, line, key in reading.places():
        cut = first.cuts.get(line["uid"])
        cuts.setdefault(key, []).append(cut.after if cut and cut.is_fewer else None)
    found = Counter(_word(choices[key], cuts.get(key, [])) for key in choices)
    order = list(dict.fromkeys((*_COUNTED.values(), _FEWER)))
    return ", ".join(f"{found[one]} {one}" for one in order if found[one])


def _word(choice: LineChoice, left: list[int | None]) -> str:
    if left and not any(one is None or one for one in left):
        return _COUNTED[Outcome.LEAVE_OUT]
    steady = choice.outcome in {Outcome.STEP_UP, Outcome.KEEP}
    if left and steady and None not in left:
        return _FEWER
    return _COUNTED[choice.outcome]


def lost(before: WeekEffects, after: WeekEffects) -> str:
    """−313 reps; quadriceps 6 to 2 sets: those under their range now that lost most of their sets."""
    parts = list(_muscles_lost(before, after))
    by = after.reps - before.reps
    return "; ".join(([f"{charts.signed(by)} reps"] if by < 0 else []) + parts)


def _muscles_lost(before: WeekEffects, after: WeekEffects) -> Iterator[str]:
    now = {line.muscle: line for line in after.lines}
    fell: list[tuple[float, str]] = []
    for line in before.lines:
        left = now.get(line.muscle)
        was, sets = charts.counted(line), charts.counted(left) if left else 0.0
        is_under = left is None or left.verdict in _UNDER
        if charts.has_range(line) and sets < was and is_under:
            fell.append((sets / was, f"{line.muscle.value} {was:g} to {sets:g}"))
    told = [words for _share, words in sorted(fell)[:LOSSES_TOLD]]
    if told:
        yield f"{', '.join(told)} sets"
