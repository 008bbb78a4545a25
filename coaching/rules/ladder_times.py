"""What each session of the last year shows of an exercise, as a ladder looks at it."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from coaching.rules.log import LoggedSession, LoggedSet
from coaching.rules.numbers import PAIN_LIMIT, PLACE_MISTYPED, PLACE_REMEMBERED
from coaching.rules.plan import Exercise, LoadKind, Measure


@dataclass(frozen=True, slots=True)
class Time:
    """One exercise in one session: its sets in order, warm-ups and typing mistakes left out."""

    on: date
    sets: tuple[LoggedSet, ...]

    @property
    def exercise(self) -> Exercise:
        """The exercise that was done."""
        return self.sets[0].exercise

    @property
    def amounts(self) -> tuple[int, ...]:
        """Repetitions or seconds, set by set."""
        return tuple(one.amount for one in self.sets)

    @property
    def is_clean(self) -> bool:
        """Whether no set had help, or pain above the limit."""
        return all(_is_clean(one) for one in self.sets)

    @property
    def best(self) -> int:
        """The most of one clean set; 0 when there is none."""
        return max((one.amount for one in self.sets if _is_clean(one)), default=0)

    @property
    def help(self) -> float:
        """The most help of a band or counterweight [kg]."""
        return max(_help(one) for one in self.sets)

    @property
    def best_words(self) -> str:
        """The best clean set with its load: 6 reps · +5 kg."""
        clean = [one for one in self.sets if _is_clean(one)]
        top = max(clean, key=lambda one: (one.amount, one.load))
        return amount_words(top.amount, self.exercise.measure) + _load_words(
            top.load, self.exercise
        )

    @property
    def only_words(self) -> str:
        """Why a session without a clean repetition does not count."""
        if any(_help(one) and one.amount for one in self.sets):
            return f"done with help only, {day_words(self.on)}"
        if any(one.amount for one in self.sets):
            return f"done only with pain above {PAIN_LIMIT.value:g} of 10, {day_words(self.on)}"
        return f"tried, not one done, {day_words(self.on)}"

    def rank(self, asks: int) -> tuple[bool, float, int, int, date]:
        """How good a session was: clean, little help, sets that reached the number, work, newest."""
        reached = sum(amount >= asks for amount in self.amounts)
        return (self.is_clean, -self.help, reached, sum(self.amounts), self.on)


def read_times(sessions: Iterable[LoggedSession], today: date) -> dict[str, tuple[Time, ...]]:
    """Each exercise's sessions of the last year up to today, oldest first, by exercise key."""
    since = today - timedelta(days=int(PLACE_REMEMBERED.value))
    found: dict[str, list[Time]] = {}
    for session in sessions:
        if not since <= session.on <= today:
            continue
        by_exercise: dict[str, list[LoggedSet]] = {}
        for one in session.sets:
            if not one.warm_up and not _is_mistyped(one):
                by_exercise.setdefault(one.exercise.key, []).append(one)
        for key, sets in by_exercise.items():
            found.setdefault(key, []).append(Time(session.on, tuple(sets)))
    return {key: tuple(sorted(times, key=_in_order)) for key, times in found.items()}


def _in_order(time: Time) -> tuple[date, list[tuple[int, float, int]]]:
    """By day; two sessions of one day come the same way whatever order they were read in."""
    return time.on, [(one.amount, one.load, one.pain or 0) for one in time.sets]


def amount_words(amount: int, measure: Measure) -> str:
    """Repetitions, or seconds of a hold, with the unit.

    >>> amount_words(1, Measure.REPS), amount_words(8, Measure.REPS), amount_words(8, Measure.SECONDS)
    ('1 rep', '8 reps', '8 s')
    """
    if measure is Measure.SECONDS:
        return f"{amount} s"
    return "1 rep" if amount == 1 else f"{amount} reps"


def day_words(on: date) -> str:
    """A day without its weekday.

    >>> day_words(date(2025, 11, 12))
    '12 Nov'
    """
    return f"{on.day} {on:%b}"


def time_words(time: Time) -> str:
    """A session as a coach writes it: 5 × 8 · +5 kg, 12 Nov; or 8-7-6, 12 Nov."""
    amounts = time.amounts
    unit = " s" if time.exercise.measure is Measure.SECONDS else ""
    written = "-".join(str(one) for one in amounts) + unit
    if len(amounts) > 1 and len(set(amounts)) == 1:
        written = f"{len(amounts)} × {amounts[0]}{unit}"
    elif len(amounts) == 1:
        written = amount_words(amounts[0], time.exercise.measure)
    # Of several loads the one that claims least: the most help, the lightest weight.
    loads = [one.load for one in time.sets]
    load = max(loads) if time.exercise.load_kind is LoadKind.ASSISTED else min(loads)
    pain = "" if time.is_clean or time.help else ", with pain"
    return f"{written}{_load_words(load, time.exercise)}{pain}, {day_words(time.on)}"


def _load_words(load: float, exercise: Exercise) -> str:
    kilograms = f"{load:.2f}".rstrip("0").rstrip(".") + " kg"
    words: Mapping[LoadKind, str] = {
        LoadKind.ADDED: f" · +{kilograms}",
        LoadKind.ASSISTED: f" · {kilograms} of help",
        LoadKind.EXTERNAL: f" · {kilograms}",
    }
    return words.get(exercise.load_kind, "") if load else ""


def _help(one: LoggedSet) -> float:
    return one.load if one.exercise.load_kind is LoadKind.ASSISTED else 0.0


def _is_clean(one: LoggedSet) -> bool:
    return not _help(one) and (one.pain is None or one.pain <= PAIN_LIMIT.value)


def _is_mistyped(one: LoggedSet) -> bool:
    return bool(one.target) and one.amount > PLACE_MISTYPED.value * (one.target or 0)
