"""What a week's reading found and proposed, as it is kept with the review of that week."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from coaching.rules.findings import Finding
from sessions.list_words import why_words
from sessions.next_targets import Proposal
from sessions.review_words import KIND_WORDS, after_words, before_words, likely_of
from sessions.week_reading import WeekReading


@dataclass(frozen=True)
class KeptFinding:
    """A finding that called the coach, in the words of that day."""

    word: str
    likely: str
    why: str


@dataclass(frozen=True)
class KeptProposal:
    """A proposal of that day that would have changed the plan."""

    exercise_id: int
    exercise: str
    part: str
    step: str
    before: str
    after: str
    course: str = ""
    when: str = ""
    lines: tuple[str, ...] = ()
    """As a decision keeps them: which course of the exercise, its sessions and its lines."""

    @property
    def name(self) -> str:
        """The exercise, with its sessions where there was another proposal for it."""
        return f"{self.exercise} ({self.when})" if self.when else self.exercise


@dataclass(frozen=True)
class KeptWeek:
    """What was found and proposed when a week was closed."""

    findings: tuple[KeptFinding, ...] = ()
    proposals: tuple[KeptProposal, ...] = ()
    stays: int = 0
    """How many exercises were proposed to stay as planned."""


def week_record(reading: WeekReading) -> dict[str, Any]:
    """A reading as it is kept."""
    steps = reading.steps
    kept = KeptWeek(
        findings=tuple(_finding(one) for one in reading.urgent),
        proposals=tuple(_proposal(one) for one in steps),
        stays=len(reading.proposals) - len(steps),
    )
    return asdict(kept)


def read_record(data: Mapping[str, Any]) -> KeptWeek | None:
    """What was kept; none for a week that was closed without."""
    if not data:
        return None
    return KeptWeek(
        findings=tuple(KeptFinding(**one) for one in data["findings"]),
        proposals=tuple(KeptProposal(**one) for one in data["proposals"]),
        stays=data["stays"],
    )


def _finding(one: Finding) -> KeptFinding:
    return KeptFinding(KIND_WORDS[one.kind], likely_of(one), why_words(one))


def _proposal(one: Proposal) -> KeptProposal:
    return KeptProposal(
        exercise_id=one.exercise_id,
        exercise=one.exercise.name,
        part=one.part.value,
        step=one.target.step.value,
        before=before_words(one),
        after=f"{one.rung} {after_words(one)}".strip(),
        course=one.course,
        when=one.when,
        lines=tuple(sorted(one.lines or ())),
    )
