"""The light weeks of a written plan: they keep their share of the usual week before them."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import replace

from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
    WrittenWeek,
    each_line,
)
from coaching.rules.plan import Exercise, Measure, Part, WeekKind

_Place = tuple[str, Part, str, int]
"""A line, the same one in every week: session, part, exercise, the how manieth of these."""


def light_as_before(
    plan: TemplatePlan, written: TemplatePlan, library: Mapping[str, Exercise]
) -> TemplatePlan:
    """The plan with light weeks that follow what became of the usual week before each of them.

    Args:
        plan: What the client gets; it may begin lower or higher than it was written.
        written: The same lines in the same order, with the targets as they were written.
        library: Exercises by key.
    """
    if not plan.written:
        return plan
    lines = iter(list(_lightened(plan, written, library)))

    def line(_: TemplateSession, __: TemplatePair, ___: TemplateLine) -> TemplateLine:
        return next(lines)

    return each_line(plan, line)


def _lightened(
    plan: TemplatePlan, written: TemplatePlan, library: Mapping[str, Exercise]
) -> Iterator[TemplateLine]:
    usual: dict[_Place, tuple[TemplateLine, TemplateLine]] = {}
    weeks = zip(plan.week_kinds, plan.written, written.written, strict=True)
    for kind, made, asked in weeks:
        places = list(_places(made))
        both = [(one, was) for one, was in zip(_lines(made), _lines(asked), strict=True)]
        for place, (one, was) in zip(places, both, strict=True):
            before = usual.get(place)
            if kind is WeekKind.DELOAD and before and before[0].targets != before[1].targets:
                is_reps = library[one.exercise_key].measure is Measure.REPS
                yield replace(one, targets=_share_of(before, was.targets, is_reps=is_reps))
            else:
                yield one
        if kind is WeekKind.BUILD:
            usual.update(zip(places, both, strict=True))


def _share_of(
    usual: tuple[TemplateLine, TemplateLine], light: tuple[int, ...], *, is_reps: bool
) -> tuple[int, ...]:
    """Sets of a light week: as much of the usual week as was written, no more sets than there.

    Of two that come as near, the one with more repetitions in fewer sets: a light week has fewer
    sets rather than easier ones.
    """
    now, was = (sum(one.targets) for one in usual)
    wanted = sum(light) / was * now
    sets, most = len(light), max(usual[0].targets)
    if not is_reps:
        return (max(1, min(most, round(wanted / sets))),) * sets
    found = [
        (abs(count * reps - wanted), -reps, count)
        for count in range(1, sets + 1)
        for reps in range(1, most + 1)
    ]
    _, reps, count = min(found)
    return (-reps,) * count


def _lines(week: WrittenWeek) -> Iterator[TemplateLine]:
    for session in week.sessions:
        for pair in session.pairs:
            yield from pair.lines


def _places(week: WrittenWeek) -> Iterator[_Place]:
    seen: Counter[tuple[str, Part, str]] = Counter()
    for session in week.sessions:
        for pair in session.pairs:
            for line in pair.lines:
                what = (session.name, pair.part, line.exercise_key)
                yield (*what, seen[what])
                seen[what] += 1
