"""Readings of weeks as rows of a report: for people as text, for programs as JSON."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date, timedelta
from typing import Any

from coaching.rules.findings import Evidence, Finding, FindingKind
from sessions.review_words import KIND_WORDS, exercise_names, likely_beside
from sessions.week_reading import WeekReading

KINDS = {
    FindingKind.RED_FLAG: "warning_words",
    FindingKind.PAIN: "pain",
    FindingKind.JOINT_LIMIT: "joint_limit",
    FindingKind.EQUIPMENT: "equipment",
    FindingKind.OVERREACHING: "overreaching",
    FindingKind.NOT_BACK: "not_back",
    FindingKind.MISSED: "missed",
    FindingKind.EXERCISE_DROP: "exercise_drop",
    FindingKind.STALLED: "stalled",
    FindingKind.PACING: "pacing",
    FindingKind.EFFORT: "effort_rising",
    FindingKind.LOG_MISTAKE: "log_mistake",
    FindingKind.DELOAD_DUE: "deload_due",
    FindingKind.BLOCK_ENDS: "block_ends",
    FindingKind.GOAL_REACHED: "goal_reached",
    FindingKind.PLANNED_LOAD: "planned_load",
    FindingKind.LOAD_TO_CHOOSE: "load_to_choose",
    FindingKind.SESSION_MINUTES: "session_minutes",
    FindingKind.SESSION_ORDER: "session_order",
    FindingKind.REPETITIONS: "repetitions",
    FindingKind.SPACING: "time_between",
    FindingKind.BALANCE: "balance",
    FindingKind.MUSCLE_VOLUME: "muscle_volume",
    FindingKind.VOLUME_COURSE: "volume_course",
    FindingKind.BACK: "back",
    FindingKind.HOLDING: "holding",
    FindingKind.PROGRESSING: "progressing",
}
"""The word of each kind of finding in JSON."""


@dataclass(frozen=True)
class Signal:
    """One finding of a week; without an exercise it is about the client."""

    kind: str
    exercise: str | None
    since: str | None
    probability: float | None
    sentence: str
    evidence: tuple[Evidence, ...]


@dataclass(frozen=True)
class WeekReport:
    """One client's week; the findings that need the coach come first."""

    week: str
    client: str
    signals: tuple[Signal, ...]


def iso_week(day: date) -> str:
    """The week of a day as calendars number it.

    >>> iso_week(date(2026, 11, 26))
    '2026-W48'
    """
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02d}"


def reports_of(readings: Iterable[WeekReading], names: Mapping[str, str]) -> tuple[WeekReport, ...]:
    """One report a client that had a week, in the order of the readings.

    ``names`` are those of exercises by key; what a client logged is known without them.
    """
    return tuple(_report(one, names) for one in readings if one.has_week)


def _report(reading: WeekReading, names: Mapping[str, str]) -> WeekReport:
    known = {**names, **exercise_names(reading)}
    return WeekReport(
        week=iso_week(reading.week_starts_on),
        client=reading.client.name,
        signals=tuple(_signal(one, known) for one in _in_order(reading)),
    )


def _in_order(reading: WeekReading) -> Sequence[Finding]:
    return (*reading.urgent, *(one for one in reading.findings if one not in reading.urgent))


def _signal(finding: Finding, names: Mapping[str, str]) -> Signal:
    return Signal(
        kind=KINDS[finding.kind],
        exercise=names.get(finding.exercise, finding.exercise) or None,
        since=finding.since.isoformat() if finding.since else None,
        probability=finding.probability,
        sentence=finding.sentence,
        evidence=finding.evidence,
    )


def data_of(reports: Iterable[WeekReport]) -> list[dict[str, Any]]:
    """The reports as JSON holds them."""
    return [asdict(one) for one in reports]


def lines_of(starts_on: date, readings: Sequence[WeekReading]) -> list[str]:
    """A week in words: each client by urgency, one line a finding that needs the coach.

    How the other exercises go follows in one line.
    """
    ends_on = starts_on + timedelta(days=6)
    days = f"{starts_on.day} {starts_on:%b} to {ends_on.day} {ends_on:%b %Y}"
    lines = [f"Week {iso_week(starts_on)}, {days}"]
    with_week = [one for one in readings if one.has_week]
    for reading in with_week:
        lines += ["", reading.client.name]
        lines += [f"  {line}" for line in _findings_lines(reading)]
    return lines if with_week else [*lines, "", "Nobody trained or was due."]


def _findings_lines(reading: WeekReading) -> list[str]:
    lines = [_line(one) for one in reading.urgent] or ["The week went to plan."]
    names = exercise_names(reading)
    for kind in (FindingKind.PROGRESSING, FindingKind.HOLDING):
        told = [names.get(f.exercise, f.exercise) for f in reading.findings if f.kind is kind]
        if told:
            lines.append(f"{KIND_WORDS[kind]}: {', '.join(told)}.")
    return lines


def _line(finding: Finding) -> str:
    likely = likely_beside(finding)
    said = f" {likely[0].upper()}{likely[1:]}." if likely else ""
    word = KIND_WORDS[finding.kind]
    before = "" if finding.sentence.startswith(word) else f"{word}: "
    return f"{before}{finding.sentence}{said}"
