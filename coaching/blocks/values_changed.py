"""What an edit changed in how exercises are done, in words: load, tempo, rest, reserve."""

from collections.abc import Iterator

from coaching.blocks.words import rest_text, short_targets
from coaching.rules.next_load import load_words
from coaching.rules.plan import PlannedWeek, Prescription

_MOST_NAMED = 3


def values_changed(was: PlannedWeek, now: PlannedWeek) -> str:
    """Goblet squat 20 kg → 60 kg, RIR 2 → 0; Dip rest 2 min → 90 s; and 2 more exercises.

    Sets and repetitions are told by their sums, and here only where those stay as they were.
    Empty where nothing of it changed.
    """
    before = {line.key: line for session in was.sessions for line in session.prescriptions}
    both = (
        (before[line.key], line)
        for session in now.sessions
        for line in session.prescriptions
        if line.key in before and before[line.key].exercise.key == line.exercise.key
    )
    told = ((line.exercise.name, ", ".join(_told(then, line))) for then, line in both)
    found = [f"{name} {words}" for name, words in told if words]
    more = len(found) - _MOST_NAMED
    also = [f"and {more} more exercise{'' if more == 1 else 's'}"] if more > 0 else []
    return "; ".join([*found[:_MOST_NAMED], *also])


def _told(was: Prescription, now: Prescription) -> Iterator[str]:
    """Each value that differs, before and after."""
    if was.targets != now.targets and sum(was.targets) == sum(now.targets):
        yield f"{short_targets(was.targets)} → {short_targets(now.targets)}"
    if was.load != now.load:
        loads = (load_words(one.exercise, one.load) for one in (was, now))
        yield " → ".join(loads)
    if was.tempo != now.tempo:
        yield f"tempo {was.tempo} → {now.tempo}"
    if was.rest != now.rest:
        yield f"rest {rest_text(was.rest)} → {rest_text(now.rest)}"
    if was.rir != now.rir:
        yield f"RIR {_or_none(was.rir)} → {_or_none(now.rir)}"


def _or_none(rir: int | None) -> str:
    return "–" if rir is None else str(rir)
