"""What a detector gets to see and what it must answer.

A new detector is a class with a ``name`` and one method::

    class Mine:
        name = "mine"

        def read(self, log: ClientLog) -> list[Reading]:
            readings = []
            for session in log.sessions:
                ...  # look at this session, the ones before, and the plan; never ahead
                readings.append(Reading(on=session.on, score=..., probability=..., since=...))
            return readings

* One ``Reading`` for every logged session, in the same order, deload weeks included.
* ``score`` is any number that grows with suspicion. The scoring chooses the threshold on other
  clients, so its scale is free; ``-inf`` says "cannot tell".
* ``probability`` [0-1] is the chance that the client is overreaching on that day. It is judged
  as it stands (Brier score, calibration). A rule that has none leaves it out; the scoring
  then learns one from the score on the training clients.
* ``since`` is the guess of the first day of the fall.
* ``exercises`` says for each exercise trained lately how likely it is stalled and how likely
  it alone has dropped; numbers that only grow with suspicion are fine here too.
* Reading ``i`` may use sessions up to ``i`` and planned sessions of any date, nothing else.
  Work in one go over the whole log is allowed, and ``looks_ahead`` finds who cheats.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Protocol

from coaching.rules.log import Attendance, LoggedSession
from coaching.rules.plan import PlannedSession


@dataclass(frozen=True)
class ClientLog:
    """Everything the app knows of a client, oldest first.

    ``planned`` holds every planned session, done or not; a logged session belongs to the
    planned one of its date. ``attendance`` says of each whether it was done.
    """

    sessions: tuple[LoggedSession, ...]
    planned: tuple[PlannedSession, ...]
    attendance: tuple[Attendance, ...]

    def until(self, on: date) -> "ClientLog":
        """The log as it was on the evening of a day; the plan is known ahead."""
        return replace(
            self,
            sessions=tuple(s for s in self.sessions if s.on <= on),
            attendance=tuple(a for a in self.attendance if a.on <= on),
        )


@dataclass(frozen=True, slots=True)
class ExerciseReading:
    """How likely one exercise is stalled, and how likely it alone has dropped."""

    stalled: float
    dropped: float | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """What a detector says after one session."""

    on: date
    score: float
    probability: float | None = None
    since: date | None = None
    exercises: Mapping[str, ExerciseReading] = field(default_factory=dict)


class Detector(Protocol):
    """Anything that reads a client's log and says after each session what it suspects."""

    @property
    def name(self) -> str:
        """What the table calls it."""

    def read(self, log: ClientLog) -> Sequence[Reading]:
        """One reading for every logged session, in order."""


def looks_ahead(detector: Detector, log: ClientLog, *, sessions: Sequence[int]) -> list[int]:
    """Numbers of the sessions whose reading changes when later sessions are taken away."""
    whole = detector.read(log)
    cheated = []
    for number in sessions:
        known = log.until(log.sessions[number].on)
        if detector.read(known)[number] != whole[number]:
            cheated.append(number)
    return cheated
