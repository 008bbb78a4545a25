"""The return from a light week: what the first session checks, and whether strength came back.

Strength before, during and after is read from the model of ability (``ability``) as known
now, and compared with what is uncertain of both days together, so that neither the
level of an exercise nor the habits of the client are counted twice.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from coaching.rules.ability import Ability, Believed, Remembered
from coaching.rules.ability_compared import Compared, Levels
from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.log import LoggedSession
from coaching.rules.plan import Exercise, WeekKind
from coaching.rules.return_numbers import (
    RETURN_DAYS,
    RETURN_DOUBT,
    RETURN_FALL_LIKELY,
    RETURN_FEWEST,
    RETURN_LEAST,
    RETURN_RESERVE,
    RETURN_SURE,
)

_KEPT = 256
_RULE = (
    f"Strength before the light week, or before the fall that led to it, against strength after it. "
    f"Called back from {RETURN_SURE.value:.0%} on, not back from {1 - RETURN_SURE.value:.0%} down "
    f"with {RETURN_LEAST.value:.0%} lost or more; in between nothing is said for sure."
).replace("%", " %")


@dataclass(frozen=True)
class ReturnCheck:
    """Strength before, during and after a light week.

    ``before`` is the day compared with: the last one before the light week, or before the fall
    that led to it (``fell``). ``sessions`` counts those since.
    """

    light: tuple[date, date]
    before: date
    fell: bool
    after: date
    sessions: int
    all: Compared
    exercises: Mapping[Exercise, Compared]

    @property
    def is_back(self) -> bool:
        """Whether strength is at least what it was, as good as surely."""
        return self.all.back >= RETURN_SURE.value

    @property
    def is_not_back(self) -> bool:
        """Whether it is lower, as good as surely, and by enough to matter."""
        lost = -self.all.change.middle / 100
        return self.all.back <= 1 - RETURN_SURE.value and lost >= RETURN_LEAST.value


def return_words(names: Sequence[str]) -> str:
    """What the first session after a light week checks, for the client.

    >>> return_words(["Push-up", "Pull-up"])  # doctest: +ELLIPSIS
    'First session after the light week: the usual numbers, each set ended with 2 left or more, ...'
    """
    on = " and ".join(names)
    what = f" Note what was left on {on}: that shows whether strength is back." if on else ""
    return (
        "First session after the light week: the usual numbers, each set ended with "
        f"{RETURN_RESERVE.value:g} left or more, even if that is short of the target.{what}"
    )


def return_check(sessions: Sequence[LoggedSession], *, today: date) -> ReturnCheck | None:
    """Whether strength came back after the last light week; none unless one was just over.

    Args:
        sessions: Oldest first; the ten weeks up to ``today`` are enough.
        today: The day of the review; later sessions are not read.
    """
    known = tuple(one for one in sessions if one.on <= today)
    light = [n for n, one in enumerate(known) if one.kind is WeekKind.DELOAD]
    if not light or light[-1] == len(known) - 1:
        return None
    last = first = light[-1]
    while first and known[first - 1].kind is WeekKind.DELOAD:
        first -= 1
    ended = known[last].on
    monday = ended + timedelta(days=7 - ended.weekday())
    if first < RETURN_FEWEST.value or (today - monday).days > RETURN_DAYS.value:
        return None
    return _read(known, first, last)


@lru_cache(maxsize=_KEPT)
def _read(known: tuple[LoggedSession, ...], first: int, last: int) -> ReturnCheck | None:
    ability, believed = Ability(keeps_course=True), None
    for place, session in enumerate(known):
        believed = ability.believed if place == first else believed
        # Whether a light week gives strength back is the question, and not to be presumed.
        turns = place in {first, last + 1}
        ability.take(session, doubt=RETURN_DOUBT.value if turns else 0.0)
    course = ability.course
    fell, before = _compared_with(known[:first], believed)
    shared = _in_both(course[: before + 1], course[last + 1 :])
    if not shared:
        return None
    levels = Levels(course)
    rows = {s.exercise.key: s.exercise for one in known for s in one.sets}
    return ReturnCheck(
        light=(known[first].on, known[last].on),
        before=known[before].on,
        fell=fell,
        after=known[-1].on,
        sessions=len(known) - 1 - last,
        all=levels.compare(list(shared.values()), before, last),
        exercises={rows[key]: levels.compare([at], before, last) for key, at in shared.items()},
    )


def _compared_with(before: Sequence[LoggedSession], believed: Believed | None) -> tuple[bool, int]:
    """Whether a fall led to the light week, and which session to compare with."""
    fell = believed is not None and believed.fall >= RETURN_FALL_LIKELY.value
    if believed is not None and believed.since is not None and fell:
        earlier = [n for n, one in enumerate(before) if one.on < believed.since]
        if earlier:
            return True, earlier[-1]
    return False, len(before) - 1


def _in_both(before: Sequence[Remembered], after: Sequence[Remembered]) -> dict[str, int]:
    """The exercises trained both before and after, by key, and where they stand."""
    met = {key for one in before for key in one.places}
    return {key: at for one in after for key, at in one.places.items() if key in met}


def return_finding(check: ReturnCheck) -> Finding | None:
    """That strength is back, or that it is not; none while it cannot be told."""
    if not (check.is_back or check.is_not_back):
        return None
    back = check.all.back if check.is_back else 1 - check.all.back
    kind = FindingKind.BACK if check.is_back else FindingKind.NOT_BACK
    return Finding(
        kind=kind,
        sentence=return_sentence(check),
        evidence=(
            Evidence("Against before", change_words(check.all)),
            Evidence("Before", f"{_day(check.before)}{', before the fall' if check.fell else ''}"),
            Evidence("Light week", f"{_day(check.light[0])} to {_day(check.light[1])}"),
            Evidence("Sessions since", str(check.sessions)),
        ),
        rule=_RULE,
        source_key="house",
        since=check.light[1],
        could_not_know="The log does not know of sleep, illness, food, work or stress.",
        question=""
        if check.is_back
        else "You had a light week; do you feel rested, and does "
        "anything hurt or has anything changed since?",
        probability=back,
    )


def return_sentence(check: ReturnCheck) -> str:
    """Whether strength came back, in a sentence with its numbers."""
    light = f"After the light week of {_day(check.light[0])} to {_day(check.light[1])}"
    against = (
        f"{_day(check.before)}, {'before the fall' if check.fell else 'the last session before'}"
    )
    if check.is_back:
        said = f"strength is back: all exercises together stand {change_words(check.all)}"
    elif check.is_not_back:
        said = f"strength is not back: all exercises together stand {change_words(check.all)}"
    else:
        said = f"it cannot be told yet whether strength is back: {change_words(check.all)}"
    return f"{light} {said} against {against}."


def change_words(one: Compared) -> str:
    """A change with its range: −1.2 % (9 times in 10: −3.4 to +1.0 %)."""
    band = one.change
    return (f"{band.middle:+.1f} % (9 times in 10: {band.low:+.1f} to {band.high:+.1f} %)").replace(
        "-", "−"
    )


def _day(on: date) -> str:
    return f"{on.day} {on:%b}"
