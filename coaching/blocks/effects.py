"""What a planned week does: sets per muscle, balance and minutes in one value.

A pure composition of the rules; what is found in a week is told by ``block_findings``.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from urllib.parse import urlencode
from zlib import crc32

from coaching.blocks import charts
from coaching.blocks.plan_figures import SessionFigures, week_figures
from coaching.rules.balance import Balance
from coaching.rules.findings import Finding
from coaching.rules.plan import Level, Muscle, PlannedWeek
from coaching.rules.session_clock import fits
from coaching.rules.volume_range import VolumeLine, judge_volume


@dataclass(frozen=True, slots=True)
class SessionEffect:
    """One planned session: minutes [min] against the client's time, sets on each side."""

    key: str
    name: str
    on: date
    minutes: int
    budget: int
    fits: bool
    push_sets: int
    pull_sets: int
    working_sets: int
    reps: int


@dataclass(frozen=True, slots=True)
class Remedy:
    """One act on the plan that settles a finding, in words and as the editor takes it.

    ``name`` is what it does without what it costs, where the words tell that too.
    """

    words: str
    act: Mapping[str, str]
    name: str = ""

    def __hash__(self) -> int:
        """By the act's own words: what is rendered of it is kept by content."""
        return hash(frozenset(self.act.items()))

    @property
    def what(self) -> str:
        """What it does, without what it costs."""
        return self.name or self.words

    @property
    def sent(self) -> str:
        """The act as the value of one button."""
        return urlencode(self.act)


NOTHING_CHANGED = "No sets, reps or minutes change."
_ONE_SET = ([charts.signed(1)], [charts.signed(-1)])


class Mark(StrEnum):
    """What the last edit did to a finding."""

    NONE = ""
    NEW = "New"
    BETTER = "Better"
    WORSE = "Worse"

    @property
    def is_alarm(self) -> bool:
        """Whether it asks for an act."""
        return self in {Mark.NEW, Mark.WORSE}


@dataclass(frozen=True, slots=True)
class PlacedFinding:
    """One finding, the sessions of the week in which it was found, and what would settle it.

    ``keys`` are those of the sessions, ``sizes`` how far off each of them is, where they differ.
    ``way_out`` says in words what no single act can do.
    """

    finding: Finding
    sessions: tuple[str, ...] = ()
    keys: tuple[str, ...] = ()
    remedies: tuple[Remedy, ...] = ()
    mark: Mark = Mark.NONE
    way_out: str = ""
    sizes: tuple[float, ...] = ()

    @property
    def anchor(self) -> str:
        """Its id on the page, the same before and after remedies were looked for."""
        told = (self.finding.kind, self.finding.sentence, self.finding.line, *self.keys)
        return f"finding-{crc32(' '.join(told).encode()):x}"

    @property
    def where(self) -> str:
        """The sessions it was found in, where the sentence does not name them already."""
        return ", ".join(one for one in self.sessions if one not in self.finding.sessions)


@dataclass(frozen=True, slots=True)
class WeekEffects:
    """What a week does; ``chart`` is the geometry for the spine's volume chart."""

    lines: tuple[VolumeLine, ...]
    chart: charts.SpineVolume
    balance: Balance
    sessions: tuple[SessionEffect, ...]

    @property
    def reps(self) -> int:
        """Repetitions of the week in working sets."""
        return sum(one.reps for one in self.sessions)

    @property
    def working_sets(self) -> int:
        """Working sets of the week."""
        return sum(one.working_sets for one in self.sessions)


def week_effects(
    week: PlannedWeek,
    *,
    level: Level,
    minutes_budget: int,
    chart_id: str = "week-volume",
    title: str = "",
    widest: float | None = None,
) -> WeekEffects:
    """What a planned week does to muscles, balance and time, all at once.

    Args:
        week: The planned week.
        level: The client's level, which sets the range of weekly sets.
        minutes_budget: Time the client has for a session [min].
        chart_id: A word for the chart that is unique on its page.
        title: The chart's title; left out, it names the week.
        widest: Sets a week at the chart's outer edge, for two charts on one scale.
    """
    figures = week_figures(week)
    lines = tuple(judge_volume(figures.volume, None, level=level, kind=week.kind))
    return WeekEffects(
        lines=lines,
        chart=charts.spine_volume(
            lines,
            chart_id=chart_id,
            title=title or f"Week {week.number}, sets per muscle",
            balance=figures.balance,
            widest=widest,
        ),
        balance=figures.balance,
        sessions=tuple(session_effect(one, minutes_budget) for one in figures.sessions),
    )


def session_effect(figures: SessionFigures, budget: int) -> SessionEffect:
    """One session against the client's time [min]."""
    session, balance = figures.session, figures.balance
    return SessionEffect(
        key=session.key,
        name=session.name,
        on=session.on,
        minutes=round(figures.minutes.total),
        budget=budget,
        fits=fits(figures.minutes, budget),
        push_sets=balance.push_sets,
        pull_sets=balance.pull_sets,
        working_sets=figures.totals.working_sets,
        reps=figures.totals.reps,
    )


def volume_sentences(effects: WeekEffects) -> list[str]:
    """Each muscle outside its range in a sentence: Biceps: 7 sets, the range is 10 to 20."""
    return [
        f"{line.muscle.value.capitalize()}: {charts.sets_text(charts.counted(line))} sets, "
        f"the range is {charts.sets_text(line.low)} to {charts.sets_text(line.high)}."
        for line in effects.lines
        if charts.is_outside(line)
    ]


def edit_sentence(before: WeekEffects, after: WeekEffects) -> str:
    """What an edit did to a week: Chest +1, triceps +0.5 sets, week +5 reps, Monday +2 min.

    What stayed as it was is not told.
    """
    was = {line.muscle: charts.counted(line) for line in before.lines}
    now = {line.muscle: charts.counted(line) for line in after.lines}
    muscles = [
        (muscle.value, charts.signed(now.get(muscle, 0.0) - was.get(muscle, 0.0)))
        for muscle in sorted(was.keys() | now.keys(), key=list(Muscle).index)
        if was.get(muscle, 0.0) != now.get(muscle, 0.0)
    ]
    parts = [
        *_muscles(muscles),
        *(_reps(after.reps - before.reps) if after.reps != before.reps else ()),
        *_minutes(before, after),
    ]
    if not parts:
        return NOTHING_CHANGED
    sentence = ", ".join(parts)
    return sentence[0].upper() + sentence[1:] + "."


def _muscles(changed: Sequence[tuple[str, str]]) -> Iterator[str]:
    """Chest +1, triceps +0.5 sets; calves +1 set."""
    if changed:
        told = ", ".join(f"{muscle} {by}" for muscle, by in changed)
        is_one = [by for _, by in changed] in _ONE_SET
        yield f"{told} set" if is_one else f"{told} sets"


def _reps(by: int) -> Iterator[str]:
    yield f"week {charts.signed(by)} {'rep' if abs(by) == 1 else 'reps'}"


def _minutes(before: WeekEffects, after: WeekEffects) -> list[str]:
    was = {one.key: one.minutes for one in before.sessions}
    return [
        f"{one.name} {charts.signed(one.minutes - was[one.key])} min"
        for one in after.sessions
        if one.key in was and one.minutes != was[one.key]
    ]
