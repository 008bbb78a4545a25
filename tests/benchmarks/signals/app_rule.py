"""The app's present rule as a detector.

``AppRule`` is what ``read_signals`` says after every session. It says yes or no, so its
number of false alarms is what it is and no threshold is chosen. ``AppRuleGraded`` asks
the rule for a shared fall with its limit set higher and lower, so that it can be compared with
the others at the same number of false alarms.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from unittest.mock import patch

from coaching.rules import shared_fall
from coaching.rules.exposures import Exposure, read_exposures
from coaching.rules.findings import Finding, FindingKind
from coaching.rules.log import LoggedSession
from coaching.rules.numbers import FALL_LIMIT
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


# Limits that the graded rule tries [standard deviations]; the app's own is 4.
_LIMITS = (0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 8.0, 10.0)


@dataclass(frozen=True)
class AppRuleGraded:
    """The highest limit at which the app's rule still speaks of a shared fall."""

    name: str = "the app's rule, its limit tuned"

    def read(self, log: ClientLog) -> list[Reading]:
        """One reading a session."""
        readings = []
        for number, session in enumerate(log.sessions, start=1):
            known = log.sessions[max(0, number - _SESSIONS) : number]
            series = read_exposures(known)
            low, high = 0, len(_LIMITS)  # limits below place ``low`` are known to be passed
            while low < high:
                middle = (low + high) // 2
                if _since(known, series, session.on, _LIMITS[middle]) is None:
                    high = middle
                else:
                    low = middle + 1
            score = _LIMITS[low - 1] if low else 0.0
            since = _since(known, series, session.on, score) if low else None
            readings.append(Reading(session.on, score, since=since))
        return readings


def _since(
    known: Sequence[LoggedSession],
    series: Mapping[str, Sequence[Exposure]],
    today: date,
    limit: float,
) -> date | None:
    """Since when the rule sees a shared fall, were its limit another one."""
    with patch.object(shared_fall, "FALL_LIMIT", replace(FALL_LIMIT, value=limit)):
        found = shared_fall.find_overreaching(known, series, today=today)
    return found.finding.since if found is not None else None


def _is_of_one(finding: Finding) -> bool:
    kinds = {FindingKind.STALLED, FindingKind.HOLDING, FindingKind.PROGRESSING}
    return finding.kind in kinds and finding.exercise != ""


def _exercise(finding: Finding) -> ExerciseReading:
    fell = "weaker in the last two sessions" in finding.sentence
    return ExerciseReading(
        stalled=1.0 if finding.kind is FindingKind.STALLED else 0.0,
        dropped=1.0 if fell else 0.0,
    )
