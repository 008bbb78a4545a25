"""What stands in a log and was hardly done: loads in pounds, slipped points, digits too many.

A question, never a correction: the tool does not change what a client typed. What the plan
asked for is left alone, and so are new exercises. ``copied_log`` looks for copied sessions.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from math import log
from statistics import median

from coaching.rules.copied_log import find_copied
from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.log import LoggedSession, LoggedSet
from coaching.rules.log_numbers import (
    MISTAKE_DECIMAL,
    MISTAKE_FAR_LOAD,
    MISTAKE_GUESS_NEAR,
    MISTAKE_LOOK_BACK,
    MISTAKE_OPEN_LAST,
    MISTAKE_REPS_ABOVE,
    MISTAKE_REPS_BEFORE,
    MISTAKE_SAME_LOAD,
    MISTAKE_SAME_REPS,
    MISTAKE_TIMES,
)
from coaching.rules.numbers import POUND, REVIEW_DAYS, TYPICAL_ERROR, USUAL_FEWEST
from coaching.rules.plan import Exercise, Measure, WeekKind
from coaching.rules.volume import system_load

LOAD_RULE = (
    f"A load that is the one asked for, or else the usual one of up to {MISTAKE_LOOK_BACK.value:g} "
    "sessions, when it is read in pounds or its decimal point is moved, at about the same "
    f"repetitions; not within {MISTAKE_FAR_LOAD.value:g} times of loads lifted before, and only "
    f"from {USUAL_FEWEST.value:g} earlier sessions of the exercise."
)
REPS_RULE = (
    f"{MISTAKE_REPS_ABOVE.value:g} or more repetitions above the target (without one: the usual) and "
    f"the other sets, where earlier sessions stayed within {MISTAKE_REPS_BEFORE.value:g} of theirs; "
    f"elsewhere, for holds, and for last sets left open, {MISTAKE_TIMES.value:g} times the most of earlier sessions. Only "
    f"from {USUAL_FEWEST.value:g} earlier sessions of the exercise."
)
COULD_NOT_KNOW = "Whether it was done so after all: the log holds what was typed."


@dataclass(frozen=True)
class _Earlier:
    """The last sessions of an exercise in usual weeks, before the one that is looked at."""

    sessions: tuple[tuple[LoggedSet, ...], ...]

    @cached_property
    def loads(self) -> list[float]:
        """The usual load of each session [kg], smallest first."""
        return sorted(median(s.load for s in sets) for sets in self.sessions)

    @cached_property
    def load(self) -> float:
        """The usual load [kg]."""
        return median(self.loads)

    @cached_property
    def excess(self) -> int:
        """How far sets went above what was asked of them, the highest session left out.

        That one may hold a mistake of its own.
        """
        most = sorted(max(s.amount - (s.target or self.amount) for s in g) for g in self.sessions)
        return int(most[:-1][-1])

    @cached_property
    def most(self) -> int:
        """The most repetitions or seconds of a set, the highest session left out."""
        return sorted(max(s.amount for s in sets) for sets in self.sessions)[:-1][-1]

    @cached_property
    def amount(self) -> float:
        """The usual repetitions or seconds of a set."""
        return median(s.amount for sets in self.sessions for s in sets)

    def amount_of(self, number: int) -> float:
        """The usual repetitions or seconds of the set of that number."""
        return self._amounts.get(number, self.amount)

    @cached_property
    def _amounts(self) -> dict[int, float]:
        by_number: dict[int, list[int]] = {}
        for one in (s for sets in self.sessions for s in sets):
            by_number.setdefault(one.number, []).append(one.amount)
        return {number: median(same) for number, same in by_number.items()}

    def knows(self, load: float) -> bool:
        """Whether a load is near to what was lifted, the lowest and the highest day left out."""
        low, high = self.loads[1], self.loads[:-1][-1]
        return low / MISTAKE_FAR_LOAD.value <= load <= high * MISTAKE_FAR_LOAD.value


@dataclass(frozen=True)
class _Place:
    """One exercise of one session, with what is known of it from before."""

    session: LoggedSession
    sets: tuple[LoggedSet, ...]
    earlier: _Earlier
    leaves_last_open: bool

    @property
    def exercise(self) -> Exercise:
        return self.sets[0].exercise

    @property
    def day(self) -> str:
        """The day in words."""
        on = self.session.on
        return f"{on:%A} {on.day} {on:%b}"


def find_log_mistakes(sessions: Sequence[LoggedSession], *, today: date) -> list[Finding]:
    """What the last week's logs hold that was more likely mistyped than done.

    Args:
        sessions: Logged sessions, oldest first; about six weeks of each exercise are enough.
        today: The day of the review; later sessions are not read.

    It is no answer for exercises done fewer than three times before.
    """
    since = today - timedelta(days=REVIEW_DAYS.value)
    found: list[Finding] = []
    for place in _places(sessions, since, today):
        found.extend(_loads(place))
        found.extend(_amounts(place))
    copied = find_copied(sessions, since=since, today=today)
    return [*found, copied] if copied is not None else found


def _places(sessions: Sequence[LoggedSession], since: date, today: date) -> Iterator[_Place]:
    """Every exercise of the reviewed days that was done often enough before."""
    history: dict[str, list[tuple[LoggedSet, ...]]] = {}
    back, fewest = int(MISTAKE_LOOK_BACK.value), int(USUAL_FEWEST.value)
    is_open = _leaves_last_open(sessions)
    for session in sorted(sessions, key=lambda s: s.on):
        if session.on > today:
            return
        for key, sets in _by_exercise(session).items():
            earlier = history.setdefault(key, [])
            if session.on >= since and len(earlier) >= fewest:
                yield _Place(session, sets, _Earlier(tuple(earlier[-back:])), is_open)
            if session.kind is WeekKind.BUILD:
                earlier.append(sets)


def _leaves_last_open(sessions: Sequence[LoggedSession]) -> bool:
    """Whether the client often does what is possible on last sets, whatever the target."""
    last = [sets[-1] for s in sessions for sets in _by_exercise(s).values()]
    planned = [(one.amount, one.target) for one in last if one.target]
    above = sum(amount > target + 1 for amount, target in planned)
    # Without targets nobody can tell, so a last set is believed.
    return above >= MISTAKE_OPEN_LAST.value * len(planned)


def _by_exercise(session: LoggedSession) -> Mapping[str, tuple[LoggedSet, ...]]:
    groups: dict[str, tuple[LoggedSet, ...]] = {}
    for one in session.sets:
        if not one.warm_up and one.amount > 0:
            groups[one.exercise.key] = (*groups.get(one.exercise.key, ()), one)
    return groups


# --- loads -----------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Slip:
    """One way in which a load goes wrong: by what it is multiplied, and its words."""

    factor: float
    how: str


_SLIPS = (
    _Slip(1 / POUND.value, "that is {expected} in pounds"),
    _Slip(MISTAKE_DECIMAL.value, "that is {expected} with its decimal point moved"),
    _Slip(1 / MISTAKE_DECIMAL.value, "that is {expected} with its decimal point moved"),
)


def _loads(place: _Place) -> Iterator[Finding]:
    """One finding for each way in which loads of the exercise went wrong."""
    wrong: dict[tuple[int, float, float], list[LoggedSet]] = {}
    for one in place.sets:
        expected = _expected_load(place, one)
        if expected is None or place.earlier.knows(one.load):
            continue
        for number, slip in enumerate(_SLIPS):
            if _is_slip(one.load, expected, slip) and _same_work(place, one, slip, expected):
                wrong.setdefault((number, one.load, expected), []).append(one)
    for (number, load, expected), sets in wrong.items():
        yield _load_finding(place, sets, load, expected, _SLIPS[number])


def _expected_load(place: _Place, one: LoggedSet) -> float | None:
    """The load that was asked for, or the usual one [kg]; none where nothing is expected."""
    if one.target_load is not None:
        return None if one.target_load <= 0 or one.load <= 0 else one.target_load
    is_usual = place.session.kind is WeekKind.BUILD and place.earlier.load > 0 and one.load > 0
    return place.earlier.load if is_usual else None


def _is_slip(load: float, expected: float, slip: _Slip) -> bool:
    return abs(load / slip.factor / expected - 1) <= MISTAKE_SAME_LOAD.value


def _same_work(place: _Place, one: LoggedSet, slip: _Slip, expected: float) -> bool:
    """Whether the repetitions are those of the expected load and not of the one that stands there."""
    usual = float(one.target) if one.target else place.earlier.amount_of(one.number)
    share = one.amount / usual
    if slip.factor < 1:
        # In pain a client takes a tenth of the load; nobody is asked whether that was a slip.
        return share <= 1 / MISTAKE_SAME_REPS.value and not one.pain
    if share < MISTAKE_SAME_REPS.value:
        return False
    return one.target_load is not None or _leap(place, one, expected)


def _leap(place: _Place, one: LoggedSet, expected: float) -> bool:
    """Whether the load would be a leap in strength that no client makes from one day to the next."""
    weight = place.session.body_weight
    try:
        now = system_load(place.exercise, one.load, weight)
        before = system_load(place.exercise, expected, weight)
    except ValueError:
        return False
    smallest = min(now, before)
    return smallest <= 0 or abs(log(now / before)) > 2 * TYPICAL_ERROR.value


def _load_finding(
    place: _Place, sets: Sequence[LoggedSet], load: float, expected: float, slip: _Slip
) -> Finding:
    asked = sets[0].target_load is not None
    name, where = place.exercise.name, _sets_words(sets)
    reps = ", ".join(str(s.amount) for s in sets)
    unit = " s" if place.exercise.measure is Measure.SECONDS else " reps"
    how = slip.how.format(expected=_kilograms(expected))
    return _mistake(
        place,
        sentence=(
            f"{name}, {place.day}, {where}: {_kilograms(load)} stands there, "
            f"{'asked was' if asked else 'usual is'} {_kilograms(expected)}; {how}."
        ),
        evidence=(
            Evidence("Logged", f"{reps}{unit} at {_kilograms(load)}"),
            *([Evidence("Asked for", _kilograms(expected))] if asked else []),
            Evidence(
                "Usual",
                f"{_kilograms(place.earlier.load)}, the middle of {len(place.earlier.loads)} sessions",
            ),
        ),
        rule=LOAD_RULE,
        source_key="pound-1959" if slip is _SLIPS[0] else "house",
        question=(
            f"{name} on {place.day}, {where}: was it {_kilograms(expected)} and not "
            f"{_kilograms(load)}?"
        ),
    )


# --- repetitions and seconds -------------------------------------------------------


def _amounts(place: _Place) -> Iterator[Finding]:
    for one in place.sets:
        expected = float(one.target) if one.target else place.earlier.amount_of(one.number)
        others = [
            s.amount - (s.target or 0) + (one.target or 0) for s in place.sets if s is not one
        ]
        if _is_too_many(place, one, max(expected, *others, 1)):
            yield _amount_finding(place, one, expected)


def _is_too_many(place: _Place, one: LoggedSet, likely: float) -> bool:
    """Whether a set stands out from its target, from what is usual and from the sets beside it."""
    usual = max(likely, place.earlier.amount_of(one.number), place.earlier.most)
    is_many_times = one.amount >= MISTAKE_TIMES.value * usual
    if place.exercise.measure is Measure.SECONDS:
        return is_many_times
    goes_above = place.earlier.excess >= MISTAKE_REPS_BEFORE.value or (
        place.leaves_last_open and one is place.sets[-1]
    )
    is_far = one.amount >= likely + MISTAKE_REPS_ABOVE.value
    return is_far and (is_many_times or not goes_above)


def _amount_finding(place: _Place, one: LoggedSet, usual: float) -> Finding:
    name, day = place.exercise.name, place.day
    unit = "s" if place.exercise.measure is Measure.SECONDS else "reps"
    asked = [Evidence("Asked for", f"{one.target} {unit}")] if one.target else []
    meant = _without_a_digit(one.amount, usual)
    ask = f"was it {meant} and not {one.amount} {unit}?" if meant else "how many was it really?"
    return _mistake(
        place,
        sentence=(
            f"{name}, {day}, set {one.number}: {one.amount} {unit} stands there, usual is "
            f"{place.earlier.amount_of(one.number):g}"
            f"{f' and asked was {one.target}' if one.target else ''}."
        ),
        evidence=(
            Evidence("Logged", f"{', '.join(str(s.amount) for s in place.sets)} {unit}"),
            *asked,
            Evidence(
                "Usual",
                f"{place.earlier.amount_of(one.number):g} {unit} in set {one.number}, "
                f"the middle of {len(place.earlier.sessions)} sessions",
            ),
        ),
        rule=REPS_RULE,
        source_key="house",
        question=f"{name} on {day}, set {one.number}: {ask}",
    )


def _without_a_digit(amount: int, usual: float) -> int | None:
    """The number that was probably meant: one digit too many taken out, or a ten too much.

    >>> _without_a_digit(88, 7), _without_a_digit(22, 12), _without_a_digit(47, 8)
    (8, 12, 7)
    >>> _without_a_digit(33, 12) is None
    True
    """
    digits = str(amount)
    ways = {int(digits[:i] + digits[i + 1 :] or "0") for i in range(len(digits))}
    ways.add(amount - int(MISTAKE_DECIMAL.value))
    best = min(ways, key=lambda way: abs(way - usual))
    return best if best > 0 and abs(best - usual) <= MISTAKE_GUESS_NEAR.value else None


# --- words -------------------------------------------------------------------------


def _mistake(
    place: _Place,
    *,
    sentence: str,
    evidence: tuple[Evidence, ...],
    rule: str,
    source_key: str,
    question: str,
) -> Finding:
    return Finding(
        kind=FindingKind.LOG_MISTAKE,
        sentence=sentence,
        evidence=evidence,
        rule=rule,
        source_key=source_key,
        exercise=place.exercise.key,
        since=place.session.on,
        could_not_know=COULD_NOT_KNOW,
        question=question,
    )


def _sets_words(sets: Sequence[LoggedSet]) -> str:
    numbers = [str(s.number) for s in sets]
    if len(numbers) == 1:
        return f"set {numbers[0]}"
    return f"sets {', '.join(numbers[:-1])} and {numbers[-1]}"


def _kilograms(load: float) -> str:
    return f"{load:.2f}".rstrip("0").rstrip(".") + " kg"
