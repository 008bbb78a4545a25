"""The weeks of a template as one client would get them, before a block is made of it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from coaching.blocks.plan_figures import WeekFigures
from coaching.blocks.words import week_kind_text
from coaching.rules.load_to_choose import lines_to_choose
from coaching.rules.plan import PlannedWeek
from coaching.rules.session_clock import fits


@dataclass(frozen=True)
class WeekLook:
    """One week: what kind it is of, its sets and repetitions, its longest session [min]."""

    number: int
    kind: str
    starts_on: date
    sessions: int
    working_sets: int
    reps: int
    minutes: int
    fits: bool


def week_looks(weeks: Sequence[WeekFigures], budget: int) -> tuple[WeekLook, ...]:
    """Every week, to see the course of a block; no query."""
    return tuple(_look(one, budget) for one in weeks)


def names_to_choose(weeks: Iterable[PlannedWeek]) -> tuple[str, ...]:
    """The exercises whose load is still to be chosen with the client, each once."""
    sessions = [session for week in weeks for session in week.sessions]
    lines = [line for session in sessions for line in lines_to_choose(session)]
    return tuple(dict.fromkeys(line.exercise.name for line in lines))


def _look(figures: WeekFigures, budget: int) -> WeekLook:
    clocks = [one.minutes for one in figures.sessions]
    return WeekLook(
        number=figures.week.number,
        kind=week_kind_text(figures.week.kind.value),
        starts_on=figures.week.starts_on,
        sessions=len(figures.sessions),
        working_sets=figures.working_sets,
        reps=figures.reps,
        minutes=max((round(clock.total) for clock in clocks), default=0),
        fits=all(fits(clock, budget) for clock in clocks),
    )
