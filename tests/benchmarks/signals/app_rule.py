"""The app's present rule as a detector: what ``read_signals`` says after every session.

It says yes or no, so its number of false alarms is what it is and no threshold is chosen.
"""

from dataclasses import dataclass

from coaching.rules.findings import Finding, FindingKind
from coaching.rules.signals import read_signals
from tests.benchmarks.signals.detector import ClientLog, ExerciseReading, Reading

# How much of the log the rule is handed: it looks back ten weeks [sessions at five a week].
_SESSIONS = 52


@dataclass(frozen=True)
class AppRule:
    """Overreaching, stalls and falls of one exercise as the coach reads them in the review."""

    name: str = "the app's present rule"

    def read(self, log: ClientLog) -> list[Reading]:
        """One reading a session."""
        readings = []
        for number, session in enumerate(log.sessions, start=1):
            known = log.sessions[max(0, number - _SESSIONS) : number]
            found = read_signals(known, (), today=session.on)
            shared = [f for f in found if f.kind is FindingKind.OVERREACHING]
            readings.append(
                Reading(
                    on=session.on,
                    score=1.0 if shared else 0.0,
                    since=shared[0].since if shared else None,
                    exercises={f.exercise: _exercise(f) for f in found if _is_of_one(f)},
                )
            )
        return readings


def _is_of_one(finding: Finding) -> bool:
    kinds = {FindingKind.STALLED, FindingKind.HOLDING, FindingKind.PROGRESSING}
    return finding.kind in kinds and finding.exercise != ""


def _exercise(finding: Finding) -> ExerciseReading:
    fell = "weaker in the last two sessions" in finding.sentence
    return ExerciseReading(
        stalled=1.0 if finding.kind is FindingKind.STALLED else 0.0,
        dropped=1.0 if fell else 0.0,
    )
