"""The course of a plan over its weeks, where the loads of one client cannot follow it.

Fewer repetitions with more load are a step up; without the load they would be a step back.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import zip_longest
from statistics import fmean

from coaching.blocks.adaptation_values import ChangeKind, LineChange, weeks_in_words
from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    each_line,
)
from coaching.rules.load_to_choose import is_to_choose
from coaching.rules.plan import Exercise, LoadKind, Part, WeekKind

_Place = tuple[str, Part, str]
AskedLine = tuple[_Place, TemplateLine]
"""A line as the plan has it, with its place: session, part, exercise."""


@dataclass
class _Course:
    """One place over its usual weeks: as the plan has it, and as the client gets it."""

    asked: Exercise
    exercise: Exercise
    letter: str
    weeks: list[tuple[int, TemplateLine, TemplateLine]] = field(default_factory=list)
    held: list[int] = field(default_factory=list)
    open: list[int] = field(default_factory=list)

    def next(self, number: int, asked: TemplateLine, made: TemplateLine) -> TemplateLine:
        """The line of the next usual week: its repetitions do not fall for a load not there."""
        lost = [one for _, before, one in self.weeks if self._is_lost(before, asked, one, made)]
        if lost and fmean(made.targets) < fmean(lost[-1].targets):
            if is_to_choose(self.exercise, made.load):
                self.open.append(number)
            else:
                made = replace(made, targets=_not_fewer(made.targets, lost[-1].targets))
                self.held.append(number)
        self.weeks.append((number, asked, made))
        return made

    def _is_lost(
        self, before: TemplateLine, asked: TemplateLine, had: TemplateLine, made: TemplateLine
    ) -> bool:
        """Whether the plan's load goes up from one week to the other, and the client's does not."""
        goes_up = (
            _is_harder(self.asked, before.load, asked.load)
            or asked.load_share > before.load_share
            or _is_harder(self.asked, before.load_step, asked.load_step)
        )
        return goes_up and not _is_harder(self.exercise, had.load, made.load)


def _is_harder(exercise: Exercise, before: float, now: float) -> bool:
    """Whether a load [kg] is harder than the one before: more of it, or less help."""
    return now < before if exercise.load_kind is LoadKind.ASSISTED else now > before


def with_course(
    plan: TemplatePlan,
    asked: Sequence[AskedLine],
    library: Mapping[str, Exercise],
    changes: list[LineChange],
) -> TemplatePlan:
    """The plan with repetitions held where the plan's step in load is not there.

    Weeks of another kind, light or of a test, stay as they are written.

    Args:
        plan: What the client gets, with its loads.
        asked: What each line of it is in the plan as written, in the same order.
        library: Exercises by key.
        changes: Every change is added to it.
    """
    if not plan.written:
        return plan
    numbers = iter(_week_of_each_line(plan))
    lines = iter(asked)
    courses: dict[tuple[_Place, int], _Course] = {}
    seen: Counter[tuple[int, _Place]] = Counter()

    def line(_: TemplateSession, pair: TemplatePair, made: TemplateLine) -> TemplateLine:
        number = next(numbers)
        place, written = next(lines)
        nth = seen[number, place]
        seen[number, place] += 1
        if plan.week_kinds[number - 1] is not WeekKind.BUILD:
            return made
        exercises = library[written.exercise_key], library[made.exercise_key]
        course = courses.setdefault((place, nth), _Course(*exercises, pair.letter))
        return course.next(number, written, made)

    held = each_line(plan, line)
    for ((session, *_), _), course in courses.items():
        changes.extend(_told(session, course))
    return held


def _week_of_each_line(plan: TemplatePlan) -> list[int]:
    return [
        number
        for number, week in enumerate(plan.written, start=1)
        for session in week.sessions
        for pair in session.pairs
        for _ in pair.lines
    ]


def _not_fewer(targets: Sequence[int], before: Sequence[int]) -> tuple[int, ...]:
    """The targets, none under that of the same set before; further sets are as the last one."""
    last = before[-1]
    pairs = zip_longest(targets, before[: len(targets)], fillvalue=last)
    return tuple(max(pair) for pair in pairs)


def _told(session: str, course: _Course) -> list[LineChange]:
    name, told = course.exercise.name, []
    if course.held:
        what = f"{name} keeps its repetitions in {weeks_in_words(course.held)}"
        asks = "less help" if course.asked.load_kind is LoadKind.ASSISTED else "more load"
        why = f"fewer are asked there with {asks}, which cannot be made"
        told.append(LineChange(session, course.letter, name, name, why, what, ChangeKind.HELD))
    if course.open:
        is_helped = course.exercise.load_kind is LoadKind.ASSISTED
        harder = "less help" if is_helped else "more load"
        what = f"{name}: choose {harder} in {weeks_in_words(course.open)}"
        why = "fewer repetitions are asked there"
        told.append(LineChange(session, course.letter, name, name, why, what, ChangeKind.HELD))
    return told
