"""What to ask next of one exercise: step up, hold, step back or swap, set by set.

The stair, repeating a missed target and double progression are common practice without
a published source. A proposal never changes a plan; the coach decides.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Unpack

from coaching.rules import progression_words as words
from coaching.rules.findings import Evidence
from coaching.rules.load_to_choose import needs_load
from coaching.rules.next_load import LoadStep, load_words
from coaching.rules.numbers import (
    MISSES_BEFORE_STEP_BACK,
    MOST_ABOVE_TOP,
    PAIN_LIMIT,
)
from coaching.rules.plan import Exercise, Measure, Part, Prescription
from coaching.rules.progression_ahead import ahead_evidence, ahead_words
from coaching.rules.progression_case import Case, Exposure, Known, case_of
from coaching.rules.progression_loads import (
    first_reps,
    load_after_pain,
    load_back,
    next_load,
    reps_needed,
    rung_too_hard,
    too_big,
)
from coaching.rules.stair import is_pacing_fault, one_step_up, spread, usual_range

__all__ = ["Exposure", "NextTarget", "Step", "next_target"]

STEADY = frozenset({Part.PREHAB, Part.WARM_UP})


class Step(StrEnum):
    """What becomes of an exercise."""

    STEP_UP = "step up"
    HOLD = "hold"
    STEP_BACK = "step back"
    SWAP = "swap"


@dataclass(frozen=True)
class NextTarget:
    """A proposal for one exercise, with the numbers, the rule and its source.

    ``targets`` are repetitions or seconds, one a set; ``load`` is in [kg].
    """

    step: Step
    exercise_key: str
    targets: tuple[int, ...]
    load: float
    sentence: str
    evidence: tuple[Evidence, ...]
    rule: str
    source_key: str


def next_target(
    prescription: Prescription, exposures: Sequence[Exposure], **known: Unpack[Known]
) -> NextTarget:
    """What to ask next of an exercise, from what was asked and what was done.

    Only the present target counts: light and test weeks are passed over, except for
    pain, which always counts. The load of a proposal is one of ``loads``; with no loads
    given it stays as it is.

    Args:
        prescription: What is asked for now.
        exposures: Every time the exercise was done that matters, oldest first.
        **known: What else a proposal rests on.

    Raises:
        ValueError: when there are no sets, the range is none, or dates run backwards.
    """
    case = case_of(prescription, exposures, **known)
    found = _decide(case)
    if case.ahead.held is not None and found.step in {Step.STEP_UP, Step.SWAP}:
        return hold(case, words.HELD[case.ahead.held], words.HELD_RULE)
    return found


def _decide(case: Case) -> NextTarget:
    if any(pain > PAIN_LIMIT.value for pain in case.pains()):
        return after_pain(case)
    if case.asked.load not in case.loads:
        return _other_load(case)
    if not case.usual:
        return hold(case, words.NOTHING_LOGGED, words.REPEAT_RULE)
    return _judge(case, case.usual[-1])


def _judge(case: Case, last: Exposure) -> NextTarget:
    if case.asked.part in STEADY:
        return _steady(case, last)
    if case.reached(last):
        return _step_up(case, last)
    if not case.tried(last):
        return hold(case, words.NOT_TRIED, words.REPEAT_RULE)
    return _missed(case, last)


def answer(  # noqa: PLR0913 - each is one part of a proposal
    case: Case,
    step: Step,
    sentence: str,
    rule: str,
    *,
    targets: tuple[int, ...] | None = None,
    load: float | None = None,
    exercise: Exercise | None = None,
    source_key: str = "common-practice",
    more: tuple[Evidence, ...] = (),
) -> NextTarget:
    """A proposal in words, with what the forecast says of it."""
    to = exercise or case.exercise
    goal = case.asked.targets if targets is None else targets
    weight = case.possible_load(case.asked.load) if load is None else load
    told = f"{words.amounts(goal, to.measure)} at {load_words(to, weight)}"
    change = {"name": case.exercise.name, "to": to.name, "goal": told}
    ahead = None if step is Step.SWAP else case.ahead.of(to, weight, goal)
    if ahead is not None:
        more = (*more, *ahead_evidence(ahead, to.measure))
        # What hurts is not told how often it will be made.
        sentence += "" if rule == words.PAIN_RULE else ahead_words(ahead, to.measure)
    return NextTarget(
        step=step,
        exercise_key=to.key,
        targets=goal,
        load=weight,
        sentence=sentence.format(**change),
        evidence=(*_evidence(case), *more),
        rule=rule,
        source_key=source_key,
    )


def _evidence(case: Case) -> tuple[Evidence, ...]:
    measure = case.exercise.measure
    asked = words.amounts(case.asked.targets, measure)
    facts = [Evidence("Asked", f"{asked} at {load_words(case.exercise, case.asked.load)}")]
    for exposure in case.usual[-2:]:
        done = words.amounts(case.amounts_of(exposure), measure)
        loads = sorted({one.load for one in case.work_of(exposure)})
        at = " and ".join(load_words(case.exercise, load) for load in loads)
        facts.append(Evidence(words.day(exposure.on), f"{done} at {at}"))
    return tuple(facts)


def hold(case: Case, sentence: str, rule: str) -> NextTarget:
    """What is asked now, once more."""
    return answer(case, Step.HOLD, sentence, rule)


def _other_load(case: Case) -> NextTarget:
    """The nearest load that can be made; from the bottom again if that one is harder."""
    load = case.possible_load(case.asked.load)
    fewest = (min(case.range.bottom, *case.asked.targets),) * case.asked.sets
    targets = case.asked.targets if case.no_harder(load, case.asked.load) else fewest
    return answer(
        case, Step.HOLD, words.CANNOT_BE_MADE, words.LOADS_RULE, targets=targets, load=load
    )


def _steady(case: Case, last: Exposure) -> NextTarget:
    to_failure = any(one.rir == 0 for one in case.work_of(last))
    # With sets that nobody entered it is not known how it went.
    is_whole = len(case.work_of(last)) == case.asked.sets
    if to_failure or (is_whole and case.misses >= MISSES_BEFORE_STEP_BACK.value):
        return step_back(case, words.STEADY_TOO_HARD, words.STEADY_RULE)
    return hold(case, words.STEADY, words.STEADY_RULE)


def _step_up(case: Case, last: Exposure) -> NextTarget:
    amounts = case.amounts_of(last)
    used = [one.load for one in case.work_of(last)]
    load = case.possible_load(max(used) if case.assisted else min(used))
    base = _base(case, amounts)
    if min(base) >= case.range.top:
        return past_the_top(case, base, load, min(amounts))
    pacing = is_pacing_fault(amounts, case.asked.targets, case.range.step)
    return answer(
        case,
        Step.STEP_UP,
        words.STAIR + (words.PACING_NOTE if pacing else ""),
        words.STAIR_RULE if case.asked.part is Part.PRIMARY else words.DOUBLE_RULE,
        targets=one_step_up(base, case.range.step),
        load=load,
    )


def _base(case: Case, amounts: tuple[int, ...]) -> tuple[int, ...]:
    """What counts as done: on the stair what every set reached, else each set by itself."""
    top, step = case.range.top, case.range.step
    even = case.asked.part is Part.PRIMARY
    done = [min(amounts)] * len(amounts) if even else amounts
    whole = (min(one, top) // step * step for one in done)
    return tuple(max(pair) for pair in zip(case.asked.targets, whole, strict=True))


def past_the_top(case: Case, base: tuple[int, ...], load: float, reps: int) -> NextTarget:
    """Beyond the range: the next load, else a harder rung, else more repetitions.

    A hold is made as long on every set first, and goes to the rung before it is loaded: a longer
    lever asks more of it, and what a load costs in seconds nothing published says.
    """
    is_hold = case.exercise.measure is Measure.SECONDS
    if is_hold and min(base) < max(base):
        longer = one_step_up(base, case.range.step)
        return answer(case, Step.STEP_UP, words.LONGER, words.HOLD_RULE, targets=longer, load=load)
    step = next_load(case, load, reps)
    rung = _next_rung(case, base)
    if rung is not None and is_hold:
        return rung
    if step is not None and not too_big(case, step, reps):
        return _add_load(case, step, reps)
    if rung is not None:
        return rung
    if min(base) >= case.range.top + MOST_ABOVE_TOP.value * case.range.step:
        return answer(
            case, Step.SWAP, words.swap(case.harder), words.TOP_RULE, targets=base, load=load
        )
    slower = case.asked.tempo.eccentric + 1
    return answer(
        case,
        Step.STEP_UP,
        words.MORE_REPS.replace("[slower]", str(slower)),
        words.TOP_RULE,
        targets=one_step_up(base, case.range.step),
        load=load,
        more=words.load_evidence(step) if step else (),
    )


def _next_rung(case: Case, base: tuple[int, ...]) -> NextTarget | None:
    """The step up a rung; none where it waits, or is counted otherwise.

    How hard a hold is beside repetitions, nothing tells: that step is the coach's.
    """
    rung = case.harder
    if rung is None or rung.measure is not case.exercise.measure:
        return None
    if rung_too_hard(case, rung, base):
        return None
    return to_rung(case, rung, Step.STEP_UP, case.bottom_of(rung))


def _add_load(case: Case, step: LoadStep, done: int) -> NextTarget:
    sentence = words.NEXT_LOAD
    source = "common-practice" if step.expected is None else words.load_source(case.exercise)
    rule = words.LOAD_RULE if case.asked.part is Part.PRIMARY else words.DOUBLE_RULE
    if case.exercise.measure is Measure.SECONDS:
        source, rule = "house", words.HOLD_RULE
    if step.is_big:
        sentence += words.big_jump(step, case.exercise.measure)
        source = "acsm-2009"
    return answer(
        case,
        Step.STEP_UP,
        sentence,
        rule,
        targets=(first_reps(case, step, done),) * case.asked.sets,
        load=step.load,
        source_key=source,
        more=words.load_evidence(step),
    )


def to_rung(case: Case, rung: Exercise, step: Step, goal: int) -> NextTarget:
    """Another rung of the ladder, at its easiest load."""
    known = case.rung_loads.get(rung.key, ())
    must_choose = needs_load(rung) and not known
    sentence = words.HARDER_RUNG if step is Step.STEP_UP else words.EASIER_RUNG
    return answer(
        case,
        step,
        sentence + (words.CHOOSE_LOAD if must_choose else ""),
        words.TOP_RULE if step is Step.STEP_UP else words.MISSED_RULE,
        targets=(goal,) * case.asked.sets,
        load=known[0] if known else 0.0,
        exercise=rung,
    )


def _missed(case: Case, last: Exposure) -> NextTarget:
    paced = _paced(case, last)
    if paced is not None:
        return answer(case, Step.HOLD, words.PACING, words.PACING_RULE, targets=paced)
    done = case.amounts_of(last)
    if case.misses < MISSES_BEFORE_STEP_BACK.value or case.only_cut_short(last):
        return hold(case, words.missed_once(done, case.asked), words.REPEAT_RULE)
    whole = [one for one in case.usual if not case.only_cut_short(one)]
    before, now = (sum(case.amounts_of(one)) for one in whole[-2:])
    if now > before:
        return hold(case, words.MISSED_BUT_CLOSER, words.MISSED_RULE)
    return step_back(case, words.MISSED_TWICE, words.MISSED_RULE)


def _paced(case: Case, last: Exposure) -> tuple[int, ...] | None:
    """The same work with a shorter first set, none when pacing is not what went wrong."""
    amounts, step = case.amounts_of(last), case.range.step
    same_load = len({one.load for one in case.work_of(last)}) == 1
    fault = is_pacing_fault(amounts, case.asked.targets, step)
    if not (fault and same_load and case.fell_short(last)):
        return None
    most = min(amounts[0], case.asked.targets[0]) - step
    even = spread(sum(case.filled(last)), case.asked.sets, step)
    paced = tuple(min(one, most) for one in even)
    return paced if min(paced) >= case.range.bottom else None


def step_back(case: Case, sentence: str, rule: str) -> NextTarget:
    """Fewer repetitions; below the range a lighter load or an easier rung instead.

    A lighter load is as light as what was done says that the fewest repetitions need; an easier
    rung comes first where no load is.
    """
    step, asked = case.range.step, case.asked.targets
    last = case.usual[-1]
    fewer = spread(min(sum(case.filled(last)), sum(asked) - step), len(asked), step)
    same_load_will_do = case.fell_short(last) and min(fewer) >= case.range.bottom
    if same_load_will_do and sum(fewer) < sum(asked):
        return answer(case, Step.STEP_BACK, sentence, rule, targets=fewer)
    goal = min(case.range.bottom, *asked)
    lighter = load_back(case, goal)
    if lighter is not None and (lighter.promises(reps_needed(case, goal)) or case.easier is None):
        targets = (goal,) * len(asked)
        return answer(case, Step.STEP_BACK, sentence, rule, targets=targets, load=lighter.load)
    if case.easier is not None:
        return to_rung(case, case.easier, Step.STEP_BACK, restart(case, case.easier))
    if sum(fewer) < sum(asked):
        return answer(case, Step.STEP_BACK, sentence + words.NO_EASIER, rule, targets=fewer)
    return hold(case, words.MISSED_BUT_LOWEST, rule)


def restart(case: Case, rung: Exercise) -> int:
    """Where to start again on an easier rung: the middle of the range."""
    own = rung.measure is case.exercise.measure
    span = case.range if own else usual_range(case.asked.part, rung.measure)
    return max(span.step, (span.bottom + span.top) // 2 // span.step * span.step)


def after_pain(case: Case) -> NextTarget:
    """Never a step up: a step back when the latest exposure hurt, a hold when one before."""
    pains = case.pains()
    if pains[0] <= PAIN_LIMIT.value:
        return _with_pain(case, Step.HOLD, words.PAIN_BEFORE, case.asked.targets)
    fewest = (min(case.range.bottom, *case.asked.targets),) * case.asked.sets
    lighter = load_after_pain(case)
    if lighter is not None:
        return _with_pain(case, Step.STEP_BACK, words.PAIN_LIGHTER, fewest, lighter)
    if case.easier is not None:
        goal = (case.bottom_of(case.easier),) * case.asked.sets
        load = case.rung_loads.get(case.easier.key, (0.0,))[0]
        return _with_pain(case, Step.STEP_BACK, words.PAIN_EASIER, goal, load, case.easier)
    step = Step.HOLD if fewest == case.asked.targets else Step.STEP_BACK
    return _with_pain(case, step, words.PAIN_FEWER, fewest)


def _with_pain(
    case: Case,
    step: Step,
    sentence: str,
    targets: tuple[int, ...],
    load: float | None = None,
    exercise: Exercise | None = None,
) -> NextTarget:
    # A load that cannot be made gives way to a lighter one, never to a harder one.
    now = case.asked.load
    nearest = case.possible_load(now)
    same = nearest if case.no_harder(nearest, now) else now
    told = ", ".join(f"{one} of 10" for one in case.pains())
    return answer(
        case,
        step,
        sentence + words.CAUTION,
        words.PAIN_RULE,
        targets=targets,
        load=same if load is None else load,
        exercise=exercise,
        source_key="thomee-1997",
        more=(Evidence("Worst pain, latest first", told),),
    )
