"""What the review proposes for the finding that comes first, in a sentence."""

from collections.abc import Collection
from datetime import date

from coaching.rules import plan
from coaching.rules.findings import FindingKind
from coaching.rules.numbers import DELOAD_SHARE, PAIN_LIMIT, REVIEW_DAYS
from coaching.rules.progression import Step
from sessions.review_words import short_day, steps_words
from sessions.week_reading import WeekReading


def proposal_words(reading: WeekReading, light_from: date) -> str:
    """What the tool proposes for the finding that comes first."""
    first = reading.first
    if first is None:
        return _next_targets_words(reading)
    return _PROPOSALS[first.kind](reading, light_from)


def _next_targets_words(reading: WeekReading) -> str:
    if not reading.proposals and reading.plans_block is not None and _was_light(reading):
        return "nothing to change: the week was a light one, and usual weeks stay as planned."
    if not reading.proposals:
        return "nothing to change: no session is to come that builds on this week."
    steps = steps_words(reading.proposals)
    return f"the next targets below: {steps}."


def _was_light(reading: WeekReading) -> bool:
    kinds = {one.kind for one in reading.week_sessions}
    return bool(kinds) and plan.WeekKind.BUILD not in kinds


def _light_week_words(_reading: WeekReading, light_from: date) -> str:
    return (
        f"a light week from {light_from:%A} {short_day(light_from)}: 7 days, "
        f"{DELOAD_SHARE.value:.0%} of the usual reps, the same loads where the sets went as planned; then go on where the "
        "block stands."
    ).replace("%", " %", 1)


def light_week_in_words(first: date, last: date, back: int) -> str:
    """That the proposed light week is in the plan, and what is left to decide after it."""
    days = f"{first:%A} {short_day(first)} to {last:%A} {short_day(last)}"
    if not back:
        return f"the light week is in the plan, {days}. Nothing steps back besides."
    verb = "target steps" if back == 1 else "targets step"
    return f"the light week is in the plan, {days}. {back} {verb} back after it: ticked below."


def _pain_words(reading: WeekReading, _light_from: date) -> str:
    steps = sum(p.target.step.value == "step back" for p in reading.proposals)
    verb = "steps" if steps == 1 else "step"
    back = f" Once it has settled, {steps} of the next targets below {verb} back." if steps else ""
    return (
        f"ask first: what hurts above {PAIN_LIMIT.value:g} of 10 is not trained on.{back} "
        "Sharp or rising pain, or pain still there next morning: refer to a licensed practitioner."
    )


def _red_flag_words(_reading: WeekReading, _light_from: date) -> str:
    return (
        "stop what brings it on, ask today, and refer to a doctor. An emergency goes to the local "
        "emergency number. No target goes up before it is cleared."
    )


def _joint_limit_words(_reading: WeekReading, _light_from: date) -> str:
    return (
        "put something else in the place of what loads it, below, or keep it by name with the "
        "reason. Until then nothing is proposed for it."
    )


def _not_back_words(_reading: WeekReading, _light_from: date) -> str:
    return (
        "ask first, and hold every target. If the client is no better in another week, look for "
        "another cause: sleep, food, illness, work. Lasting fatigue belongs with a licensed "
        "practitioner."
    )


def _equipment_words(_reading: WeekReading, _light_from: date) -> str:
    return (
        "swap or remove in the block what needs it; or write it down again at intake, if the client "
        "has it."
    )


def _missed_words(reading: WeekReading, light_from: date) -> str:
    said = "no target goes up; ask what would fit next week."
    if not comes_back(reading):
        return said
    return (
        f"{said} After {REVIEW_DAYS.value:g} days and more without a session the first week back "
        f"may be a light one, from {light_from:%A} {short_day(light_from)} (common practice)."
    )


def comes_back(reading: WeekReading) -> bool:
    """Whether a client missed every session of the last days."""
    found = next((one for one in reading.urgent if one.kind is FindingKind.MISSED), None)
    missed, _, due = (
        found.evidence[0].value.partition(" of ") if found and found.evidence else ("", "", " ")
    )
    return missed == due


def _by_exercise_words(reading: WeekReading, _light_from: date) -> str:
    """What is proposed for the exercise that comes first, and for no other."""
    key = reading.first.exercise if reading.first else ""
    said = _said_of(reading, {key})
    if not said:
        return "look at the exercise in the block; no session with it is to come."
    is_stalled = reading.first is not None and reading.first.kind is FindingKind.STALLED
    steps = {one.target.step for one in reading.proposals if one.exercise.key == key}
    if is_stalled and Step.STEP_UP in steps:
        return f"it reached its last target, and the next step shows whether it moves again. {said}"
    return said


def _said_of(reading: WeekReading, keys: Collection[str]) -> str:
    """What is proposed for the first of those exercises, in each of its courses."""
    found = [one for one in reading.proposals if one.exercise.key in keys]
    same = [one for one in found if one.when and one.exercise_id == found[0].exercise_id]
    told = [f"{one.when}: {one.target.sentence}" for one in same]
    return " ".join(told) if told else next((one.target.sentence for one in found), "")


def _drop_words(reading: WeekReading, _light_from: date) -> str:
    key = reading.first.exercise if reading.first else ""
    said = _said_of(reading, {key})
    next_ = f" The log alone asks for this: {said}" if said else ""
    return f"ask first, and look at how the exercise is done before its targets change.{next_}"


def _effort_words(_reading: WeekReading, _light_from: date) -> str:
    return "ask first, and hold the targets until the client has answered."


def _log_mistake_words(_reading: WeekReading, _light_from: date) -> str:
    return "ask first: the next targets of the exercise build on what stands in the log."


def _next_block_words(_reading: WeekReading, _light_from: date) -> str:
    return "write the next block: keep what works, move what stalled."


def _goal_words(_reading: WeekReading, _light_from: date) -> str:
    return "look at how it was done, call the goal reached, and set the next one."


_PROPOSALS = {
    FindingKind.RED_FLAG: _red_flag_words,
    FindingKind.PAIN: _pain_words,
    FindingKind.JOINT_LIMIT: _joint_limit_words,
    FindingKind.OVERREACHING: _light_week_words,
    FindingKind.DELOAD_DUE: _light_week_words,
    FindingKind.NOT_BACK: _not_back_words,
    FindingKind.EQUIPMENT: _equipment_words,
    FindingKind.MISSED: _missed_words,
    FindingKind.EXERCISE_DROP: _drop_words,
    FindingKind.STALLED: _by_exercise_words,
    FindingKind.PACING: _by_exercise_words,
    FindingKind.EFFORT: _effort_words,
    FindingKind.LOG_MISTAKE: _log_mistake_words,
    FindingKind.BLOCK_ENDS: _next_block_words,
    FindingKind.GOAL_REACHED: _goal_words,
}
