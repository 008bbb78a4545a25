"""What a light week is worked from besides the plan: the last sets, and what the review steps back."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from coaching.rules.deload_able import Able, able_now
from coaching.rules.loads import available_loads
from coaching.rules.plan import PlannedWeek, Prescription, WeekKind
from coaching.rules.progression import Exposure, Step
from sessions.decided import decisions_of, is_open, kept_of
from sessions.next_targets import NextTargets, Proposal
from sessions.queries import UNKNOWN_BODY_WEIGHT
from sessions.week_reading import WeekReading


@dataclass(frozen=True)
class Eased:
    """A usual week as it would be lightened, and what fell short in it, by prescription key."""

    week: PlannedWeek
    able: Mapping[str, Able]


def step_backs(reading: WeekReading, block_id: int | None) -> tuple[Proposal, ...]:
    """What the review steps back in a block, as long as nothing is decided about it; 1 query."""
    if block_id is None or reading.plans_block != block_id:
        return ()
    kept = kept_of(decisions_of(reading.client, reading.week_starts_on))
    return tuple(
        one
        for one in reading.proposals
        if one.target.step is Step.STEP_BACK and one.changes_plan and is_open(one, kept)
    )


def eased(usual: PlannedWeek, reading: WeekReading, backs: Sequence[Proposal]) -> Eased:
    """The usual week with what steps back, and the sets that fell short held against it; no query.

    What fell short keeps its line: the light week is worked from the sets themselves, no heavier
    than the step back. Everything else that steps back does so as proposed.
    """
    asks, able = reading.asks, dict[str, Able]()
    if asks is None:
        return Eased(usual, able)

    def line(asked: Prescription) -> Prescription:
        back = next((one for one in backs if _is_about(one, asked)), None)
        to = back.to if back else None
        found = None if to else _able(asks, asked, back)
        if found is not None:
            able[asked.key] = found
            return asked
        return _stepped_back(asked, back) if back else asked

    sessions = (
        replace(
            session,
            pairs=tuple(
                replace(pair, prescriptions=tuple(line(p) for p in pair.prescriptions))
                for pair in session.pairs
            ),
        )
        for session in usual.sessions
    )
    return Eased(replace(usual, sessions=tuple(sessions)), able)


def _is_about(one: Proposal, asked: Prescription) -> bool:
    """Whether a proposal is about a line of the plan."""
    place = (one.exercise.key, one.part)
    is_own = one.lines is None or asked.key in one.lines
    return is_own and place == (asked.exercise.key, asked.part)


def _stepped_back(asked: Prescription, back: Proposal) -> Prescription:
    target, to = back.target, back.to or asked.exercise
    return replace(asked, exercise=to, targets=target.targets, load=target.load)


def _able(asks: NextTargets, asked: Prescription, back: Proposal | None) -> Able | None:
    last = _last_done(asks, asked)
    if last is None:
        return None
    client, exercise = asks.client.pk, asked.exercise
    loads = available_loads(exercise, asks.facts.equipment.get(client, ()))
    weight = asks.facts.body_weights.get(client, UNKNOWN_BODY_WEIGHT)
    return able_now(asked, last.sets, loads, weight, back.target.load if back else None)


def _last_done(asks: NextTargets, asked: Prescription) -> Exposure | None:
    """The last time that it was done as planned in a usual week, at that load if it was."""
    of_client = asks.facts.exposures.get(asks.client.pk, {})
    own = [
        one
        for (_pk, part), found in of_client.items()
        for one in found
        if part == asked.part.value and one.kind is WeekKind.BUILD and not one.besides
        if any(each.exercise.key == asked.exercise.key for each in one.sets)
    ]
    own.sort(key=lambda one: one.on)
    same = [one for one in own if any(each.load == asked.load for each in one.sets)]
    return next(reversed(same or own), None)
