"""Whether strength came back after a light week, as the review shows it: words, chart, table."""

from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from coaching.rules.ability_compared import Compared
from coaching.rules.ability_course import Band
from coaching.rules.plan import Exercise
from coaching.rules.return_check import ReturnCheck, return_check, return_sentence
from coaching.rules.return_numbers import RETURN_SURE
from sessions.ability_words import between
from sessions.review_words import short_day
from sessions.week_reading import WeekReading

ALL_TOGETHER = "All together"
STEP = 5
"""The axis ends on a multiple of so many per cent."""
MOST_SHOWN = 4
"""So many exercises are drawn, the least surely back first; the table holds all."""
_MIDDLE, _HALF = 50.0, 48.0
"""Where no change stands on the axis, and how far it reaches to each side [% of its width]."""


@dataclass(frozen=True)
class Mark:
    """One line of the chart: where strength stood, and its range [% of the width of the axis]."""

    name: str
    side: str
    x: float
    low_x: float
    high_x: float
    is_sure: bool
    value: str


@dataclass(frozen=True)
class ReturnRow:
    """One exercise, or all, in the table."""

    name: str
    before: str
    during: str
    after: str
    change: str
    back: str


@dataclass(frozen=True)
class ReturnView:
    """The return from a light week: all exercises on three days, and those that lag."""

    check: ReturnCheck
    sentence: str
    most: int
    course: tuple[Mark, ...]
    lowest: tuple[Mark, ...]
    rows: tuple[ReturnRow, ...]

    @property
    def word(self) -> str:
        """The judgement in a word or two."""
        if self.check.is_back:
            return "Back"
        return "Not back" if self.check.is_not_back else "Not clear yet"

    @property
    def sessions_words(self) -> str:
        """What the table rests on."""
        count = self.check.sessions
        since = "1 session" if count == 1 else f"{count} sessions"
        return f"{since} since the light week; all as known now."

    @property
    def percent(self) -> int:
        """How likely strength is at least as it was."""
        return _percent(self.check.all.back)


def return_view(reading: WeekReading, today: date) -> ReturnView | None:
    """What is shown of a client who had a light week lately, none for the others; no query."""
    week_after = reading.week_starts_on + timedelta(days=7)
    check = return_check(reading.sessions, today=min(week_after, today))
    if check is None:
        return None
    lowest = sorted(check.exercises.items(), key=lambda pair: pair[1].back)[:MOST_SHOWN]
    days = _days(check)
    bands = [*(band for _, band in days), *(one.change for _, one in lowest)]
    most = STEP * ceil(max(max(-band.low, band.high) for band in bands) / STEP)
    return ReturnView(
        check=check,
        sentence=return_sentence(check),
        most=most,
        course=tuple(_mark(name, "all", band, most) for name, band in days),
        lowest=tuple(_of_exercise(*pair, most) for pair in lowest),
        rows=(
            _row(ALL_TOGETHER, check.all, "%"),
            *(_row(one.name, compared, "kg") for one, compared in check.exercises.items()),
        ),
    )


def _days(check: ReturnCheck) -> tuple[tuple[str, Band], ...]:
    """All exercises before, during and after, in per cent against before."""
    days = (check.before, check.light[1], check.after)
    bands = (check.all.before, check.all.during, check.all.after)
    words = ("Before", "During", "After")
    return tuple(
        (f"{word}, {short_day(on)}", band)
        for word, on, band in zip(words, days, bands, strict=True)
    )


def _of_exercise(exercise: Exercise, one: Compared, most: int) -> Mark:
    pattern = exercise.pattern.value
    side = pattern if pattern in {"push", "pull"} else ""
    is_sure = max(one.back, 1 - one.back) >= RETURN_SURE.value
    return _mark(exercise.name, side, one.change, most, is_sure=is_sure)


def _mark(name: str, side: str, band: Band, most: int, *, is_sure: bool = True) -> Mark:
    x, low_x, high_x = (
        round(_MIDDLE + _HALF * end / most, 2) for end in (band.middle, band.low, band.high)
    )
    return Mark(name, side, x, low_x, high_x, is_sure, f"{band.middle:+.1f} %".replace("-", "−"))


def _row(name: str, one: Compared, unit: str) -> ReturnRow:
    return ReturnRow(
        name=name,
        before=between(one.before, unit),
        during=between(one.during, unit),
        after=between(one.after, unit),
        change=between(one.change, "%"),
        back=f"{_percent(one.back)} %",
    )


def _percent(share: float) -> int:
    """Nothing is told as certain."""
    return min(99, max(1, round(100 * share)))
