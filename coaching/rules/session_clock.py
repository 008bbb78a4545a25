"""How long a session takes: repetitions, tempo, rest and setting up.

Conventions:

* Work is repetitions times the tempo, or the seconds of a hold; one side after the
  other doubles it.
* Each set is followed by its prescription's rest. A pair alternates: A1, rest, A2, rest.
  So a set of A1 rests through A2's set as well, and short rests still leave long
  ones between like sets. A rest of 0 s after A1 means going straight over to A2.
* The last rest of a letter is the change to the next one, and after the last letter
  the time to pack up and rate the session.
* Each exercise takes a fixed time to set up.
* When one exercise of a pair has more sets, the rest of them follow alone at their own rest.
* Warm-up exercises that are written out are part of the warm-up, which never
  takes less than ``WARM_UP_SECONDS``. A session without any exercise takes no time.
"""

from dataclasses import dataclass

from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.numbers import SET_UP_SECONDS, WARM_UP_SECONDS
from coaching.rules.plan import Measure, Pair, Part, PlannedSession, Prescription


@dataclass(frozen=True, slots=True)
class PairMinutes:
    """Seconds [s] of one letter: under work, at rest, and setting up."""

    letter: str
    work_s: float
    rest_s: float
    set_up_s: float

    @property
    def minutes(self) -> float:
        """Minutes of this letter [min]."""
        return (self.work_s + self.rest_s + self.set_up_s) / 60


@dataclass(frozen=True, slots=True)
class SessionMinutes:
    """Minutes [min] of a session in all and of its warm-up, and a line a letter.

    ``lines`` leaves warm-up letters out: their time is in ``warm_up``.
    """

    total: float
    warm_up: float
    lines: tuple[PairMinutes, ...]


def work_seconds(prescription: Prescription) -> int:
    """Seconds under work [s] of all sets of one prescription, both sides."""
    exercise = prescription.exercise
    holds = exercise.measure is Measure.SECONDS
    each = 1 if holds else prescription.tempo.seconds_per_rep
    return exercise.sides * sum(prescription.targets) * each


def pair_minutes(pair: Pair, *, set_up_s: float = SET_UP_SECONDS.value) -> PairMinutes:
    """How long one letter takes, straight or alternating.

    Args:
        pair: One exercise, or two in alternation.
        set_up_s: Setting up one exercise [s].
    """
    done = [one for one in pair.prescriptions if one.sets]
    return PairMinutes(
        pair.letter,
        work_s=sum(work_seconds(one) for one in done),
        rest_s=sum(one.sets * one.rest for one in done),
        set_up_s=set_up_s * len(done),
    )


def session_minutes(
    session: PlannedSession,
    *,
    warm_up_s: float = WARM_UP_SECONDS.value,
    set_up_s: float = SET_UP_SECONDS.value,
) -> SessionMinutes:
    """How long a planned session takes, from the door to the effort rating.

    It is an estimate for a client who keeps to tempo and rest; queues at a bar and
    talk are not in it.

    Args:
        session: The planned session.
        warm_up_s: The least that the warm-up takes [s].
        set_up_s: Setting up one exercise [s].
    """
    lines = [(pair.part, pair_minutes(pair, set_up_s=set_up_s)) for pair in session.pairs]
    if not any(line.minutes for _, line in lines):
        return SessionMinutes(0.0, 0.0, tuple(line for _, line in lines))
    written = sum(line.minutes for part, line in lines if part is Part.WARM_UP)
    warm_up = max(warm_up_s / 60, written)
    work = tuple(line for part, line in lines if part is not Part.WARM_UP)
    return SessionMinutes(warm_up + sum(line.minutes for line in work), warm_up, work)


def fits(minutes: SessionMinutes, budget: float) -> bool:
    """Whether a session ends within the client's time [min], by the whole minute."""
    return round(minutes.total) <= budget


def length_finding(session: PlannedSession, minutes: SessionMinutes, budget: int) -> Finding | None:
    """That a session takes longer than the client has [min], with where the time goes."""
    if fits(minutes, budget):
        return None
    return Finding(
        kind=FindingKind.SESSION_MINUTES,
        sentence=f"{session.name} takes {minutes.total:.0f} min, the client has {budget}.",
        evidence=(
            Evidence("Warm-up", f"{minutes.warm_up:.0f} min"),
            *(Evidence(f"Pair {one.letter}", f"{one.minutes:.0f} min") for one in minutes.lines),
        ),
        rule="Warm-up, work, rests and setting up end within the client's time.",
        source_key="common-practice",
        could_not_know="Queues at the equipment, and talk.",
        size=minutes.total - budget,
        sessions=(session.name,),
    )
