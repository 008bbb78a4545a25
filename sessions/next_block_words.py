"""The headline of a next block: how many lines go where, and what the week loses."""

from collections import Counter
from collections.abc import Mapping

from coaching.blocks import charts
from coaching.blocks.effects import WeekEffects
from coaching.rules.next_block import LineChoice, Outcome
from sessions.next_block_out import OutOfRange, out_words
from sessions.next_block_reading import NextReading
from sessions.next_block_week import FirstWeek

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


def lost(before: WeekEffects, after: WeekEffects, out: tuple[OutOfRange, ...]) -> str:
    """−8 sets; out of the range now: quadriceps 10 to 6 sets, as sessions are cut to end on time.

    Fewer repetitions of as many sets are no loss: another exercise begins with fewer.
    """
    by = after.working_sets - before.working_sets
    parts = [f"{charts.signed(by)} set{'' if by == -1 else 's'}" if by < 0 else "", out_words(out)]
    return "; ".join(one for one in parts if one)
