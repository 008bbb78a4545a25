"""The muscles that a next block has out of their range in spite of all, with the reason."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from coaching.blocks import charts
from coaching.blocks.snapshots import SessionData
from coaching.rules import plan
from coaching.rules.next_block import LineChoice
from coaching.rules.next_block_volume import LEAST, Kept, MuscleSets
from sessions.next_block_fit import changes_by
from sessions.next_block_reading import NextReading
from sessions.next_block_sets import kept_of, sets_in
from sessions.next_block_week import FirstWeek

CAUSES_TOLD = 2
FURTHER_TOLD = 3


@dataclass(frozen=True)
class OutOfRange:
    """A muscle that the next block has out of its range, or further out than before, and why."""

    muscle: str
    was: float
    now: float
    low: float
    high: float
    was_within: bool
    causes: tuple[str, ...]
    is_cut: bool
    """Whether sets that were cut to end on time are among the causes."""
    is_swapped: bool
    """Whether another exercise, or none, in the place of one is among the causes."""

    @property
    def sentence(self) -> str:
        """Calves: 9 sets, 12 before; the range is 10 to 20. Lower A is cut to end on time."""
        sets = f"{charts.sets_text(self.now)} sets, {charts.sets_text(self.was)} before"
        span = f"{charts.sets_text(self.low)} to {charts.sets_text(self.high)}"
        why = "; ".join(self.causes) or "other numbers of sets are asked"
        return (
            f"{self.muscle.capitalize()}: {sets}; the range is {span}. {why[0].upper()}{why[1:]}."
        )


def out_of_range(
    reading: NextReading, choices: Mapping[str, LineChoice], first: FirstWeek
) -> tuple[OutOfRange, ...]:
    """Every muscle that is further from its range than in the usual week, those that left it first."""
    kept, now = kept_of(reading), sets_in(reading, first.week)
    found = [_told(reading, choices, first, kept, muscle, now) for muscle in kept.further_out(now)]
    return tuple(sorted(found, key=lambda one: (not one.was_within, -abs(one.now - one.was))))


def _told(
    reading: NextReading,
    choices: Mapping[str, LineChoice],
    first: FirstWeek,
    kept: Kept,
    muscle: plan.Muscle,
    now: MuscleSets,
) -> OutOfRange:
    was, sets = kept.before.get(muscle, 0.0), now.get(muscle, 0.0)
    sign = 1 if sets > was else -1
    swaps = sorted(_by_swaps(reading, choices, muscle, sign), reverse=True)
    cuts = sorted(_by_cuts(reading, first, muscle, sign), reverse=True)
    more = len(swaps) - CAUSES_TOLD
    told = [words for _by, words in swaps[:CAUSES_TOLD]]
    told += [f"{more} more exercises change it"] if more > 1 else []
    told += [swaps[-1][1]] if more == 1 else []
    told += [_cut_words([name for _by, name in cuts])] if cuts else []
    return OutOfRange(
        muscle=muscle.value,
        was=was,
        now=sets,
        low=kept.low,
        high=kept.high,
        was_within=kept.is_within(was),
        causes=tuple(told),
        is_cut=bool(cuts),
        is_swapped=bool(swaps),
    )


def _by_swaps(
    reading: NextReading, choices: Mapping[str, LineChoice], muscle: plan.Muscle, sign: int
) -> Iterator[tuple[float, str]]:
    """What other exercises do to a muscle in that direction [sets]."""
    for key, change in changes_by(reading, choices).items():
        by = sign * change.get(muscle, 0.0)
        if by > LEAST:
            name, to = reading.lines[key].exercise.name, choices[key].exercise
            yield by, f"{to.name} in the place of {name}" if to else f"{name} is left out"


def _by_cuts(
    reading: NextReading, first: FirstWeek, muscle: plan.Muscle, sign: int
) -> Iterator[tuple[float, str]]:
    """What is cut of a muscle in each session, by its name [sets]."""
    left = {one["uid"]: one for one in first.week["sessions"]}
    for session in first.asked["sessions"]:
        before = _sets(reading, session).get(muscle, 0.0)
        now = left.get(session["uid"])
        by = sign * ((_sets(reading, now).get(muscle, 0.0) if now else 0.0) - before)
        if by > LEAST:
            yield by, session["name"]


def _cut_words(names: list[str]) -> str:
    """Upper A and Upper B are cut to end on time."""
    listed = f"{', '.join(names[:-1])} and {names[-1]}" if len(names) > 1 else names[0]
    return f"{listed} {'are' if len(names) > 1 else 'is'} cut to end on time"


def _sets(reading: NextReading, session: SessionData) -> dict[plan.Muscle, float]:
    return sets_in(reading, {"starts_on": session["on"], "kind": "build", "sessions": [session]})


def out_words(out: tuple[OutOfRange, ...]) -> str:
    """Those in one sentence for the headline: who left the range, who is further out, and why."""
    left = [_was_and_now(one) for one in out if one.was_within]
    further = [_was_and_now(one) for one in out if not one.was_within]
    more = len(further) - FURTHER_TOLD
    parts = [f"out of the range now: {', '.join(left)} sets"] if left else []
    if further:
        told = f"further out of it: {', '.join(further[:FURTHER_TOLD])} sets"
        parts.append(f"{told} and {more} more" if more > 0 else told)
    reasons = [
        words
        for words, holds in (
            ("sessions are cut to end on time", any(one.is_cut for one in out)),
            ("exercises change", any(one.is_swapped for one in out)),
        )
        if holds
    ]
    because = f", as {' and '.join(reasons)}" if reasons else ""
    return f"{'; '.join(parts)}{because}" if parts else ""


def _was_and_now(one: OutOfRange) -> str:
    return f"{one.muscle} {charts.sets_text(one.was)} to {charts.sets_text(one.now)}"
