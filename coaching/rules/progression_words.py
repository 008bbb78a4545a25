"""The sentences and rules of progression, in one place so that they read alike.

``{name}`` is the exercise, ``{to}`` the one proposed, ``{goal}`` its targets and load.
"""

from collections.abc import Sequence
from datetime import date

from coaching.rules.findings import Evidence
from coaching.rules.next_load import LoadStep, follows_total_mass
from coaching.rules.numbers import HOLD_LOAD_SHARE
from coaching.rules.plan import Exercise, Measure, Prescription
from coaching.rules.progression_ahead import Held

STAIR_RULE = (
    "The stair: when every set reached its target, one set is asked for one step more, until all "
    "are at the top of the range."
)
DOUBLE_RULE = (
    "Double progression: repetitions up to the top of the range, then the next load that the "
    "equipment can make and back to the bottom, or to as many as can be expected where the "
    "load is a small part of what the muscles move (a choice of this tool)."
)
LOAD_RULE = (
    "At the top of the range on every set: the load that leaves about the fewest repetitions of "
    "the range, reckoned on what the muscles move, by the most careful formula that applies."
)
TOP_RULE = (
    "At the top of the range on every set: the next load, else a harder rung of the ladder, else "
    "more repetitions or a slower eccentric, else another exercise."
)
HOLD_RULE = (
    "A hold: as long on every set, to the top of the range; then a harder rung of the ladder, and a "
    "load only where there is none. A share more load counts as three times that share of the "
    f"seconds, at most down to {HOLD_LOAD_SHARE.value:.0%} of them and not below the range. What a "
    "load costs in seconds is not published: a choice of this tool."
).replace("%", " %")
LOADS_RULE = "Only loads that the client's equipment can make are asked for."
REPEAT_RULE = "A target that was missed once, or not tried yet, is repeated."
MISSED_RULE = (
    "A target missed twice running: step back or hold, and look at sleep, pain and pacing."
)
PACING_RULE = (
    "Repetitions that collapse within the exercise (first set two or more above the last) are "
    "cured by fewer on the first set, not by more effort on the last."
)
STEADY_RULE = "Warm-up and prehab stay steady and never go to failure."
PAIN_RULE = "Pain above 5 of 10 on an exercise: no step up until it has settled."
HELD_RULE = (
    "No step up while strength falls and no plan explains it: hold or take a light week, and "
    "look for the cause first."
)
CHOSEN_UP_RULE = (
    "The smallest step beyond what is asked now, by the same stair and double progression; the "
    "coach chooses it, the log does not ask for it."
)
CHOSEN_BACK_RULE = (
    "One repetition (5 s for holds) fewer on every set as long as that stays in the range, else "
    "the next lighter load, else an easier rung; the coach chooses it, the log does not ask for it."
)
NOT_TRAINED_RULE = "What was not trained in the week is asked as it is planned."

LIGHT_ONLY = "{name} was done in a light or test week only: {goal}, as planned."
LIGHT_ONLY_RULE = "A light or test week says nothing of what usual weeks ask, unless it hurt."
NOT_TRAINED = "{name} was not trained in this week: {goal}, as planned."
CHOSEN_UP = "One step more than {name} asks now: {goal}."
CHOSEN_BACK = "Easier than {name} asks now: {goal}."
NOTHING_LOGGED = "Nothing logged yet in a usual week for {name}: hold {goal}."
NOT_TRIED = "{goal} has not been tried yet on {name}: hold."
CANNOT_BE_MADE = (
    "The planned load of {name} cannot be made with the client's equipment: hold the "
    "repetitions with the nearest load, {goal}."
)
STAIR = "Every set of {name} reached its target: ask for {goal}."
LONGER = "Not every set of {name} is as long as the longest yet: ask for {goal}."
PACING_NOTE = " The first set ran well ahead of the last: keep every set to its target."
NEXT_LOAD = "{name} is at the top of its range on every set: go to {goal}."
BIG_JUMP = (
    " That is [jump] more than the muscles move now, above the usual 2–10 %: fewer [unit] "
    "are to be expected at first."
)
HARDER_RUNG = (
    "{name} is at the top of its range on every set: go up a rung to {to}, {goal}. Watch the "
    "first session."
)
EASIER_RUNG = (
    "{name} is too hard for now: go down a rung to {to}, {goal}. Look at sleep, pain and pacing."
)
CHOOSE_LOAD = " Choose its load with the client."
MORE_REPS = (
    "{name} is past the top of its range and no harder step of it fits yet: ask for {goal}, or keep the "
    "repetitions and lower in [slower] s."
)
SWAP_RUNG = (
    "{name} is far above its range. The next rung, [rung], is counted in [unit], and nothing tells how "
    "many the client can do: choose it yourself, or another exercise; until then {goal}."
)
SWAP = (
    "{name} is far above its range and there is nothing harder to go to: choose another exercise; "
    "until then {goal}."
)
PACING = (
    "{name} fell away from the first set to the last: hold the load and begin lower, {goal}. The "
    "cure is fewer on the first set."
)
MISSED_TWICE = (
    "{name} missed its target twice running: step back to {goal}. Look at sleep, pain and pacing."
)
MISSED_BUT_CLOSER = (
    "{name} missed its target twice running but came closer: hold {goal} once more. Look at "
    "sleep, pain and pacing."
)
MISSED_BUT_LOWEST = (
    "{name} missed its target twice running and cannot be made easier: hold {goal}, or choose "
    "another exercise. Look at sleep, pain and pacing."
)
NO_EASIER = " No lighter load and no easier rung are known; choose one."
STEADY = "{name} stays steady: hold {goal}, never to failure."
STEADY_TOO_HARD = "{name} went to failure or was missed twice running: ease it to {goal}."
HELD = {
    Held.OVERREACHING: (
        "{name} reached its target, but all exercises together have got weaker: hold {goal} until "
        "that has passed."
    ),
    Held.DROP: (
        "{name} reached its target, but it alone has got weaker: hold {goal}, and look at "
        "technique, equipment and pain first."
    ),
}

PAIN_BEFORE = "{name} hurt above 5 of 10 the time before: hold {goal} and ask."
PAIN_LIGHTER = "{name} hurt above 5 of 10: step back to a lighter load, {goal}."
PAIN_EASIER = "{name} hurt above 5 of 10: step back to {to}, {goal}."
PAIN_FEWER = (
    "{name} hurt above 5 of 10: not more than {goal}, and leave it out as long as it hurts so."
)
CAUTION = (
    " Pain that is sharp, rising, above 5 of 10 or still there next morning: stop, and refer to a "
    "licensed practitioner."
)


def amounts(values: Sequence[int], measure: Measure) -> str:
    """Repetitions or seconds, set by set.

    >>> amounts((8, 7, 7), Measure.REPS)
    '8, 7, 7 reps'
    """
    unit = "reps" if measure is Measure.REPS else "s"
    return f"{', '.join(str(one) for one in values)} {unit}"


def big_jump(step: LoadStep, measure: Measure) -> str:
    """That a load is far above the one before, and what that means."""
    unit = "repetitions" if measure is Measure.REPS else "seconds"
    return BIG_JUMP.replace("[jump]", percent(step.jump)).replace("[unit]", unit)


def swap(rung: Exercise | None) -> str:
    """That another exercise is due; the next rung is named where it is counted otherwise."""
    if rung is None:
        return SWAP
    unit = "repetitions" if rung.measure is Measure.REPS else "seconds"
    return SWAP_RUNG.replace("[rung]", rung.name).replace("[unit]", unit)


def percent(share: float) -> str:
    """A share as a percentage; from nothing there is none to tell."""
    return "far" if share == float("inf") else f"{share:.0%}".replace("%", " %")


def day(on: date) -> str:
    """A date in words: 3 March 2025."""
    return f"{on.day} {on:%B %Y}"


def missed_once(done: Sequence[int], asked: Prescription) -> str:
    """Say how a target was missed for the first time: sets left out, lighter, or short."""
    if len(done) < asked.sets:
        return f"{len(done)} of {asked.sets} sets of {{name}} were logged: repeat {{goal}}."
    short = sum(amount < target for amount, target in zip(done, asked.targets, strict=True))
    if not short:
        return "{name} was done with less load than asked: repeat {goal}."
    sets = "1 set" if short == 1 else f"{short} sets"
    return f"{sets} of {{name}} fell short, for the first time: repeat {{goal}}."


def load_source(exercise: Exercise) -> str:
    """What the choice of a load rests on: total mass for pull-ups and dips, else a formula."""
    return "vanderburgh-1997" if follows_total_mass(exercise) else "epley-1985"


def load_evidence(step: LoadStep) -> tuple[Evidence, ...]:
    """The numbers behind a step of load."""
    facts = [
        Evidence("What the muscles move", f"{step.before:.1f} kg now, {step.after:.1f} kg next"),
        Evidence("Step to the next load", percent(step.jump)),
    ]
    if step.expected is not None:
        facts.append(Evidence("Expected, carefully", f"about {step.expected:.0f} reps on a set"))
    return tuple(facts)
