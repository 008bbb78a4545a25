"""A planned load far above what was asked before it, or one that the equipment does not make.

Conventions:

* A load is set against the hardest that the same exercise had in the usual week before, so a
  heavy and a light day of one week are no jump; or against the hardest that was logged of late,
  where that is harder or there is no week before.
* Weights that are lifted are told by share and kilograms both, as small dumbbells come in large
  steps. Load added to the body and help of a band are told by kilograms alone: how much of the
  whole they are depends on the client's weight.
* What stays at the kilograms of a resistance band is picked by how it feels and is not judged.
"""

from collections.abc import Iterable, Sequence

from coaching.rules.block_numbers import PLANNED_LOAD_RISE, PLANNED_LOAD_TIMES, STANDING_WEEKS
from coaching.rules.findings import Evidence, Finding, FindingKind
from coaching.rules.load_to_choose import is_to_choose
from coaching.rules.loads import QUARTER, next_load_down, next_load_up
from coaching.rules.next_load import load_words
from coaching.rules.plan import (
    EquipmentKind,
    Exercise,
    LoadKind,
    PlannedSession,
    Prescription,
)

_EXTERNAL, _ADDED, _HELP = (
    PLANNED_LOAD_RISE.rows[one][0] for one in (LoadKind.EXTERNAL, LoadKind.ADDED, LoadKind.ASSISTED)
)
JUMP_RULE = (
    f"A load is told from {PLANNED_LOAD_TIMES.value:g} times the one before it on, where that is "
    f"{_EXTERNAL:g} kg more and up; load added to the body from {_ADDED:g} kg more on, help of a band "
    f"from {_HELP:g} kg less on: choices of this tool. The one before it is the hardest of the usual "
    f"week before, or of the last {STANDING_WEEKS.value:g} weeks in the log where that is harder. A finger that slips makes 200 of 20; "
    "published advice is to raise loads by 2 to 10 % at a time (ACSM 2009)."
)
MADE_RULE = (
    "The loads that the client's equipment makes are written down in the profile. Elsewhere there "
    "may be others, so such a load is told and not refused."
)


def harder_of(exercise: Exercise, one: float, other: float) -> float:
    """The harder of two loads [kg]: the larger, of help the smaller."""
    return min(one, other) if exercise.load_kind is LoadKind.ASSISTED else max(one, other)


def hardest_loads(sessions: Iterable[PlannedSession]) -> dict[str, float]:
    """The hardest load [kg] of each exercise by key; what has none chosen yet is left out."""
    found: dict[str, float] = {}
    for session in sessions:
        for one in session.prescriptions:
            key = one.exercise.key
            if not is_to_choose(one.exercise, one.load):
                found[key] = harder_of(one.exercise, one.load, found.get(key, one.load))
    return found


def rise(exercise: Exercise, load: float, before: float) -> float:
    """By how much a load is harder than the one before [kg]: below zero where it is easier."""
    return before - load if exercise.load_kind is LoadKind.ASSISTED else load - before


def is_jump(exercise: Exercise, load: float, before: float) -> bool:
    """Whether a load [kg] is far above the one before [kg]."""
    least = PLANNED_LOAD_RISE.rows.get(exercise.load_kind)
    if (
        least is None
        or _is_band(exercise)
        or any(is_to_choose(exercise, kg) for kg in (load, before))
    ):
        return False
    is_far = (
        exercise.load_kind is not LoadKind.EXTERNAL or load >= PLANNED_LOAD_TIMES.value * before
    )
    return is_far and rise(exercise, load, before) >= least[0]


def jump_finding(one: Prescription, before: float, where: str) -> Finding | None:
    """That a load is far above that of ``where``: week 1, or block 4; none where it is not."""
    exercise = one.exercise
    if not is_jump(exercise, one.load, before):
        return None
    now, was = load_words(exercise, one.load), load_words(exercise, before)
    if exercise.load_kind is not LoadKind.ASSISTED and before > 0:
        said = f"{now} is {_times(one.load / before)} times the {was} of {where}"
    else:
        said = f"{now}, where {where} has {was}"
    return Finding(
        kind=FindingKind.PLANNED_LOAD,
        sentence=f"{exercise.name}: {said}.",
        evidence=(Evidence(exercise.name, f"{now} planned, {was} in {where}"),),
        rule=JUMP_RULE,
        source_key="house",
        exercise=exercise.key,
        could_not_know=(
            f"Whether the client can do it: what was logged over {STANDING_WEEKS.value} weeks ago is "
            "not looked at, nor how many repetitions a load was lifted for."
        ),
        line=one.key,
        about=one.key,
        size=rise(exercise, one.load, before),
    )


def _times(factor: float) -> str:
    """How many times: 1.3, 10, 12.6."""
    return f"{factor:.1f}".removesuffix(".0")


def nearest_made(exercise: Exercise, load: float, loads: Sequence[float]) -> tuple[float, ...]:
    """The loads [kg] on either side of one that the equipment does not make; empty where it does.

    Where no weight of the client's is written down nothing is known, and nothing said.
    """
    if exercise.load_kind is LoadKind.NONE or _is_band(exercise) or not any(loads):
        return ()
    if is_to_choose(exercise, load) or any(abs(one - load) < QUARTER for one in loads):
        return ()
    beside = (next_load_down(load, sorted(loads)), next_load_up(load, sorted(loads)))
    return tuple(one for one in beside if one is not None)


def unmade_words(exercise: Exercise, load: float, loads: Sequence[float]) -> str:
    """21.3 kg cannot be made, 20 kg or 22.5 kg can; empty where it can be made."""
    nearest = nearest_made(exercise, load, loads)
    can = " or ".join(load_words(exercise, one) for one in nearest)
    asked = load_words(exercise, load)
    return f"{asked} cannot be made with the client's equipment, {can} can" if nearest else ""


def unmade_finding(one: Prescription, loads: Sequence[float]) -> Finding | None:
    """That a load cannot be made with what the client has; none where it can."""
    said = unmade_words(one.exercise, one.load, loads)
    if not said:
        return None
    nearest = nearest_made(one.exercise, one.load, loads)
    return Finding(
        kind=FindingKind.PLANNED_LOAD,
        sentence=f"{one.exercise.name}: {said}.",
        evidence=(Evidence(one.exercise.name, f"{load_words(one.exercise, one.load)} planned"),),
        rule=MADE_RULE,
        source_key="common-practice",
        exercise=one.exercise.key,
        could_not_know="Where the client trains on that day, and with what.",
        line=one.key,
        about=one.key,
        size=min(abs(made - one.load) for made in nearest),
    )


def _is_band(exercise: Exercise) -> bool:
    is_resisted = exercise.load_kind is LoadKind.EXTERNAL
    return is_resisted and EquipmentKind.BANDS in exercise.equipment
