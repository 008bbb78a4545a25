"""What really happened to a made-up client: known to the scoring, never to a detector."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


@dataclass(frozen=True, slots=True)
class Episode:
    """Overreaching: ability shared by all exercises falls by ``depth`` [share] and comes back.

    The fall starts on ``onset``, is complete on ``full_on``, and lasts until
    ``recovery_from``; on ``recovered_on`` less than 1 % of it is left.
    """

    onset: date
    depth: float
    full_on: date
    recovery_from: date
    recovered_on: date


@dataclass(frozen=True, slots=True)
class OwnDrop:
    """One exercise alone falls by ``depth`` [share]: pain, technique, a different machine."""

    exercise: str
    onset: date
    depth: float
    until: date


@dataclass(frozen=True, slots=True)
class Stall:
    """An exercise whose underlying strength gains nothing from ``since`` up to ``until``."""

    exercise: str
    since: date
    until: date


@dataclass(frozen=True, slots=True)
class Span:
    """Days from ``since`` up to, not including, ``until``."""

    since: date
    until: date

    def holds(self, on: date) -> bool:
        """Whether a day lies in the span."""
        return self.since <= on < self.until


class Mark(StrEnum):
    """Other things of one day that a detector may trip over."""

    PACING_FAULT = "pacing fault"
    TYPING_MISTAKE = "typing mistake"
    BAD_DAY = "bad day"
    LIGHT_DAY = "light day"
    SHORT_SESSION = "short session"
    SWAP = "swap"
    NEW_RUNG = "new rung"
    LOAD_JUMP = "load jump"


@dataclass(frozen=True, slots=True)
class Event:
    """One mark on one day; ``exercise`` is empty when it is about the whole session."""

    on: date
    mark: Mark
    exercise: str = ""


@dataclass(frozen=True)
class Truth:
    """The whole course of one client."""

    episodes: tuple[Episode, ...]
    own_drops: tuple[OwnDrop, ...]
    stalls: tuple[Stall, ...]
    absences: tuple[Span, ...]
    deloads: tuple[Span, ...]
    events: tuple[Event, ...]
    # Shared fall [log share, 0 or less] of every day from the first, from episodes alone.
    shared_fall: tuple[float, ...]
    # Body weight [kg] on the first and the last day.
    body_weight: tuple[float, float]
