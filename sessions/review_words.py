"""How a week's findings and decisions are said on the review page."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from coaching.rules import plan
from coaching.rules.fall_numbers import OWN_DROP_SAID
from coaching.rules.findings import Finding, FindingKind, listed
from coaching.rules.likelihood import likely_words
from coaching.rules.signals import NO_REASON
from coaching.rules.sources import SOURCES
from sessions.next_targets import Proposal
from sessions.set_words import load_words, sets_words
from sessions.week_reading import WeekReading

KIND_WORDS = {
    FindingKind.RED_FLAG: "Warning words",
    FindingKind.PAIN: "Pain",
    FindingKind.JOINT_LIMIT: "Joint limit",
    FindingKind.OVERREACHING: "Overreaching",
    FindingKind.NOT_BACK: "Not back after the light week",
    FindingKind.EQUIPMENT: "Equipment missing",
    FindingKind.MISSED: "Missed sessions",
    FindingKind.EXERCISE_DROP: "One exercise fell",
    FindingKind.STALLED: "Stalled",
    FindingKind.PACING: "Pacing",
    FindingKind.EFFORT: "Effort rising",
    FindingKind.LOG_MISTAKE: "Log looks wrong",
    FindingKind.DELOAD_DUE: "Light week due",
    FindingKind.BLOCK_ENDS: "Block ends",
    FindingKind.GOAL_REACHED: "Goal reached",
    FindingKind.BACK: "Back after the light week",
    FindingKind.HOLDING: "Holding",
    FindingKind.PROGRESSING: "Progressing",
}


LIGHT_WEEK = frozenset({FindingKind.OVERREACHING, FindingKind.DELOAD_DUE})
"""What a light week is proposed for."""


def short_day(on: date) -> str:
    """A day without its weekday.

    >>> short_day(date(2026, 11, 17))
    '17 Nov'
    """
    return f"{on.day} {on:%b}"


def where_words(reading: WeekReading) -> str:
    """Where a client's week stands, for a line of the list."""
    if reading.place is None:
        return "no block"
    return f"block {reading.place.block}, week {reading.place.week}"


def exercise_names(reading: WeekReading) -> dict[str, str]:
    """The names of the exercises that a client logged, by key."""
    return {s.exercise.key: s.exercise.name for one in reading.sessions for s in one.sets}


@dataclass(frozen=True)
class Short:
    """A finding in one line: the word that calls the coach, and the numbers."""

    signal: str
    numbers: str


def short_words(reading: WeekReading) -> Short:
    """Why this client comes before the coach, or how the week went."""
    first = reading.first
    if first is None:
        return Short("", routine_words(reading))
    name = exercise_names(reading).get(first.exercise, "")
    short = _SHORT[first.kind](first, name, reading)
    likely = f", {said}" if (said := likely_of(first)) else ""
    others = Counter(KIND_WORDS[f.kind].lower() for f in reading.urgent if f.kind is not first.kind)
    more = ", ".join(word if n == 1 else f"{word} × {n}" for word, n in others.items())
    return Short(short.signal, short.numbers + likely + (f"; also {more}" if more else ""))


def likely_of(finding: Finding) -> str:
    """How likely the tool holds a finding to be; nothing where it counted."""
    likely = finding.probability
    # A stall is counted; what it is told by is no guess of less than even odds.
    if finding.kind is FindingKind.STALLED and (likely or 0) < OWN_DROP_SAID.value:
        return ""
    return "" if likely is None else likely_words(likely)


def likely_beside(finding: Finding) -> str:
    """The same, unless its own sentence says it already."""
    likely = likely_of(finding)
    return "" if likely in finding.sentence else likely


def _red_flag(finding: Finding, name: str, _reading: WeekReading) -> Short:
    return Short("Warning words", f"{finding.evidence[-1].value} {name}".strip())


def _pain(finding: Finding, name: str, _reading: WeekReading) -> Short:
    value = finding.evidence[-1].value
    return Short(f"Pain {value}", f"{name}, {short_day(finding.since)}" if finding.since else name)


def _joint_limit(finding: Finding, _name: str, reading: WeekReading) -> Short:
    same = sum(f.kind is FindingKind.JOINT_LIMIT for f in reading.urgent) - 1
    name = finding.sentence.partition(" loads ")[0]
    more = f" and {same} more" if same else ""
    return Short("Joint limit", f"{name}{more} planned, and to be avoided")


def _overreaching(finding: Finding, _name: str, _reading: WeekReading) -> Short:
    return Short("Overreaching", finding.evidence[0].value)


def _not_back(finding: Finding, _name: str, _reading: WeekReading) -> Short:
    return Short("Not back after the light week", finding.evidence[0].value)


def _equipment(_finding: Finding, _name: str, reading: WeekReading) -> Short:
    kinds = [f.about for f in reading.urgent if f.kind is FindingKind.EQUIPMENT]
    return Short("Equipment missing", listed(tuple(dict.fromkeys(kinds))))


def _missed(finding: Finding, _name: str, _reading: WeekReading) -> Short:
    days = [one for one in finding.evidence if not one.label.startswith("Missed")]
    counts = [one.value for one in finding.evidence if one not in days]
    again = ", second week running" if counts[1:] else ""
    reasons = {one.value.partition(": ")[2] for one in days} - {NO_REASON}
    why = ", ".join(sorted(reasons)) or NO_REASON
    signal = f"{counts[0]} sessions missed" if counts else KIND_WORDS[FindingKind.MISSED]
    return Short(signal, f"{why}{again}")


def _stalled(finding: Finding, name: str, reading: WeekReading) -> Short:
    same = sum(f.kind is FindingKind.STALLED for f in reading.urgent) - 1
    last = finding.evidence[1].value.partition(" = ")[0] if len(finding.evidence) > 1 else ""
    more = f" and {same} more" if same else ""
    return Short("Stalled", f"{name} at {last.replace(',', '-')}{more}")


def _pacing(finding: Finding, name: str, _reading: WeekReading) -> Short:
    return Short("Pacing", f"{name} {finding.evidence[0].value.replace(',', '-')}")


def _exercise_drop(finding: Finding, name: str, reading: WeekReading) -> Short:
    same = sum(f.kind is FindingKind.EXERCISE_DROP for f in reading.urgent) - 1
    more = f", and {same} more" if same else ""
    return Short("One exercise fell", f"{name} by {finding.evidence[0].value}{more}")


def _effort(finding: Finding, _name: str, _reading: WeekReading) -> Short:
    return Short("Effort rising", finding.sentence.partition(": ")[2].rstrip("."))


def _log_mistake(finding: Finding, _name: str, reading: WeekReading) -> Short:
    same = sum(f.kind is FindingKind.LOG_MISTAKE for f in reading.urgent) - 1
    more = f", and {same} more" if same else ""
    return Short("Log looks wrong", finding.sentence.partition(";")[0].rstrip(".") + more)


def _deload_due(finding: Finding, _name: str, _reading: WeekReading) -> Short:
    return Short("Light week due", f"{finding.evidence[0].value} without one")


def _block_ends(finding: Finding, _name: str, _reading: WeekReading) -> Short:
    said = finding.sentence.partition(";")[0].removeprefix("The block ")
    return Short(f"Block {said}", "no next block is published")


def _goal_reached(finding: Finding, name: str, _reading: WeekReading) -> Short:
    done = finding.evidence[-1]
    return Short("Goal reached", f"{name} {done.value}, {done.label.lower()}".strip())


_SHORT = {
    FindingKind.RED_FLAG: _red_flag,
    FindingKind.PAIN: _pain,
    FindingKind.JOINT_LIMIT: _joint_limit,
    FindingKind.OVERREACHING: _overreaching,
    FindingKind.NOT_BACK: _not_back,
    FindingKind.EQUIPMENT: _equipment,
    FindingKind.MISSED: _missed,
    FindingKind.EXERCISE_DROP: _exercise_drop,
    FindingKind.STALLED: _stalled,
    FindingKind.PACING: _pacing,
    FindingKind.EFFORT: _effort,
    FindingKind.LOG_MISTAKE: _log_mistake,
    FindingKind.DELOAD_DUE: _deload_due,
    FindingKind.BLOCK_ENDS: _block_ends,
    FindingKind.GOAL_REACHED: _goal_reached,
}


def routine_words(reading: WeekReading) -> str:
    """How a week without a finding went, in one line."""
    done, due = len(reading.week_sessions), len(reading.week_attendance)
    of = f"{done} of {due} sessions" if due else f"{done} sessions"
    return f"{of}, {steps_words(reading.proposals)}" if reading.proposals else of


def steps_words(proposals: Sequence[Proposal]) -> str:
    """How many exercises step up, hold and step back."""
    count = Counter(p.target.step.value for p in proposals)
    return ", ".join(f"{count[step]} {step}" for step in _STEPS if count[step])


_STEPS = ("step up", "hold", "step back", "swap")


def joined_findings(findings: Sequence[Finding]) -> Mapping[FindingKind, list[Finding]]:
    """Findings by kind, in the order in which they come."""
    kinds: dict[FindingKind, list[Finding]] = {}
    for finding in findings:
        kinds.setdefault(finding.kind, []).append(finding)
    return kinds


def source_words(key: str) -> str:
    """The citation behind a rule, and how sure we are of it."""
    source = SOURCES[key]
    return f"{source.citation} ({source.certainty.value})"


def asked_words(prescription: plan.Prescription) -> str:
    """What a prescription asks: sets, repetitions and load."""
    kind, measure = prescription.exercise.load_kind, prescription.exercise.measure
    load = load_words(prescription.load, kind)
    return sets_words(prescription.targets, measure) + (f" · {load}" if load else "")


def before_words(proposal: Proposal) -> str:
    """What the coming sessions ask now, in every way they ask it."""
    return " and ".join(asked_words(one) for one in proposal.planned)


def after_words(proposal: Proposal) -> str:
    """What they will ask when the proposal is accepted."""
    exercise = proposal.to or proposal.exercise
    load = load_words(proposal.target.load, exercise.load_kind)
    sets = sets_words(proposal.target.targets, exercise.measure)
    return sets + (f" · {load}" if load else "")


def light_week_start(week_starts_on: date, today: date) -> date:
    """The Monday after the reviewed week, or the next one when that is past."""
    after = week_starts_on + timedelta(days=7)
    return after if after >= today else today + timedelta(days=(7 - today.weekday()) % 7)
