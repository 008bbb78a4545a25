"""What a client did: logged sets and sessions, as plain frozen values."""

from dataclasses import dataclass
from datetime import date

from coaching.rules.plan import Exercise, WeekKind


@dataclass(frozen=True)
class LoggedSet:
    """One set as it was done.

    ``amount`` is repetitions, or seconds of a hold; ``load`` [kg] means what the
    exercise's load kind says. ``target`` and ``target_load`` are what was asked
    for, none when the set was not planned. ``pain`` is 0-10, none when not asked.
    ``rest`` [s] is what the plan leaves until the next set of this exercise, sets of its
    partner in the pair included; none when no plan says so.
    """

    exercise: Exercise
    number: int
    amount: int
    load: float
    target: int | None = None
    target_load: float | None = None
    rir: int | None = None
    pain: int | None = None
    pain_where: str = ""
    note: str = ""
    warm_up: bool = False
    rest: float | None = None


@dataclass(frozen=True)
class LoggedSession:
    """One session as it was done, on the client's local date.

    ``kind`` is the kind of week it belonged to; ``body_weight`` [kg] is that of
    the day; ``rpe`` is the effort of the whole session, 0-10.
    """

    on: date
    sets: tuple[LoggedSet, ...]
    body_weight: float
    kind: WeekKind = WeekKind.BUILD
    rpe: float | None = None
    note: str = ""
    name: str = ""
    finished: bool = True


@dataclass(frozen=True)
class Attendance:
    """What became of one planned session: done or not, on its planned date."""

    on: date
    name: str
    done: bool
    skipped_reason: str = ""
