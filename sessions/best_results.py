"""The best sets of one exercise, in plain words."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from coaching.rules.plan import LoadKind, Measure
from sessions.set_words import amount_words, kilograms, load_words


@dataclass(frozen=True)
class Result:
    """One working set, on the first day on which it was done."""

    amount: int
    load: float
    on: date


@dataclass(frozen=True)
class How:
    """How an exercise is counted and loaded."""

    measure: str
    load_kind: str
    each_side: bool = False

    @property
    def most_word(self) -> str:
        """What the largest amount is called."""
        return "Longest hold" if self.measure == Measure.SECONDS else "Most reps in a set"

    @property
    def is_helped(self) -> bool:
        """Whether the load helps, so that less of it is harder."""
        return self.load_kind == LoadKind.ASSISTED


def most(results: Iterable[Result], how: How) -> Result | None:
    """The largest amount; of equal ones the harder load, then the first day."""
    done = [one for one in results if one.amount]
    return max(done, key=lambda one: (one.amount, _hard(one, how), _early(one)), default=None)


def hardest(results: Iterable[Result], how: How) -> Result | None:
    """The hardest load; of equal ones the largest amount, then the first day."""
    done = [one for one in results if one.amount]
    return max(done, key=lambda one: (_hard(one, how), one.amount, _early(one)), default=None)


def by_load(results: Iterable[Result], how: How) -> list[Result]:
    """The largest amount at each load, the hardest load first."""
    loads: dict[float, list[Result]] = {}
    for one in results:
        loads.setdefault(one.load, []).append(one)
    best = [found for same in loads.values() if (found := most(same, how))]
    return sorted(best, key=lambda one: _hard(one, how), reverse=True)


def _hard(one: Result, how: How) -> float:
    return -one.load if how.is_helped else one.load


def _early(one: Result) -> int:
    return -one.on.toordinal()


def best_words(results: Iterable[Result], how: How, today: date) -> tuple[str, ...]:
    """The largest amount and the hardest load, each with its day.

    >>> sets = [Result(12, 5.0, date(2026, 11, 3)), Result(5, 10.0, date(2025, 12, 30))]
    >>> for words in best_words(sets, How("reps", "added"), date(2026, 11, 27)):
    ...     print(words)
    Most reps in a set: 12 at +5 kg on 3 Nov
    Heaviest: +10 kg for 5 reps on 30 Dec 2025
    >>> best_words([Result(45, 0.0, date(2026, 11, 3))], How("seconds", "none"), date(2026, 11, 27))
    ('Longest hold: 45 s on 3 Nov',)
    """
    done = list(results)
    longest, heaviest = most(done, how), hardest(done, how)
    if longest is None or heaviest is None:
        return ()
    load = load_words(longest.load, how.load_kind)
    amount = amount_of(longest, how) + (f" at {load}" if load else "")
    words = [f"{how.most_word}: {amount} on {day_words(longest.on, today)}"]
    if heaviest.load != longest.load:
        amount = amount_words(heaviest.amount, how.measure) + _sides(how)
        hard = f"{_hardest_words(heaviest, how)} for {amount}"
        words.append(f"{hard} on {day_words(heaviest.on, today)}")
    return tuple(words)


def amount_of(one: Result, how: How) -> str:
    """An amount beside the word that says what it counts."""
    unit = " s" if how.measure == Measure.SECONDS else ""
    return f"{one.amount}{unit}{_sides(how)}"


def load_of(one: Result, how: How) -> str:
    """A load in a table, where none must be said too."""
    without = {LoadKind.ADDED.value: "nothing added", LoadKind.ASSISTED.value: "no help"}
    return load_words(one.load, how.load_kind) or without.get(how.load_kind, "no load")


def _hardest_words(one: Result, how: How) -> str:
    if how.is_helped:
        return f"Least help: {kilograms(one.load) if one.load else 'none'}"
    return f"Heaviest: {load_words(one.load, how.load_kind)}"


def _sides(how: How) -> str:
    return " each side" if how.each_side else ""


def day_words(on: date, today: date) -> str:
    """A day, with its year when it is not this one.

    >>> day_words(date(2026, 11, 3), date(2026, 11, 27)), day_words(date(2025, 1, 3), date(2026, 1, 3))
    ('3 Nov', '3 Jan 2025')
    """
    year = "" if on.year == today.year else f" {on.year}"
    return f"{on.day} {on:%b}{year}"
