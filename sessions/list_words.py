"""How a client is said in the list of the review: signal, why, proposal, each in a few words."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from coaching.rules.care import CAUTION
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.progression import Step
from sessions.models import Decision
from sessions.queries_deload import light_days
from sessions.review_words import (
    KIND_WORDS,
    LIGHT_WEEK,
    exercise_names,
    joined_findings,
    likely_of,
    short_day,
    short_words,
    steps_words,
)
from sessions.week_reading import WeekReading


@dataclass(frozen=True)
class ListWords:
    """One client in the list.

    ``signal`` and ``likely`` say what calls the coach, ``why`` says it with the numbers in a
    sentence, ``also`` names the other parts that the client has something in.
    """

    signal: str
    likely: str
    why: str
    also: tuple[str, ...]
    proposal: str


def list_words(
    reading: WeekReading, light_from: date, light_week: Decision | None = None
) -> ListWords:
    """What the list says of a client; ``light_week`` is the one that was put in."""
    first = reading.first
    if first is None:
        return ListWords("", "", "", (), steps_words(reading.proposals))
    return ListWords(
        signal=short_words(reading).signal,
        likely=likely_of(first),
        why=why_words(first),
        also=also_words(reading),
        proposal=_in_plan(light_week)
        if light_week is not None and first.kind in LIGHT_WEEK
        else _FEW_WORDS[first.kind](reading, light_from),
    )


def done_words(reading: WeekReading) -> str:
    """How many of the sessions that were due are done."""
    done, due = len(reading.week_sessions), len(reading.week_attendance)
    return f"{done} of {due} done" if due else f"{done} done" if done else "none due"


def why_words(finding: Finding) -> str:
    """A finding's numbers in a sentence, without the caution that the panel gives in full."""
    if finding.kind is FindingKind.RED_FLAG:
        about = finding.sentence.partition(" speaks of ")[0]
        return f"{finding.evidence[-1].value}, {about[:1].lower()}{about[1:]}."
    said, _, _ = finding.sentence.partition(CAUTION)
    likely = likely_of(finding)
    return re.sub(rf",? ?\(?{re.escape(likely)}\)?", "", said).strip() if likely else said.strip()


def also_words(reading: WeekReading) -> tuple[str, ...]:
    """The other things that call the coach, each in a word or two, in their order."""
    kinds = joined_findings(reading.urgent)
    rest = [(kind, found) for kind, found in kinds.items() if found[0] is not reading.first]
    return tuple(_tag(kind, found) for kind, found in rest)


def _tag(kind: FindingKind, found: Sequence[Finding]) -> str:
    if kind is FindingKind.MISSED and found[0].evidence:
        return f"missed {found[0].evidence[0].value}"
    word = KIND_WORDS[kind].lower()
    if kind is FindingKind.PAIN:
        return f"{word} {found[0].evidence[-1].value}"
    if kind is FindingKind.OVERREACHING and found[0].probability is not None:
        return f"{word}, {likely_of(found[0])}"
    return word if len(found) == 1 else f"{word} × {len(found)}"


def _light_week(_reading: WeekReading, light_from: date) -> str:
    return f"Light week from {light_from:%a} {short_day(light_from)}"


def _in_plan(light_week: Decision) -> str:
    first = light_days(light_week)[0]
    return f"Light week is in, from {first:%a} {short_day(first)}"


def _same(words: str) -> Callable[[WeekReading, date], str]:
    return lambda _reading, _light_from: words


def _pain(reading: WeekReading, _light_from: date) -> str:
    back = sum(p.target.step is Step.STEP_BACK for p in reading.proposals)
    return f"Ask first; {back} step{'s' if back == 1 else ''} back" if back else "Ask first"


def _of_exercise(reading: WeekReading, _light_from: date) -> str:
    """What is proposed for the exercise that the first finding is about."""
    key = reading.first.exercise if reading.first else ""
    names = exercise_names(reading)
    found = [one for one in reading.proposals if one.exercise.key == key]
    if not found:
        return "Look at it in the block"
    courses = [one for one in found if one.when] or found[:1]
    steps = dict.fromkeys(one.target.step.value for one in courses)
    return f"{names.get(key, 'It')}: {', '.join(steps)}"


def _drop(reading: WeekReading, _light_from: date) -> str:
    name = exercise_names(reading).get(reading.first.exercise if reading.first else "", "it")
    return f"Ask first, and hold {name}"


_FEW_WORDS: dict[FindingKind, Callable[[WeekReading, date], str]] = {
    FindingKind.RED_FLAG: _same("Stop, ask today, refer to a doctor"),
    FindingKind.PAIN: _pain,
    FindingKind.JOINT_LIMIT: _same("Replace it, or keep it by name"),
    FindingKind.OVERREACHING: _light_week,
    FindingKind.DELOAD_DUE: _light_week,
    FindingKind.NOT_BACK: _same("Ask first, and hold every target"),
    FindingKind.EQUIPMENT: _same("Swap it in the block"),
    FindingKind.MISSED: _same("Ask what would fit; nothing goes up"),
    FindingKind.EXERCISE_DROP: _drop,
    FindingKind.STALLED: _of_exercise,
    FindingKind.PACING: _of_exercise,
    FindingKind.EFFORT: _same("Ask first, and hold the targets"),
    FindingKind.LOG_MISTAKE: _same("Ask which number is right"),
    FindingKind.BLOCK_ENDS: _same("Write the next block"),
    FindingKind.GOAL_REACHED: _same("Call it reached, set the next goal"),
}
