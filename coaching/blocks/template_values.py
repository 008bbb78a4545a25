"""A template's weeks and sessions as the rules see them; keys are places in the week."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta

from coaching.blocks.shared_templates import (
    TemplateLine,
    TemplatePair,
    TemplatePlan,
    TemplateSession,
)
from coaching.rules import plan
from coaching.rules.deload import light_week


def weeks_from_template(
    made: TemplatePlan, library: Mapping[str, plan.Exercise], starts_on: date
) -> tuple[plan.PlannedWeek, ...]:
    """Every week of a template as a block made from it has it, its light weeks made light."""
    found: list[plan.PlannedWeek] = []
    before: plan.PlannedWeek | None = None
    for number, (kind, week) in enumerate(zip(made.week_kinds, made.weeks, strict=True), start=1):
        first_day = starts_on + timedelta(days=week.after)
        sessions = tuple(
            session_value(one, library, first_day, place=place)
            for place, one in enumerate(week.sessions)
        )
        value = plan.PlannedWeek(number, kind, first_day, sessions)
        usual, before = before, value
        if kind is plan.WeekKind.DELOAD and usual and not made.written:
            light = light_week(usual, starts_on=first_day).week
            value = replace(light, number=number, kind=kind)
        found.append(value)
    return tuple(found)


def session_value(
    session: TemplateSession,
    library: Mapping[str, plan.Exercise],
    first_day: date,
    *,
    place: int = 0,
) -> plan.PlannedSession:
    """One session of a template as the rules see it, in the week that begins on a day.

    Keys follow from its place in the week, since a day may hold two, and from the pair's in it.
    """
    key = f"{place}"
    return plan.PlannedSession(
        key=key,
        name=session.name,
        on=first_day + timedelta(days=session.day),
        pairs=tuple(
            plan.Pair(
                pair.letter,
                pair.part,
                tuple(
                    _value(line, pair, library, f"{key}-{nth}-{at}")
                    for at, line in enumerate(pair.lines)
                ),
            )
            for nth, pair in enumerate(session.pairs)
        ),
    )


def _value(
    line: TemplateLine, pair: TemplatePair, library: Mapping[str, plan.Exercise], key: str
) -> plan.Prescription:
    return plan.Prescription(
        key=key,
        exercise=library[line.exercise_key],
        targets=line.targets,
        load=line.load,
        tempo=plan.Tempo.parse(line.tempo),
        rest=line.rest,
        part=pair.part,
        rir=line.rir,
    )
