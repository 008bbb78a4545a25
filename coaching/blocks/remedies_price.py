"""What a remedy costs: the muscles that it leaves under their range, so that its button can say so."""

from collections.abc import Iterator, Sequence

from coaching.blocks import charts
from coaching.blocks.block_findings import WeekScene, judged
from coaching.blocks.plan_figures import SessionFigures
from coaching.rules.plan import Muscle

_NAMED = 3
Ranges = tuple[tuple[Muscle, float, float], ...]
"""Each muscle of a week that has a range, its sets, and where the range begins."""


def ranges_of(scene: WeekScene) -> Ranges:
    """The muscles of a usual week; a light one has no ranges."""
    lines = judged(scene.week, scene.facts.level)
    return tuple((one.muscle, one.planned, one.low) for one in lines if charts.has_range(one))


def price(ranges: Ranges, before: Sequence[SessionFigures], after: Sequence[SessionFigures]) -> str:
    """What falls and is under its range then, in words: side delt 7.5 to 6.5 sets.

    Those that lose most come first; a button has room for few.
    """
    falls = sorted(_falls(ranges, before, after), key=lambda one: one[0])
    told = ", ".join(words for _, words in falls[:_NAMED])
    more = f" and {len(falls) - _NAMED} more" if len(falls) > _NAMED else ""
    return f"{told} sets{more}" if told else ""


def _falls(
    ranges: Ranges, before: Sequence[SessionFigures], after: Sequence[SessionFigures]
) -> Iterator[tuple[float, str]]:
    for muscle, planned, low in ranges:
        now = planned - _sets(before, muscle) + _sets(after, muscle)
        if now < planned and now < low:
            words = f"{muscle} {charts.sets_text(planned)} to {charts.sets_text(now)}"
            yield now - planned, words


def _sets(sessions: Sequence[SessionFigures], muscle: Muscle) -> float:
    return sum(one.volume[muscle].fractional_sets for one in sessions if muscle in one.volume)
