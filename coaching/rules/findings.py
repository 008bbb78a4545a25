"""What a rule may say: a typed finding with the numbers it rests on."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from coaching.rules.plan import Muscle


class FindingKind(StrEnum):
    """The words in which a week or a plan is judged, most urgent first."""

    RED_FLAG = "warning words"
    PAIN = "pain"
    JOINT_LIMIT = "joint limit"
    OVERREACHING = "overreaching"
    NOT_BACK = "not back"
    EQUIPMENT = "equipment"
    MISSED = "missed sessions"
    EXERCISE_DROP = "exercise drop"
    STALLED = "stalled"
    PACING = "pacing fault"
    EFFORT = "effort rising"
    LOG_MISTAKE = "log looks wrong"
    DELOAD_DUE = "deload due"
    BLOCK_ENDS = "block ends"
    GOAL_REACHED = "goal reached"
    PLANNED_LOAD = "planned load"
    LOAD_TO_CHOOSE = "load to choose"
    SESSION_MINUTES = "session minutes"
    SESSION_ORDER = "session order"
    REPETITIONS = "repetitions"
    SPACING = "time between"
    BALANCE = "balance"
    MUSCLE_VOLUME = "sets per muscle"
    VOLUME_COURSE = "course of volume"
    BACK = "back"
    HOLDING = "holding"
    PROGRESSING = "progressing"


class Side(StrEnum):
    """The end of a range that was left."""

    ABOVE = "above"
    UNDER = "under"


@dataclass(frozen=True, slots=True)
class Evidence:
    """One number behind a finding, already in words and units."""

    label: str
    value: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing a rule found, with the numbers, the rule and its source.

    ``exercise`` is an exercise key, empty when the finding is about the client.
    ``could_not_know`` says what the logs cannot tell; ``question`` is what the
    coach may send to the client to find out. ``probability`` [0-1] is how likely the
    tool holds it to be; none when it is counted and not estimated. ``line`` is the key of the
    prescription that settles it, where it is one. ``size`` says how far off a plan is, in the
    unit of its rule, so that two states of one finding can be compared. ``sessions`` are the
    names of the sessions that the sentence tells. ``muscle``, ``side`` of a range and ``action``, what a
    coach does about a joint limit, are what it is about; ``about`` tells it from others of its rule.
    ``rules`` are those of all that it tells, where it tells several as one.
    All of them stay what they are however the sentence is worded.
    """

    kind: FindingKind
    sentence: str
    evidence: tuple[Evidence, ...]
    rule: str
    source_key: str
    exercise: str = ""
    since: date | None = None
    could_not_know: str = ""
    question: str = ""
    probability: float | None = None
    line: str = ""
    size: float = 1.0
    sessions: tuple[str, ...] = ()
    muscle: Muscle | None = None
    side: Side | None = None
    action: str = ""
    about: str = ""
    rules: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class NoAnswer:
    """No estimate, and why, in a sentence for the coach."""

    reason: str


def listed(words: Sequence[str]) -> str:
    """Words in a row.

    >>> listed(["a"]), listed(["a", "b"]), listed(["a", "b", "c"])
    ('a', 'a and b', 'a, b and c')
    """
    return " and ".join([", ".join(words[:-1]), *words[-1:]] if len(words) > 1 else words)
